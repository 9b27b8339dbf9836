"""What a skeleton shows of the things that an author can have: what was answered as keys, the rest as examples."""

import re

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.procedure.format.reader import read_text
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.measure import MeasureStep
from assistant.procedure.steps.tighten import TightenStep
from assistant.procedure.steps.wait import WaitStep
from tests.authoring.test_drafts import ANSWERS, LEFT_OPEN, decided

BOLTS = ("--bolts", "cover bolts; M8; 4; 5 Nm, 16 Nm, 45°")
LATER = (
    ("--readings", "valve clearances; cylinder; 1-6; intake 0,15 to 0.25 mm, exhaust at most 0.35 mm"),
    ("--readings", "brake pads; wheel; front left, front right; inner at least 3 mm"),
    ("--gate", "Do the marks line up"), ("--gate", "Is the pin in?; witness"), ("--gate", "Is it tight; witness; gate"),
    ("--wait", "sealant; cures; 30 min"), ("--wait", "housing; cool; 1 h"), ("--amount", "gear oil; 11,5 l"),
)  # fmt: skip
QUESTIONS = ("--readings", "--gate", "--wait", "--amount")


def new(*words, answers=None):
    result = CliRunner().invoke(app, ["new", *words], input=answers)
    assert result.exit_code == 0, result.output
    return result.stdout


def bare(*words):
    return new("--no-questions", "--title", "Reseal", "--source", "Bench book", "--machine", "Practice engine", *words)


def examples(text):
    """Return the examples of a skeleton as (first line, line behind the last one), and its lines."""
    lines = text.splitlines()
    heads = [place for place, line in enumerate(lines) if re.match(r" *# .*example:$", line)]
    return [(place + 1, lines.index("", place)) for place in heads], lines


def uncommented(text, but=None):
    """Take the hash away from every line of every example, ``but`` from one."""
    found, lines = examples(text)
    for number, (first, end) in enumerate(found):
        for place in range(first, end) if number != but else ():
            assert re.match(r" *# ", lines[place])
            lines[place] = re.sub(r"^( *)# ", r"\1", lines[place])
    return "\n".join([*lines, ""])


def test_every_example_is_good_once_its_hashes_are_gone():
    text = bare(*BOLTS)
    assert len(examples(text)[0]) == 8
    reading = read_text(decided(uncommented(text)), "all")
    assert reading.findings == ()
    steps = list(reading.procedure.steps)
    (tighten,) = (step for step in steps if isinstance(step, TightenStep))
    assert [len(stage.passes) for stage in tighten.stages] == [1, 1, 1, 2]
    (branched,) = (step for step in steps if step.branches)
    assert isinstance(branched, CheckStep)
    (measure,) = (step for step in steps if isinstance(step, MeasureStep))
    assert len(list(measure.cells())) == 8
    (gate,) = (step for step in steps if step.gate)
    assert gate.witness
    (wait,) = (step for step in steps if isinstance(step, WaitStep))
    assert wait.needs == (next(step.id for step in steps if step.starts_timer),)
    assert [step.amount.unit for step in steps if isinstance(step, DoStep) and step.amount] == ["ml"]
    # Left as they are, they are nothing.
    untouched = read_text(decided(text), "none")
    assert untouched.findings == ()
    assert not [step for step in untouched.procedure.steps if step.branches or step.gate or step.needs is not None]
    assert untouched.procedure.timers == ()


@pytest.mark.parametrize("but", range(8))
def test_an_example_is_good_without_any_other(but):
    text = bare(*BOLTS)
    errors = {error.rule for error in read_text(decided(uncommented(text, but)), "one left").errors}
    first, _ = examples(text)[0][but]
    needed = "timers:" in text.splitlines()[first]
    # The wait is the one that needs another example: its timer.
    assert bool(errors) == needed, errors


