"""Tightening programmes: what is expanded is what was written, bolt by bolt."""

from collections import Counter
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.facts.codes import Side, Way
from assistant.fastening.programme import BoltRun, Programme, ProgrammePass, Target, expand
from assistant.fastening.programme_check import programme_faults
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit
from assistant.fastening.readings import compare, with_unit


def nm(value: str | int) -> Torque:
    return Torque(Decimal(value), TorqueUnit.NEWTON_METRE)


def degrees(value: str | int) -> Angle:
    return Angle(Decimal(value), AngleUnit.DEGREE)


def stage(
    way: Way, bolts: tuple[int, ...], value: Torque | Angle | None, group: str = "cover", **more: int
) -> ProgrammePass:
    return ProgrammePass(way, (BoltRun(group, bolts, Target(value)),), **more)


def test_a_torque_and_three_further_turns_are_four_actions() -> None:
    # Arithmetic, on paper: 35 N·m, then 3 x 50 degrees.
    programme = Programme((stage(Way.TORQUE, (1,), nm(35)), *[stage(Way.ANGLE, (1,), degrees(50))] * 3))
    assert programme_faults(programme) == ()
    actions = expand(programme)
    assert [action.number for action in actions] == [1, 2, 3, 4]
    assert [str(action.angle) for action in actions] == ["0°", "50°", "100°", "150°"]
    assert {str(action.torque) for action in actions} == {"35 N·m"}


def test_loosening_takes_everything_away_and_the_repeat_gives_it_back() -> None:
    programme = Programme(
        (
            stage(Way.TORQUE, (2, 1), nm(20)),
            stage(Way.TORQUE, (2, 1), nm(40)),
            stage(Way.LOOSEN, (1, 2), None, reseat=1),
            stage(Way.ANGLE, (2, 1), degrees(60)),
            stage(Way.CHECK, (1, 2), nm(40)),
        )
    )
    assert programme_faults(programme) == ()
    last = {action.turn: action for action in expand(programme)}
    assert [(action.planned, str(action.torque), str(action.angle)) for action in last.values()] == [
        (1, "20 N·m", "0°"),
        (2, "40 N·m", "0°"),
        (3, "None", "0°"),
        (1, "20 N·m", "0°"),
        (2, "40 N·m", "0°"),
        (4, "40 N·m", "60°"),
        (5, "40 N·m", "60°"),
    ]


@st.composite
def programmes(draw: st.DrawFn) -> Programme:
    """Sound programmes of rising torques and then angles over one or two groups."""
    groups = {
        name: tuple(draw(st.permutations(range(first, first + draw(st.integers(1, 12))))))
        for name, first in (("cover", 1), ("sump", 50))
    }
    torques = sorted(draw(st.lists(st.integers(1, 200), min_size=1, max_size=3)))
    angles = draw(st.lists(st.integers(1, 180), max_size=3))
    targets = [(Way.TORQUE, nm(value)) for value in torques] + [(Way.ANGLE, degrees(value)) for value in angles]
    return Programme(
        tuple(
            ProgrammePass(way, tuple(BoltRun(name, bolts, Target(value)) for name, bolts in groups.items()))
            for way, value in targets
        ),
        {name: frozenset(bolts) for name, bolts in groups.items()},
    )


@given(programmes())
def test_expanding_gives_each_bolt_once_in_each_stage(programme: Programme) -> None:
    assert programme_faults(programme) == ()
    actions = expand(programme)
    counted = Counter((action.turn, action.group, action.bolt) for action in actions)
    assert set(counted.values()) == {1}
    bolts = sum(len(group) for group in programme.groups.values())
    assert len(actions) == bolts * len(programme.passes)
    assert [action.number for action in actions] == list(range(1, len(actions) + 1))
    turned = sum(run.target.value.degrees for s in programme.passes for run in s.runs[:1] if s.way is Way.ANGLE)
    assert {action.angle.degrees for action in actions[-bolts:]} == {turned}


@pytest.mark.parametrize(
    ("stages", "groups", "words"),
    [
        ((), {}, "no stage"),
        ((stage(Way.TORQUE, (), nm(20)),), {}, "no bolts"),
        ((stage(Way.TORQUE, (1,), None),), {}, "no target"),
        ((stage(Way.TORQUE, (1,), degrees(90)),), {}, "wrong kind"),
        ((stage(Way.ANGLE, (1,), nm(20)),), {}, "wrong kind"),
        ((stage(Way.TORQUE, (1,), nm(0)),), {}, "more than zero"),
        ((stage(Way.TORQUE, (1, 2, 1), nm(20)),), {}, "lists bolt 1 of cover 2 times"),
        ((stage(Way.TORQUE, (1,), nm(20)),), {"cover": frozenset({1, 2})}, "leaves out bolt 2"),
        ((stage(Way.TORQUE, (1, 3), nm(20)),), {"cover": frozenset({1})}, "bolt 3, which is not in cover"),
        ((stage(Way.TORQUE, (1,), nm(20), "lid"),), {"cover": frozenset({1})}, "names the group lid"),
        ((stage(Way.ANGLE, (1,), degrees(90)),), {}, "no torque before it"),
        ((stage(Way.TORQUE, (1,), nm(40)), stage(Way.TORQUE, (1,), nm(20))), {}, "less than the 40 N·m"),
        (
            (stage(Way.TORQUE, (1,), nm(40)), stage(Way.ANGLE, (1,), degrees(90)), stage(Way.TORQUE, (1,), nm(60))),
            {},
            "torque after an angle",
        ),
        ((stage(Way.TORQUE, (1,), nm(40), reseat=1),), {}, "begins again from what is not before it"),
        ((stage(Way.TORQUE, tuple(range(1, 20_002)), nm(40)),), {}, "too long"),
        (
            (ProgrammePass(Way.TORQUE, (BoltRun("cover", (1,), Target(nm(40), nm(41), nm(45))),)),),
            {},
            "leave out its target",
        ),
    ],
)
def test_what_makes_no_sense_is_named(
    stages: tuple[ProgrammePass, ...], groups: dict[str, frozenset[int]], words: str
) -> None:
    faults = programme_faults(Programme(stages, groups))
    assert any(words in fault.sentence for fault in faults), faults


def test_a_reading_is_compared_exactly_across_units_and_a_limit_itself_is_within() -> None:
    # 33 lbf·ft is 44.74 N·m: NIST SP 811 factor 1.355818.
    reading = with_unit(Decimal(33), TorqueUnit.POUND_FOOT)
    assert isinstance(reading, Torque)
    assert compare(reading, nm(40), nm("44.7")) is Side.ABOVE
    assert compare(reading, nm("44.8"), None) is Side.BELOW
    assert compare(nm(40), nm(40), nm(40)) is Side.WITHIN
    assert "same kind" in compare(reading, degrees(1), None).advice
    assert "lower one first" in compare(reading, nm(50), nm(40)).advice
    assert "zero or more" in with_unit(Decimal("NaN"), TorqueUnit.NEWTON_METRE).advice
