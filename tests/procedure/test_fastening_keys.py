"""What an author can say about fasteners: read value for value, and every slip named in one sentence."""

from decimal import Decimal
from pathlib import Path

import pytest

from assistant.facts.codes import Way
from assistant.fastening.programme import expand
from assistant.fastening.quantities import Angle, AngleUnit, Length, LengthUnit, Torque, TorqueUnit
from assistant.procedure.format.reader import read_text
from assistant.procedure.model import LayoutKind, Spot
from assistant.procedure.steps.programmes import programme_of
from assistant.procedure.steps.tighten import Reach, StagePurpose
from tests.procedure.writing import to_yaml

BENCH = (Path(__file__).parent / "good" / "bench-check.yaml").read_text(encoding="utf-8")
GROUP = "{id: plate, name: plate bolts, size: eight millimetre, bolts: 1-4}"
FIRST, SECOND = (
    f"{{torque: {value} N·m, tool: wrench, runs: [{{group: plate, bolts: [1, 3, 2, 4]}}]}}" for value in (5, 12)
)


def nm(value):
    return Torque(Decimal(value), TorqueUnit.NEWTON_METRE)


def degrees(value):
    return Angle(Decimal(value), AngleUnit.DEGREE)


def written(group="", *stages, run="{group: plate, bolts: [1, 3, 2, 4]}"):
    """Return the bench check with more said of its group, and with other stages when there are any."""
    assert BENCH.count(GROUP) == BENCH.count(FIRST) == BENCH.count(SECOND) == 1
    text = BENCH.replace(GROUP, GROUP.replace("}", f", {group}}}")) if group else BENCH
    if stages:
        made = "\n          - ".join(f"{{{stage}, tool: wrench, runs: [{run}]}}" for stage in stages)
        text = text.replace(f"          - {SECOND}\n", "").replace(FIRST, made)
    return text


def read(text):
    reading = read_text(text.encode(), "x")
    assert reading.errors == ()
    return reading


def only_finding(text):
    (finding,) = read_text(text.encode(), "x").findings
    return finding


def test_thread_class_friction_and_layout_are_kept_as_they_are_written():
    group = read(written("thread: M8x1, class: 10.9, friction: 0.12, layout: {circle: 1-4, start: 45°, diameter: 90}"))
    it = group.procedure.groups[0]
    assert (it.thread, it.strength, it.friction) == ("M8x1", "10.9", Decimal("0.12"))
    assert (it.layout.kind, it.layout.circle, it.layout.start) == (LayoutKind.CIRCLE, (1, 2, 3, 4), degrees(45))
    rows = read(written("layout: {rows: [1-2, [4, 3]], width: 80, x: 5, y: -2.5}")).procedure.groups[0].layout
    assert (rows.rows, rows.width, rows.x, rows.y) == (((1, 2), (4, 3)), Decimal(80), Decimal(5), Decimal("-2.5"))
    spots = ", ".join(f"{{bolt: {bolt}, x: {bolt}, y: 0}}" for bolt in (1, 2, 3, 4))
    free = read(written(f"layout: {{spots: [{spots}]}}")).procedure.groups[0].layout
    assert free.spots[3] == Spot(4, Decimal(4), Decimal(0))


@pytest.mark.parametrize(
    ("limits", "low", "high"),
    [
        ("9.5 to 10.5 N·m", nm("9.5"), nm("10.5")),
        ("at least 10 N·m", nm(10), None),
        ("at most 120 kgf·cm", None, Torque(Decimal(120), TorqueUnit.KILOGRAM_FORCE_CENTIMETRE)),
        ("± 0.5 N·m", nm("9.5"), nm("10.5")),
        ("9.5 N·m to 10.5 N·m", nm("9.5"), nm("10.5")),
        ("± 5 %", nm("9.5"), nm("10.5")),
        ("+/- 5 %", nm("9.5"), nm("10.5")),
    ],
)
def test_limits_stand_beside_their_target(limits, low, high):
    stage = read(written("", f"torque: 10 N·m, limits: {limits}")).procedure.steps[-1].stages[0]
    assert (stage.runs[0].low, stage.runs[0].high) == (low, high)


def test_limits_of_a_stage_are_not_those_of_a_run_with_its_own_target():
    run = "{group: plate, bolts: [1, 3]}, {group: plate, bolts: [2, 4], torque: 11 N·m}"
    runs = read(written("", "torque: 10 N·m, limits: ± 1 N·m", run=run)).procedure.steps[-1].stages[0].runs
    assert [(run.low, run.high) for run in runs] == [(nm(9), nm(11)), (None, None)]