def test_what_was_answered_stands_as_keys_and_is_no_example_any_more():
    options = [word for pair in LATER for word in pair]
    text = bare("--bolts", "cover bolts; M8; 4; 5 Nm, (16 Nm, 45°), (30°)", *options)
    assert [text.splitlines()[first].strip() for first, _ in examples(text)[0]] == ["# - check: Are both faces clean?"]
    reading = read_text(decided(text), "live")
    assert {finding.rule for finding in reading.findings} == {"usual-hazards"}, "hot parts need words of their author"
    steps = list(reading.procedure.steps)
    (tighten,) = (step for step in steps if isinstance(step, TightenStep))
    assert [[str(one.runs[0].target) for one in stage.passes] for stage in tighten.stages] == [
        ["5 N·m"], ["16 N·m", "45°"], ["30°"]
    ]  # fmt: skip
    clearances, pads = (step for step in steps if isinstance(step, MeasureStep))
    assert (clearances.each, len(clearances.rows), [column.name for column in clearances.columns]) == (
        "cylinder", 6, ["intake", "exhaust"]
    )  # fmt: skip
    assert [row.name for row in pads.rows] == ["front left", "front right"]
    assert [(step.text, step.gate, step.witness) for step in steps if step.gate or step.witness] == [
        ("Do the marks line up?", True, False), ("Is the pin in?", False, True), ("Is it tight?", True, True)
    ]  # fmt: skip
    cooled, cured = (step for step in steps if isinstance(step, WaitStep))
    for wait, chapter in ((cooled, "Make safe"), (cured, "Refit")):
        (begin,) = (step for step in steps if step.starts_timer == wait.timer)
        assert wait.needs == (begin.id,)
        inside = next(one for one in reading.procedure.chapters if one.name == chapter).steps
        meanwhile = inside[inside.index(wait) - 1]
        assert meanwhile.needs == ()
    (filled,) = (step for step in steps if isinstance(step, DoStep) and step.amount)
    assert (str(filled.amount.value), filled.amount.unit, filled.supplies) == ("11.5", "l", ("gear-oil",))
    assert [person.count for person in reading.procedure.persons] == [1, 1]
    assert reading.procedure.closing[-1].text == "Is the level of the gear oil right?"


def test_two_mechanics_are_enough_for_a_gate():
    text = bare("--persons", "2", "--gate", "Do the marks line up")
    assert [person.count for person in read_text(decided(text), "two").procedure.persons] == [2]


def test_answers_that_were_written_down_before_there_were_more_questions_stay_valid():
    ended = new(answers=ANSWERS)
    assert ended == new(answers=ANSWERS + "\n" * len(QUESTIONS))
    assert {finding.rule for finding in read_text(ended.encode(), "ended").findings} <= LEFT_OPEN


def test_the_questions_ask_for_the_same_as_the_options():
    lines = ["Reseal", "Practice engine", "Bench book", "1", "ansi", "", "1", BOLTS[1], "", ""]
    for option in QUESTIONS:
        lines += [*(value for name, value in LATER if name == option), ""]
    options = [word for pair in LATER for word in pair]
    assert new(answers="\n".join([*lines, ""])) == bare(*BOLTS, *options)


@pytest.mark.parametrize(
    ("option", "value", "says"),
    [
        ("--bolts", "cover bolts; M8; 4; 5 Nm, (16, 45°)", "has no unit"),
        ("--bolts", "cover bolts; M8; 4; 5 Nm, (16 Nm, 45°", "does not begin with a number"),
        ("--readings", "valve clearances; cylinder; 1-6", "not four entries"),
        ("--readings", "valve clearances; cylinder; 1-6; intake", "not a name and its limits"),
        ("--readings", "valve clearances; cylinder; 1-6; intake 0.2", "not a pair of limits"),
        ("--gate", "Is it tight; lock", "neither gate nor witness"),
        ("--gate", "; gate", "no question"),
        ("--wait", "sealant; dries; 3 min", "cure or cool"),
        ("--wait", "sealant; cure; 3", "has no unit of time"),
        ("--amount", "gear oil", "not two entries"),
        ("--amount", "gear oil; 11", "not an amount"),
    ],
)
def test_a_wrong_answer_is_one_sentence(option, value, says):
    result = CliRunner().invoke(app, ["new", "--no-questions", option, value])
    assert result.exit_code == 2
    assert result.stdout == ""
    assert says in result.output
    assert len(result.output.strip().splitlines()) == 1


def test_a_wrong_answer_to_a_question_is_told_and_asked_again():
    lines = ["Reseal", "", "", "", "", "", "", "", "", "", "", "", "gear oil; 11", "gear oil; 11 l", ""]
    result = CliRunner().invoke(app, ["new"], input="\n".join([*lines, ""]))
    assert result.exit_code == 0
    assert "not an amount" in result.stderr
    assert "amount: 11 l" not in result.stderr
    assert "amount: 11 l" in result.stdout
