"""What a group goes through over all steps, as the rules about programmes see it."""

from pathlib import Path

from assistant.fastening.programme import expand
from assistant.procedure.findings import Findings
from assistant.procedure.format.document import read_document
from assistant.procedure.format.tree import read_tree
from assistant.procedure.rules.kinds.courses import courses

BENCH = (Path(__file__).parent / "good" / "bench-check.yaml").read_text(encoding="utf-8")
HEAD, TAIL = BENCH.split("        stages:\n")
TAIL = "closing:" + TAIL.split("closing:")[1]


def courses_of(*steps):
    """Return the courses of the bench check with these stages in one tighten step after the other."""
    made = "      - tighten: Tighten the plate bolts.\n        stages:\n".join(
        "".join(f"          - {{{stage}, runs: [{{group: plate, bolts: all}}]}}\n" for stage in stages)
        for stages in steps
    )
    findings = Findings("x")
    draft = read_document(read_tree(f"{HEAD}        stages:\n{made}{TAIL}", findings), findings)
    assert findings.result() == ()
    return courses(draft)


def test_a_course_goes_through_all_steps_and_keeps_the_numbers_of_their_stages():
    (course,) = courses_of(["torque: 5 N·m", "torque: 9 N·m"], ["angle: 90°"])
    assert [one.called for one in course.passes] == ["Stage 1", "Stage 2", "Stage 1"]
    last = expand(course.programme)[-1]
    assert (str(last.torque), str(last.angle)) == ("9 N·m", "90°")


def test_a_repeat_goes_back_to_a_stage_of_its_own_step():
    (course,) = courses_of(
        ["torque: 5 N·m"], ["torque: 9 N·m", "purpose: loosen, angle: 1/2 turn, repeat_from: 1", "angle: 90°"]
    )
    assert [action.planned for action in expand(course.programme)[::4]] == [1, 2, 3, 2, 4]
