"""The format page has the tables of keys as the format makes them, and its example is a good file."""

import re
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