def test_access_is_that_of_the_stage_unless_the_run_has_its_own():
    run = "{group: plate, bolts: [1, 3]}, {group: plate, bolts: [2, 4], adapter: {length: 2 in, angle: 90°}}"
    said = "torque: 10 N·m, drag: 1.5 N·m, adapter: {length: 50 mm, name: crowfoot}"
    one, two = read(written("", said, run=run)).procedure.steps[-1].stages[0].runs
    assert one.adapter == Reach(Length(Decimal(50), LengthUnit.MILLIMETRE), degrees(0), "crowfoot")
    assert two.adapter == Reach(Length(Decimal(2), LengthUnit.INCH), degrees(90))
    assert one.drag == two.drag == nm("1.5")


def test_a_torque_and_three_further_turns_are_four_actions_with_the_sum_of_the_turns():
    # Arithmetic, on paper: 35 N·m, then 3 x 50 degrees.
    text = written("", "torque: 35 N·m", *["angle: 50°"] * 3, run="{group: plate, bolts: 1}")
    text = text.replace("bolts: 1-4", "bolts: 1")
    procedure = read(text).procedure
    actions = expand(programme_of(procedure.steps[-1], procedure))
    assert [str(action.target.value) for action in actions] == ["35 N·m"] + ["50°"] * 3
    assert (str(actions[-1].torque), str(actions[-1].angle)) == ("35 N·m", "150°")


def test_loosening_takes_the_order_backwards_and_then_all_is_done_once_more():
    stages = [
        "{torque: 8 N·m, runs: [{group: plate, bolts: order}]}",
        "{torque: 12 N·m, runs: [{group: plate, bolts: order}]}",
        "{purpose: loosen, angle: 1/2 turn, repeat_from: 1, runs: [{group: plate, bolts: reverse}]}",
        "{purpose: check, torque: 12 N·m, runs: [{group: plate, bolts: all}]}",
    ]
    text = written("order: [3, 1, 4, 2]").replace(FIRST, "\n          - ".join(stages))
    procedure = read(text.replace(f"          - {SECOND}\n", "")).procedure
    step = procedure.steps[-1]
    assert [stage.passes[0].purpose for stage in step.stages[2:]] == [StagePurpose.LOOSEN, StagePurpose.CHECK]
    assert [run.bolts for stage in step.stages for run in stage.runs] == [
        (3, 1, 4, 2),
        (3, 1, 4, 2),
        (2, 4, 1, 3),
        (1, 2, 3, 4),
    ]
    ways = [action.way for action in expand(programme_of(step, procedure))[::4]]
    assert ways == [Way.TORQUE, Way.TORQUE, Way.LOOSEN, Way.TORQUE, Way.TORQUE, Way.CHECK]


def test_a_drafted_order_is_marked_wherever_it_goes_and_stays_marked_when_it_is_written():
    # ASME PCC-1, legacy cross-pattern table (from memory): four bolts are taken 1, 3, 2, 4.
    text = written("layout: {circle: 1-4}, order: draft", "torque: 12 N·m", run="{group: plate, bolts: order}")
    reading = read(text)
    (finding,) = reading.findings
    assert (finding.rule, finding.level) == ("drafted-order", "warning")
    (run,) = reading.procedure.steps[-1].stages[0].runs
    assert (run.bolts, run.drafted) == ((1, 3, 2, 4), "cross pattern")
    again = read_text(to_yaml(reading.procedure).encode(), "x").procedure
    assert again.steps[-1].stages[0].runs[0].drafted == "cross pattern"
    assert again.groups[0].order_drafted == "cross pattern"


def test_an_order_for_spots_is_drafted_from_the_middle_outward_and_marked_as_such():
    # A triangle with one bolt in its middle: that one first, then the corners; what a person would draw.
    spots = "[{bolt: 1, x: 0, y: 4}, {bolt: 2, x: 3, y: -2}, {bolt: 3, x: 0, y: 0}, {bolt: 4, x: -3, y: -2}]"
    text = written(f"layout: {{spots: {spots}}}, order: draft", "torque: 12 N·m", run="{group: plate, bolts: order}")
    reading = read(text)
    assert [finding.rule for finding in reading.findings] == ["drafted-order"]
    (run,) = reading.procedure.steps[-1].stages[0].runs
    assert (run.bolts, run.drafted) == ((3, 1, 2, 4), "middle-out order")
    again = read_text(to_yaml(reading.procedure).encode(), "x").procedure
    assert (again.groups[0].order, again.groups[0].order_drafted) == ((3, 1, 2, 4), "middle-out order")


