"""The format page has the tables of keys as the format makes them, and its example is a good file."""

import re
import textwrap
from pathlib import Path

import pytest

from assistant.procedure.format.page import procedure_tables, with_tables
from assistant.procedure.format.reader import read_text

PAGE = (Path(__file__).parents[2] / "docs" / "procedure-format.md").read_text(encoding="utf-8")


def test_the_tables_of_the_page_are_those_of_the_format():
    said = "say: python -m assistant.procedure.format.page < docs/procedure-format.md"
    assert with_tables(PAGE, procedure_tables()) == PAGE, said


def test_a_key_that_is_missing_on_the_page_is_written_there():
    row = next(line for line in PAGE.splitlines(keepends=True) if line.startswith("| `hidden` |"))
    assert with_tables(PAGE.replace(row, ""), procedure_tables()) == PAGE


def test_a_mapping_without_a_heading_is_told():
    with pytest.raises(LookupError, match="no heading hidden bolt"):
        with_tables(PAGE.replace("### hidden bolt", "### bolt"), procedure_tables())


def test_the_example_of_the_page_is_a_good_file():
    example, *_ = re.findall(r"^```yaml\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)
    reading = read_text(example.encode(), "example")
    assert reading.findings == ()
    assert len(reading.procedure.steps) == 5


FRAME = """
procedure: {id: page, title: Page, revision: 1, source: Bench book, machine: Practice engine, hazard_scheme: ansi}
preliminary:
  conditions: []
  persons: [{kind: mechanic, count: 2}]
  support_equipment:
    - {id: wrench, name: torque wrench}
    - {id: gauge, name: angle gauge}
    - {id: long-gauge, name: long angle gauge}
    - {id: feeler-gauge, name: feeler gauge}
    - {id: puller, name: rail puller}
    - {id: hub-pin, name: hub lock pin}
  supplies: [{id: gear-oil, name: gear oil, quantity: 11, unit: l, specification: practice oil}]
  spares: [{id: rail, name: slide rail, quantity: 1}, {id: hose, name: breather hose, quantity: 1}]
  safety: []
groups: [{id: cover, name: cover bolts, size: eight millimetre, bolts: 1-6, order: [1, 4, 2, 3, 5, 6]}]
timers: [{id: curing, name: curing time, cure: 5 min}]
closing: [{check: Is it tight?}]
chapters:
  - chapter: Work
    steps:
"""
"""What the examples of single steps name: tools, parts, a group and a timer."""
STAGE = "{torque: 5 N·m, tool: wrench, runs: [{group: cover, bolts: all}]}"


def snippets():
    """Return the examples of the page that are steps or stages, as steps."""
    for body in re.findall(r"^```(?:yaml)?\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL):
        text = textwrap.dedent(body).replace("[...]", f"[{STAGE}]")
        if text.startswith("- "):
            yield text
        elif text.startswith("stages:"):
            yield "- tighten: Tighten the cover bolts.\n" + textwrap.indent(text, "  ")


@pytest.mark.parametrize("text", list(snippets()), ids=lambda text: text.split("\n")[0][:40])
def test_the_examples_of_steps_can_be_read_as_they_stand(text):
    reading = read_text((FRAME + textwrap.indent(text, "      ")).encode(), "example")
    # What an example names is there, but not what surrounds it in a whole job, such as a level that is looked at.
    assert reading.errors == ()


@pytest.mark.parametrize(
    "key",
    [
        *("for each", "if no", "if below", "if above", "then", "offer", "why", "minutes", "needs", "turns", "against"),
        *("stage", "label", "passes", "repeat", "together", "swing", "reseat", "of", "measure", "readings", "when"),
        *("gate", "witness", "amount", "picture", "lock", "unlock", "people", "helper"),
    ],
)
def test_every_key_of_the_work_stands_in_an_example(key):
    assert any(re.search(rf"(?:^|[{{,\s]){key}:", text) for text in snippets())
