"""A new procedure from a few answers, and a refit from the steps that strip."""

import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.facts.codes import Direction
from assistant.procedure.findings import Findings
from assistant.procedure.format.document import read_document
from assistant.procedure.format.reader import read_procedure, read_text
from assistant.procedure.format.tree import read_tree
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import TightenStep

ROOT = Path(__file__).parents[2]
DEMOS = sorted((ROOT / "procedures").glob("*.yaml"))
LEFT_OPEN = {"nothing-undecided", "source-and-revision"}
"""The rules that say that something must still be written."""


def decided(text):
    """Do what every TODO asks for: write something, and delete the comment."""
    text = re.sub(r"^ *# TODO.*\n(?: *# .*\n)*", "", text, flags=re.MULTILINE)
    return re.sub(r"\bTODO\b", "Look at the plate", text).encode()


def call(*words, answers=None):
    return CliRunner().invoke(app, [str(word) for word in words], input=answers)


# A new procedure

ANSWERS = "Reseal the pump cover\nPractice engine\n\n\n\n2,5 h\n1\ncover bolts; M8; 4; 5 Nm, 16 Nm, 45°\nnonsense\n" \
    "bracket bolts; M12x1.5; 2; -; new\n\ncover gasket\n\n"  # fmt: skip


def test_the_skeleton_has_no_finding_but_what_must_still_be_written(tmp_path):
    out = tmp_path / "new.yaml"
    result = call("new", out, answers=ANSWERS)
    assert result.exit_code == 0, result.output
    assert "write name; size; count; stages" in result.output, "a wrong answer is told, and asked again"
    text = out.read_text("utf-8")
    assert {finding.rule for finding in read_text(out.read_bytes(), "new").findings} <= LEFT_OPEN
    checked = call("check", out).output
    assert "nothing-undecided" in checked
    # Once everything that it asks for is written, the bay can use it as it stands.
    written = decided(text)
    reading = read_text(written, "written")
    assert not reading.errors, reading.errors
    made = reading.procedure
    assert (made.title, made.machine, made.book_time, made.persons[0].count) == (
        "Reseal the pump cover", "Practice engine", 9000, 1
    )  # fmt: skip
    assert [(group.name, group.bolts, group.thread) for group in made.groups] == [
        ("cover bolts", (1, 2, 3, 4), "M8"), ("bracket bolts", (5, 6), "M12×1.5")
    ]  # fmt: skip
    (tighten,) = [step for step in made.steps if isinstance(step, TightenStep)]
    assert [str(stage.runs[0].target) for stage in tighten.stages] == ["5 N·m", "16 N·m", "45°"]
    assert [(step.spare, step.quantity) for step in made.steps if isinstance(step, FitStep)] == [
        ("new-cover-gasket", 1), ("new-bracket-bolts", 2)
    ]  # fmt: skip


def test_options_answer_every_question_and_without_them_all_is_left_open():
    questions = call("new", answers=ANSWERS)
    options = call(
        "new", "--title", "Reseal the pump cover", "--machine", "Practice engine", "--source", "", "--revision", "1",
        "--scheme", "ansi", "--book-time", "2.5 h", "--persons", "1", "--bolts", "cover bolts; M8; 4; 5 Nm, 16 Nm, 45°",
        "--bolts", "bracket bolts; M12x1.5; 2; -; new", "--spare", "cover gasket",
    )  # fmt: skip
    assert options.exit_code == 0, options.output
    assert options.stdout == questions.stdout
    bare = call("new", "--no-questions")
    assert bare.exit_code == 0
    assert {finding.rule for finding in read_text(bare.stdout.encode(), "bare").findings} <= LEFT_OPEN


@pytest.mark.parametrize(
    ("option", "value", "says"),
    [
        ("--scheme", "iso", "ansi or s1000d"),
        ("--book-time", "2.5", "has no unit of time"),
        ("--bolts", "cover bolts; M8", "name; size; count; stages"),
        ("--bolts", "cover bolts; M8; many", "number of bolts"),
        ("--bolts", "cover bolts; M8; 4; 20", "has no unit"),
        ("--bolts", "cover bolts; M9; 4; 20 Nm", "not a standard size"),
    ],
)
def test_a_wrong_answer_is_one_sentence_and_nothing_is_written(tmp_path, option, value, says):
    out = tmp_path / "new.yaml"
    result = call("new", out, "--no-questions", option, value)
    assert result.exit_code == 2
    assert says in result.output
    assert len(result.output.strip().splitlines()) == 1
    assert not out.exists()


def test_questions_that_end_early_write_nothing(tmp_path):
    out = tmp_path / "new.yaml"
    result = call("new", out, answers="Reseal the pump cover\n")
    assert result.exit_code == 2
    assert "not all answered" in result.output
    assert not out.exists()


