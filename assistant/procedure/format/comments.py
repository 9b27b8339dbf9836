"""Comments that say that something is still open. The model has no comments, so they are read from the text."""

from __future__ import annotations

import re
from collections.abc import Iterator

from assistant.faults import quoted
from assistant.procedure.findings import At, Findings

RULE = "nothing-undecided"
_TODO = re.compile(r"([ \t]*)#[ \t#]*(TODO\b.*)")


def open_comments(text: str) -> Iterator[tuple[At, str]]:
    """Yield the place and the words of every comment that begins with TODO and has a line of its own."""
    for number, line in enumerate(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"), 1):
        if found := _TODO.match(line):
            yield At(number, len(found[1]) + 1), found[2].rstrip()


def check_comments(text: str, findings: Findings) -> None:
    """Complain about every comment that says that something is still open, as drafts have them."""
    for place, words in open_comments(text):
        sentence = f"{quoted(words)} says that something is still open"
        hint = "decide it, write it and delete the comment"
        findings.add(place, RULE, sentence, hint)