def test_a_given_order_is_never_replaced_by_a_draft():
    text = written("layout: {circle: 1-4}, order: [4, 3, 2, 1]", "torque: 12 N·m", run="{group: plate, bolts: order}")
    reading = read(text)
    assert reading.findings == ()
    (run,) = reading.procedure.steps[-1].stages[0].runs
    assert (run.bolts, run.drafted) == ((4, 3, 2, 1), "")


@pytest.mark.parametrize(
    ("group", "says"),
    [
        ("thread: M8.5", '"M8.5" is not a metric thread: write for example M10 or M10×1.25.'),
        ("thread: M8, class: 8.7", '"8.7" is not a property class: the classes are 4.6, 4.8, 5.6, 5.8, 6.8, 8.8, 9.8, '
                                   "10.9, 12.9."),
        ("thread: M39, class: 8.8, friction: nan", '"nan" is not a plain number: this is no number at all; write it in '
                                                   "digits."),
        ("friction: 2", '"2" is out of range: write a number from 0.04 to 0.4.'),
        ("layout: {circle: 1-4, diameter: 0}", '"0" is out of range: write a number from 0.01 to 100000.'),
        ("layout: {circle: 1-4, diameter: -3}", '"-3" is out of range: write a number from 0.01 to 100000.'),
        ("layout: {rows: [1-4], height: .inf}", '".inf" is not a plain number: this is no number at all; write it in '
                                                "digits."),
        ("layout: {circle: [1, 2, 2, 4]}", "Bolt 2 stands here twice: write every bolt once."),
        ("layout: {circle: 1-4, wide: 3}", '"wide" is not a key of a layout: did you mean "width"?'),
        ("layout: {circle: 1-4, width: 3}", "width does not go with circle: take it out."),
        ("layout: {diameter: 3}", "A layout has exactly one of circle:, rows: and spots:, with the bolts: write for "
                                  "example circle: 1-8."),
        ("order: [1, 2, 3, 3]", "Bolt 3 stands here twice: write every bolt once."),
        ("order: [1, 2, 3]", "Bolt 4 is missing from the order: list every bolt of the group once."),
        ("order: [1, 2, 3, 9]", "Bolt 4 is missing from the order: list every bolt of the group once."),
        ("order: draft", "There is no layout that an order can be drafted from: write layout:, or the order itself."),
        ("layout: {circle: 1-3}, order: draft", "The layout has no place for 4, so no order can be drafted: give every "
                                                "bolt of the group one place."),
        ("layout: {spots: [{bolt: 1, x: 0, y: 0}, {bolt: 2, x: 40, y: 0}, {bolt: 4, x: 0, y: 60}]}, order: draft",
         "The layout has no place for 3, so no order can be drafted: give every bolt of the group one place."),
        ("layout: {spots: [{bolt: 1, x: 0, y: 0}, {bolt: 2, x: 4, y: 0}, {bolt: 3, x: 4, y: 0}, {bolt: 4, x: 0, y: 6}"
         "]}, order: draft", "Bolts 2 and 3 sit on one spot: give every bolt a place of its own."),
        ("order: drat", '"drat" is not a bolt or a range: write for example 1-6 or [1, 5, 3].'),
    ],
)  # fmt: skip
def test_a_slip_in_a_group_is_named_with_what_is_possible(group, says):
    assert only_finding(written(group)).text == says