def test_a_file_that_is_there_is_told_before_the_questions(tmp_path):
    out = tmp_path / "new.yaml"
    out.write_text("mine", "utf-8")
    result = call("new", out, answers=ANSWERS)
    assert result.exit_code == 8
    assert "What is done" not in result.output
    assert out.read_text("utf-8") == "mine"


# Refit


def stripped(tmp_path, name="hub-drive-reseal"):
    """Return a demo procedure without the chapters that put together again."""
    text = (ROOT / "procedures" / f"{name}.yaml").read_text("utf-8")
    first, last = text.index("  - chapter: Refit"), text.index("\nclosing:")
    path = tmp_path / "strip.yaml"
    path.write_text(text[:first] + text[last + 1 :], "utf-8")
    return path


def drafted(path, *options):
    out = path.with_name("draft.yaml")
    result = call("refit", path, out, "--force", *options)
    assert result.exit_code == 0, result.output
    text = out.read_text("utf-8")
    reading = read_text(decided(text), "draft")
    assert not [one for one in reading.errors if one.rule not in LEFT_OPEN], reading.errors
    return text, re.sub(r"^ *#.*\n", "", text, flags=re.M)


def test_the_refit_brings_back_what_the_strip_took_off_in_reverse_order(tmp_path):
    path = stripped(tmp_path)
    text, bare = drafted(path)
    before = path.read_text("utf-8")
    at = text.index("  # TODO: read every step")
    assert text.startswith(before[: at - 2]), "what was written stays as it is, with its comments"
    # What came off, as a person reads it in the strip steps of the demo, last first.
    wanted = ["back the lock plate", "new lock plate bolts", "hub lock pin", "planet carrier", "back the cover",
              "fitted bolts", "in the cover bolts", "speed sensor", "back the wheel", "wheel nuts"]  # fmt: skip
    part = bare[bare.index("  - chapter: Refit") : bare.index("\nclosing:")]
    places = [part.index(words) for words in wanted]
    assert places == sorted(places)
    assert "drain plug" not in part, "it is back in already"
    assert "the key" not in part, "a closing step puts it back"
    assert text.count("# tighten the ") == text.count("do: TODO") == 4, "no torque is known, so a person must write it"
    assert 'TODO: what undoes "Lay the strap of the hoist' in text


def test_counts_and_new_parts_are_paired(tmp_path):
    text, _ = drafted(stripped(tmp_path))
    reading = read_text(decided(text), "draft")
    steps = [*reading.procedure.chapters[-1].steps]
    assert [step.group for step in steps if isinstance(step, CountStep)] == ["fitted", "cover", "wheel"]
    assert all(step.direction is Direction.IN for step in steps if isinstance(step, CountStep))
    assert new_parts(steps) == {("plate-bolts", 3)}
    assert {step.refits for step in steps if isinstance(step, DoStep) and step.refits} == {
        "plate-off", "pin-in", "carrier-off", "cover-off", "sensor-off", "wheel-off"
    }  # fmt: skip
    assert [(step.refits, step.unlock) for step in steps if step.unlock] == [("pin-in", "hub-pin")]


def new_parts(steps):
    return {(step.spare, step.quantity) for step in steps if isinstance(step, FitStep)}


def test_a_single_use_part_that_nothing_fits_yet_is_drafted_too(tmp_path):
    text, _ = drafted(stripped(tmp_path, "gearbox-side-cover"))
    steps = read_text(decided(text), "draft").procedure.chapters[-1].steps
    assert new_parts(steps) == {("gasket", 1), ("end-bolts", 2)}


def test_torques_come_from_a_programme_once_all_its_bolts_are_in(tmp_path):
    whole = read_procedure(ROOT / "procedures" / "hub-drive-reseal.yaml").procedure
    text, _ = drafted(stripped(tmp_path), "--programme", ROOT / "procedures" / "hub-drive-reseal.yaml")
    reading = read_text(decided(text), "draft")
    steps = list(reading.procedure.chapters[-1].steps)
    made = [step for step in steps if isinstance(step, TightenStep)]
    wanted = {step.text: step for step in whole.steps if isinstance(step, TightenStep)}
    assert {step.text for step in made} == set(wanted) - {"Tighten the drain plug.", "Tighten the level plug."}
    for step in made:
        assert [[(run.bolts, str(run.target)) for run in stage.runs] for stage in step.stages] == [
            [(run.bolts, str(run.target)) for run in stage.runs] for stage in wanted[step.text].stages
        ]
    cover = next(place for place, step in enumerate(steps) if step.id.startswith("cover-tight"))
    assert {step.group for step in steps[:cover] if isinstance(step, CountStep)} == {"cover", "fitted"}


