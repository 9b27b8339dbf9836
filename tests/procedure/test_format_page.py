"""The format page lists every key and every rule as the reader has them, and its example is a good file."""

import re
from pathlib import Path

import pytest

from assistant.procedure.format.keys import KINDS, TABLES
from assistant.procedure.format.reader import read_text

PAGE = (Path(__file__).parents[2] / "docs" / "procedure-format.md").read_text(encoding="utf-8")


def section(heading: str, level: str = "###") -> str:
    match = re.search(rf"^{level} {re.escape(heading)}\n(.*?)(?=^#|\Z)", PAGE, re.MULTILINE | re.DOTALL)
    assert match, f"The page has no heading {heading}."
    return match[1]


@pytest.mark.parametrize("table", TABLES)
def test_every_key_is_on_the_page(table):
    rows = re.findall(r"^\| `(\w+)` \| (yes|) \| (.+) \|$", section(table), re.MULTILINE)
    keys = KINDS.get(table.removesuffix(" step"), TABLES[table])
    assert rows == [(key.name, "yes" if key.required else "", key.means) for key in keys]


def test_the_example_of_the_page_is_a_good_file():
    (example,) = re.findall(r"^```yaml\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)
    reading = read_text(example.encode(), "example")
    assert reading.findings == ()
    assert len(reading.procedure.steps) == 5
