"""What must not stand in any tracked file: examples that are not ours. Numbers and names of our own are there instead.

The patterns are put together here from parts, so that this file does not hold what it looks for. Recordings are covered
by the talks that they are made from.
"""

from __future__ import annotations

import re
import subprocess
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
_NO_TEXT = re.compile(r"(?:^|/)(?:uv\.lock|requirements\.lock|SHA256SUMS)$|\.(?:flac|mdl|fst|int|conf|png|ico)$")
_TRADE_WORDS = re.compile(r"^(?:models/|assistant/language/en/(?:dangers|machine|notes)\.py)")
"""Lists of words that a mechanic may say, and rules that look for them: they are no examples."""


def parts(*pieces: str) -> str:
    """Return the pieces in one, which stand apart in this file."""
    return "".join(pieces)


RULES = {
    "a torque with five turns of a quarter": (
        parts(
            r"\b(?:six", "ty|6", r"0)\s?(?:N·m|Nm|newton metres?)[^\n]{0,80}\b(?:five|5)[^\n]{0,20}(?:quarter|9", "0)"
        ),
        parts("tightened to 6", "0 N·m, then five times by 9", "0 degrees"),
    ),
    "the sum of five quarter turns": (
        parts(r"\b4", r"50\s?(?:°|degrees?)|four hundred and fif", "ty degrees"),
        parts("4", "50°"),
    ),
    "bolts in runs of two, four and ten": (
        parts(r"\b1", r"-2\b[^\n]{0,40}\b3", r"-6\b[^\n]{0,40}\b7", r"-1[06]\b|\(3, 4, 5, ", r"6\)"),
        parts("bolts 1", "-2, 3", "-6 and 7", "-16"),
    ),
    "the runs of that partition, spoken": (
        parts("bolts three ", "to six|bolts seven ", "to (?:ten|sixteen)"),
        parts("Bolts three ", "to six."),
    ),
    "a count of a dozen and four": (parts("count six", "teen|count one ", r"six\b"), parts("count six", "teen")),
    "sixteen bolts and two": (parts(r"\bbolts: 1", r"-16\b|\bbolts: 17", r"-18\b"), parts("{bolts: 1", "-16}")),
    "three hundred through a ratio of five": (
        parts(r"\b30", "0 N·m, ratio: '5'"),
        parts("{output: 30", "0 N·m, ratio: '5'}"),
    ),
    "drive straps and what tightens them": (
        parts(r"\bbe", r"lts?\b|\btension", r"ers?\b"),
        parts("lay the be", "lt over"),
    ),
    "a peg that locates a cover": (parts("guide ", r"pins?\b"), parts("two guide ", "pins")),
    "the demo that went": (parts("front", "[-_ ]cover"), parts("front", "-cover")),
    "arithmetic called practice": (
        parts("check: total_angle\n  source: common ", "practice"),
        parts("- check: total_angle\n  source: common ", "practice"),
    ),
}
"""What it is, the pattern that finds it, and a sample that must be found."""


def tracked() -> Iterator[tuple[str, str]]:
    """Yield path and text of every tracked file that holds text."""
    names = subprocess.run(["git", "ls-files", "-z"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    for name in names.split("\0"):
        if name and (ROOT / name).is_file() and not _NO_TEXT.search(name):
            yield name, (ROOT / name).read_text("utf-8", errors="replace")


@pytest.mark.parametrize("what", RULES)
def test_no_file_holds_an_example_that_is_not_ours(what: str) -> None:
    pattern, sample = RULES[what]
    assert re.search(pattern, sample, re.IGNORECASE), "a pattern that finds nothing would keep nothing out"
    found = [
        f"{name}:{text.count(chr(10), 0, match.start()) + 1}: {match[0]}"
        for name, text in tracked()
        if not (what == "drive straps and what tightens them" and _TRADE_WORDS.search(name))
        for match in re.finditer(pattern, text, re.IGNORECASE)
    ]
    assert found == []