TWICE = """
procedure: {id: torques, title: Torques, revision: 1, source: Bench book, machine: Engine, hazard_scheme: ansi}
preliminary:
  conditions: []
  persons: []
  support_equipment:
    - {id: small-wrench, name: small torque wrench}
    - {id: long-wrench, name: long torque wrench}
    - {id: angle-gauge, name: protractor}
  supplies: []
  spares: []
  safety: []
groups:
  - {id: long, name: long bolts, size: eight millimetre, bolts: 1-4}
  - {id: short, name: short bolts, size: six millimetre, bolts: 5-6}
  - {id: foot, name: foot bolts, size: ten millimetre, bolts: 7-8}
timers: [{id: settle, name: settling time, cure: 10 min}]
chapters:
  - chapter: Tighten
    steps:
      - id: first
        tighten: Tighten the cover.
        starts: settle
        stages:
          - torque: 5 N·m
            tool: small-wrench
            runs: [{group: long, bolts: [1, 3, 2, 4]}, {group: short, bolts: 5-6}]
      - {id: settled, wait: Let the gasket settle., timer: settle}
      - id: short-again
        tighten: Tighten the short bolts.
        stages: [{torque: 9 N·m, runs: [{group: short, bolts: 5-6}]}]
      - id: second
        tighten: Tighten the long bolts again.
        tools: [long-wrench, angle-gauge]
        stages:
          - {torque: 18 N·m, tool: long-wrench, runs: [{group: long, bolts: [4, 2, 3, 1]}]}
          - {angle: 60°, tool: angle-gauge, runs: [{group: long, bolts: [4, 2, 3, 1]}]}
      - id: foot-tight
        tighten: Tighten the foot bolts.
        stages: [{torque: 32 N·m, tool: long-wrench, runs: [{group: foot, bolts: 7-8}]}]
closing:
  - {check: "Is it tight?"}
"""


def test_every_tightening_step_of_a_group_is_taken_over_with_its_tools(tmp_path):
    programme = tmp_path / "torques.yaml"
    programme.write_text(TWICE, "utf-8")
    strip = stripped(tmp_path, "coolant-pump-cover")
    out = tmp_path / "draft.yaml"
    assert call("refit", strip, out, "--programme", programme).exit_code == 0
    text = out.read_text("utf-8")
    findings = Findings("draft")
    steps = read_document(read_tree(text, findings), findings).procedure.chapters[-1].steps
    made = [step for step in steps if isinstance(step, TightenStep)]
    assert [step.text for step in made] == [
        "Tighten the cover.", "Tighten the short bolts.", "Tighten the long bolts again."
    ]  # fmt: skip
    assert [(step.tools, [stage.tool for stage in step.stages]) for step in made] == [
        ((), ["small-wrench"]), ((), [None]), (("long-wrench", "angle-gauge"), ["long-wrench", "angle-gauge"])
    ]  # fmt: skip
    assert [[run.bolts for run in stage.runs] for stage in made[2].stages] == [[(4, 2, 3, 1)]] * 2
    told = " ".join(text.replace("#", "").split())
    for words in (
        'TODO: list "long-wrench" (long torque wrench) under support_equipment',
        'TODO: list "settle" (settling time) under timers',
        'TODO: "angle-gauge" is the angle gauge here, and the protractor in the programme',
        'TODO: the programme has a step before this one, "settled": Let the gasket settle.',
        "TODO: name the tool of stage 1",
        'TODO: where the step "foot-tight" of the programme belongs, which is not used: Tighten the foot bolts.',
    ):
        assert words in told
    assert call("check", out).exit_code == 4


def test_a_programme_that_was_imported_is_used_with_what_it_leaves_open(tmp_path):
    table = tmp_path / "table.csv"
    table.write_text("Group,Size,Bolts,Stage 1 (Nm),Stage 2\nlong,M8,1-4,5,18 Nm\nshort,M6,5-6,4,9 Nm\n", "utf-8")
    imported, out = tmp_path / "torques.yaml", tmp_path / "draft.yaml"
    assert call("import", table, imported).exit_code == 0
    assert call("check", imported).exit_code == 4, "it has TODOs of its own"
    result = call("refit", stripped(tmp_path, "coolant-pump-cover"), out, "--programme", imported)
    assert result.exit_code == 0, result.output
    assert "torques.yaml is a draft itself" in result.output
    text = out.read_text("utf-8")
    assert "# TODO: torques.yaml is a draft itself" in text
    reading = read_text(decided(text).replace(b"torque-wrench", b"small-wrench"), "draft")
    (step,) = [one for one in reading.procedure.chapters[-1].steps if isinstance(one, TightenStep)]
    assert [[str(run.target) for run in stage.runs] for stage in step.stages] == [
        ["5 N·m", "4 N·m"], ["18 N·m", "9 N·m"]
    ]  # fmt: skip