@pytest.mark.parametrize(
    ("stage", "says"),
    [
        ("note: Once around.", "This run has no target: write torque: or angle: in the run or in its stage."),
        ("torque: 0 N·m", '"0 N·m" is not more than zero: a torque here is always more than zero.'),
        ("torque: nan N·m", '"nan N·m" does not begin with a number: write for example 40 N·m, 33 lbf·ft or 80 '
                            "lbf·in."),
        ("torque: inf N·m", '"inf N·m" does not begin with a number: write for example 40 N·m, 33 lbf·ft or 80 '
                            "lbf·in."),
        ("torque: 12 Nmm", '"Nmm" is not a unit of torque: write for example 40 N·m, 33 lbf·ft or 80 lbf·in.'),
        ("torque: 12 J", '"J" is not a unit of torque: a joule is energy, not torque; write N·m.'),
        ("angle: 1.5 rad", '"1.5 rad" is in radians, which no angle gauge shows: write for example 90° or 1/4 turn.'),
        ("torque: 12 N·m, limits: 14 to 13 N·m", '"14 to 13 N·m" has its higher end first: write for example 38 to 42 '
                                                 "N·m, at least 38 N·m, ± 2 N·m or ± 5 %."),
        ("torque: 12 N·m, limits: 13 to 14 N·m", "Stage 1, plate has limits that leave out its target: write low, "
                                                 "target and high in rising order."),
        ("torque: 12 N·m, limits: ± 12 N·m", "A tolerance of 12 N·m leaves nothing of 12 N·m: write for example 38 to "
                                             "42 N·m, at least 38 N·m, ± 2 N·m or ± 5 %."),
        ("torque: 12 N·m, limits: 80° to 95°", '"°" is not a unit of torque: this is an angle, not a torque; write '
                                               "N·m."),
        ("torque: 12 N·m, drag: 0 N·m", '"0 N·m" is not more than zero: a torque here is always more than zero.'),
        ("torque: 12 N·m, adapter: {length: 0 mm}", '"0 mm" is not more than zero: a length here is always more than '
                                                    "zero."),
        ("torque: 12 N·m, adapter: {length: -5 mm}", '"-5 mm" is not more than zero: a length here is always more than '
                                                     "zero."),
        ("torque: 12 N·m, adapter: {length: 5 furlongs}", '"furlongs" is not a unit of length that is used here: write '
                                                          "for example 400 mm or 16 in."),
        ("torque: 12 N·m, adapter: {length: 5 mm, angle: 270°}", "The adapter stands at 270°: write 0° for straight, "
                                                                 "90° for square, up to 180° for pointing back."),
        ("torque: 12 N·m, purpose: lossen", '"lossen" is not known for purpose: did you mean "loosen"?'),
        ("angle: 90°", "Stage 1, plate: bolt 1 is turned by an angle with no torque before it: give a torque first."),
    ],
)  # fmt: skip
def test_a_slip_in_a_stage_is_named_with_what_is_possible(stage, says):
    assert only_finding(written("", stage)).text == says


def test_an_angle_may_follow_in_a_step_of_its_own_but_not_after_the_bolts_were_out():
    # Torque first, and the angle after a wait: one course through two steps.
    more = (
        "\n      - tighten: Turn the plate bolts."
        "\n        stages: [{angle: 90°, tool: wrench, runs: [{group: plate, bolts: [1, 3, 2, 4]}]}]"
    )
    text = BENCH.replace(SECOND, SECOND + more)
    assert read(text).findings == ()
    between = (
        "\n      - {count: Take out the plate bolts and count them., out: plate, place: the tray}"
        "\n      - {count: Put in the plate bolts by hand and count them., in: plate}"
    )
    finding = only_finding(BENCH.replace(SECOND, SECOND + between + more))
    assert (finding.rule, finding.level) == ("programme-adds-up", "error")


def test_a_fall_of_the_torque_between_two_steps_is_only_doubted():
    """In between somebody may have been told in words to loosen the bolts."""
    more = (
        "\n      - tighten: Tighten the plate bolts again."
        "\n        stages: [{torque: 9 N·m, tool: wrench, runs: [{group: plate, bolts: [1, 3, 2, 4]}]}]"
    )
    finding = only_finding(BENCH.replace(SECOND, SECOND + more))
    assert (finding.rule, finding.level) == ("programme-adds-up", "warning")
    assert finding.text == "Stage 1, plate: 9 N·m is less than the 12 N·m that bolt 1 has: loosen it first."


def test_an_order_that_the_group_does_not_have_cannot_be_named():
    text = written("", "torque: 12 N·m", run="{group: plate, bolts: reverse}")
    says = 'The group "plate" has no order: write order: in the group, or the bolts here.'
    assert only_finding(text).text == says


def test_inch_threads_and_grades_are_taken():
    # 5 and 12 N·m are 44 and 106 lbf·in: 1/4-28 grade 8 takes some 120 (K = 0.2, 75 percent of 120 ksi and 0.0364 in²).
    assert read(written("thread: 1/4-28 UNF, class: 8")).findings == ()
    assert read(written('thread: 1/4"-28, class: grade 8')).findings == ()
    says = '"5/16-25" is not a standard thread: 5/16 inch has 18, 24 or 32 threads to the inch.'
    assert only_finding(written("thread: 5/16-25, class: 8")).text == says