def test_stages_with_passes_are_taken_over_as_the_programme_has_them(tmp_path):
    table = tmp_path / "table.csv"
    table.write_text(
        "Group,Size,Bolts in order,Stage,Label,Pass,Value,Repeat,Together,Tool\n"
        'long,M8,"1, 3, 2, 4",1,,,5 Nm,,,small wrench\nshort,M6,5-6,1,,,4 Nm,,,small wrench\n'
        'long,,"1, 3, 2, 4",2a,Final,1,18 Nm,,,small wrench\nlong,,"1, 3, 2, 4",2a,Final,2,30°,3,,angle gauge\n'
        "short,,5-6,2a,Final,3,20°,,yes,angle gauge\n",
        "utf-8",
    )
    programme, out = tmp_path / "torques.yaml", tmp_path / "draft.yaml"
    assert call("import", table, programme).exit_code == 0
    result = call("refit", stripped(tmp_path, "coolant-pump-cover"), out, "--programme", programme)
    assert result.exit_code == 0, result.output
    text = out.read_text("utf-8")
    findings = Findings("draft")
    steps = read_document(read_tree(text, findings), findings).procedure.chapters[-1].steps
    (step,) = [one for one in steps if isinstance(one, TightenStep)]
    first, final = step.stages
    assert [(run.bolts, str(run.target)) for run in first.runs] == [((1, 3, 2, 4), "5 N·m"), ((5, 6), "4 N·m")]
    assert (final.number, final.label) == ("2a", "Final")
    assert [
        (run.bolts, str(run.target), one.repeat, one.together, final.tool_of(one, run))
        for one in final.passes
        for run in one.runs
    ] == [
        ((1, 3, 2, 4), "18 N·m", 1, False, "small-wrench"),
        ((1, 3, 2, 4), "30°", 3, False, "angle-gauge"),
        ((5, 6), "20°", 1, True, "angle-gauge"),
    ]


def test_hazards_of_taking_off_are_carried_over_to_be_looked_at(tmp_path):
    text, _ = drafted(stripped(tmp_path))
    carrier = text[text.index("carrier-off-back") :]
    assert "The planet gears turn when the carrier moves." in carrier
    assert "TODO: these are the hazards of taking it off" in text


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_a_whole_procedure_has_nothing_to_draft(path, tmp_path):
    result = call("refit", path, tmp_path / "draft.yaml")
    assert result.exit_code == 0
    assert "there is nothing to draft" in result.output
    assert not (tmp_path / "draft.yaml").exists()


def test_the_original_changes_only_when_told_and_is_kept(tmp_path):
    path = stripped(tmp_path, "coolant-pump-cover")
    before = path.read_bytes()
    assert call("refit", path).exit_code == 0
    result = call("refit", path, path)
    assert result.exit_code == 8
    assert "--write" in result.output
    assert path.read_bytes() == before
    assert call("refit", path, "--write").exit_code == 0
    assert (tmp_path / "strip.yaml.bak").read_bytes() == before
    assert b"Put back the cover." in path.read_bytes()


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda text: text.replace("out: long", "out: lang"), 'no group with the id "lang"'),
        (lambda text: "chapters: [", "yaml-syntax"),
        (lambda text: text[: text.index("\nchapters:")] + "\n", "missing-key"),
    ],
)
def test_a_procedure_that_cannot_be_read_gets_its_findings(tmp_path, change, says):
    path = stripped(tmp_path, "coolant-pump-cover")
    path.write_text(change(path.read_text("utf-8")), "utf-8")
    result = call("refit", path)
    assert result.exit_code == 4
    assert says in result.output
    assert result.stdout == ""


def test_other_line_ends_and_indents_of_the_author_are_followed(tmp_path):
    path = stripped(tmp_path, "coolant-pump-cover")
    lines = path.read_text("utf-8").splitlines()
    first, last = lines.index("chapters:") + 1, lines.index("closing:")
    shifted = [line[2:] if first <= place < last else line for place, line in enumerate(lines)]
    path.write_bytes("\r\n".join([*shifted, ""]).encode())
    assert not [one for one in read_procedure(path).errors if one.rule not in {"counts-match", "single-use-new"}]
    text, _ = drafted(path)
    assert "\n- chapter: Refit\n  steps:\n" in text
    written = path.with_name("draft.yaml").read_bytes()
    assert written.count(b"\r\n") == written.count(b"\n")


def test_parts_between_braces_cannot_be_added_to_and_that_is_told(tmp_path):
    path = stripped(tmp_path, "coolant-pump-cover")
    text = path.read_text("utf-8")
    parts = "chapters: [{chapter: Strip, steps: [{id: out, count: Take out the long bolts., out: long}]}]\n\n"
    path.write_text(text[: text.index("chapters:")] + parts + text[text.index("closing:") :], "utf-8")
    result = call("refit", path)
    assert result.exit_code == 4
    assert "one step under the other" in result.output
    assert result.stdout == ""
