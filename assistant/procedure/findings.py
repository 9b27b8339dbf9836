"""Findings: what is wrong in a procedure file, where, and what to write instead."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from difflib import get_close_matches
from enum import StrEnum
from typing import Protocol

MOST_FINDINGS = 100
"""More than a person works through at once; the rest is only counted."""
_LONGEST_SHOWN = 60
_FIRST_THESE = "mend these first, then read again"
_LONGEST_SENTENCE = 800
"""Letters of a finding; one that quotes more of a file than a person reads is cut in its middle."""
_HEAD = 500


class Level(StrEnum):
    """An ``ERROR`` means that the file cannot be used; a ``WARNING`` asks to look again."""

    ERROR = "error"
    WARNING = "warning"


class Place(Protocol):
    """Anything that stands somewhere in a file; lines and columns count from one."""

    @property
    def line(self) -> int:
        """Return the line."""

    @property
    def column(self) -> int:
        """Return the column, in characters."""


@dataclass(frozen=True, slots=True)
class At:
    """A place in a file; lines and columns count from one."""

    line: int = 1
    column: int = 1


@dataclass(frozen=True, slots=True, order=True)
class Finding:
    """One fault in a file that a person gives, of whatever kind: where, how bad, by which rule, why, and what to do.

    ``rule`` is a heading of the docs; ``cell`` names the place in a table as its owner sees it: "row 4, column C".
    """

    file: str
    line: int
    column: int
    level: Level
    rule: str
    reason: str
    advice: str
    cell: str = ""

    @property
    def text(self) -> str:
        """Return what is wrong and what to write instead, as one sentence."""
        whole = f"{self.reason}: {self.advice}" if self.advice else self.reason
        if len(whole) > _LONGEST_SENTENCE:
            whole = f"{whole[:_HEAD]} ... {whole[_HEAD - _LONGEST_SENTENCE :]}"
        return whole if whole.endswith("?") else f"{whole}."

    @property
    def told(self) -> str:
        """Return the sentence behind its place in the table, where it has one."""
        return f"{self.cell}: {self.text}" if self.cell else self.text

    def __str__(self) -> str:
        """Return the finding on one line, in the form that editors can jump to."""
        return f"{self.file}:{self.line}:{self.column}: {self.level}: {self.text} [{self.rule}]"


@dataclass(frozen=True, slots=True, order=True)
class Waived:
    """A warning that the author of the file answers for, with the reason that stands in the file."""

    finding: Finding
    reason: str


class ReadingRule(StrEnum):
    """Rules about the writing itself, which are met while the file is read; ``means`` says each in one line."""

    means: str

    def __new__(cls, name: str, means: str) -> ReadingRule:
        """Make the rule ``name``."""
        made = str.__new__(cls, name)
        made._value_ = name
        made.means = means
        return made

    FILE = "file", "The file exists, is a regular file, and can be read."
    FILE_SIZE = "file-size", "The file is at most one million bytes long."
    ENCODING = "encoding", "The file is UTF-8 text."
    CHARACTERS = "characters", "The file has no control characters and no invisible characters."
    EMPTY_FILE = "empty-file", "The file holds a procedure."
    YAML_SYNTAX = "yaml-syntax", "The file is well-formed YAML."
    PLAIN_YAML = "plain-yaml", "Only plain YAML: no tags, anchors, aliases, merge keys, directives or second documents."
    NESTING = "nesting", "Lists and mappings are not nested deeper, and are not more, than any procedure needs."
    DUPLICATE_KEY = "duplicate-key", "No key stands twice in one mapping."
    UNKNOWN_KEY = "unknown-key", "Every key is one that its mapping has."
    RENAMED_KEY = "renamed-key", "Keys have the names that they have now."
    MISSING_KEY = "missing-key", "Every key that a mapping needs is there."
    VALUE_TYPE = "value-type", "A value is of the kind that its key takes: text, list or mapping."
    TEXT = "text", "A text is not empty, not too long, and has no control characters."
    NUMBER = "number", "A number is written in plain decimal digits and is in the range of its key."
    YES_NO = "yes-no", "A yes-or-no value is written yes or no."
    DATE = "date", "A day is a day of the calendar, written year, month, day, such as 2026-01-31."
    ID_FORM = "id-form", "An id is lower-case letters, digits and hyphens, and begins with a letter."
    UNIT = "unit", "A torque, an angle, a time or a limit has a number and a unit that is known."
    BOLT_LIST = "bolt-list", "A list of bolts has whole numbers and ranges, and no bolt twice."
    ROWS = (
        "rows",
        "What is repeated are numbers and names that can be called aloud: at least one, none twice, at most 99.",
    )
    STEP_KIND = "step-kind", "A step has exactly one of the keys that say what kind of step it is."
    SIGNAL_WORD = "signal-word", "A hazard has exactly one signal word: danger, warning, caution or notice."
    PICTURE = "picture", "A picture is a PNG or a JPEG file of a bounded size that lies beside the procedure file."
    TOO_MANY_STEPS = "too-many-steps", "A procedure has at most 500 steps."
    TOO_MANY_FINDINGS = "too-many-findings", "When there are more than 100 findings, the rest is only counted."


class Findings:
    """Collects the findings of one file, all of them, and gives them out in the order of the file.

    ``what`` says in one word what kind of file it should be.
    """

    def __init__(self, file: str, what: str = "procedure") -> None:
        self.file = file
        self.what = what
        self.count = 0
        self.errors = 0
        self.waived: list[Waived] = []
        """Warnings that a waiver of the file covers."""
        self._kept: list[Finding] = []

    @property
    def full(self) -> bool:
        """Return whether further findings are only counted, so that hostile files cost no time."""
        return self.count >= MOST_FINDINGS

    def add(self, place: Place, rule: str, reason: str, advice: str, level: Level = Level.ERROR) -> None:
        """Add one finding at ``place``: what is wrong, and what to write instead, without full stops."""
        if not self.full:
            self._kept.append(self._finding(place, rule, reason, advice, level))
        self.count += 1
        self.errors += level is Level.ERROR

    def waive(self, place: Place, rule: str, reason: str, advice: str, why: str) -> None:
        """Keep a warning apart, because of ``why``."""
        self.waived.append(Waived(self._finding(place, rule, reason, advice, Level.WARNING), why))

    def _finding(self, place: Place, rule: str, reason: str, advice: str, level: Level) -> Finding:
        return Finding(self.file, place.line, place.column, level, str(rule), reason, advice)

    def suggest(self, wrong: str, known: Iterable[str]) -> str:
        """Return what to write instead of ``wrong``: the nearest of ``known``, or all of them when none is near."""
        if self.full:
            return ""
        choices = sorted(known)
        near = get_close_matches(wrong[:_LONGEST_SHOWN].lower().replace("_", "-"), choices, 1)
        near = near or get_close_matches(wrong[:_LONGEST_SHOWN].lower().replace("-", "_"), choices, 1)
        if near:
            return f'did you mean "{near[0]}"?'
        return f"write one of: {', '.join(choices[:20])}" if choices else "there is none in this file"

    def result(self) -> tuple[Finding, ...]:
        """Return the findings in the order of the file."""
        kept = sorted(self._kept, key=lambda found: (found.line, found.column, found.rule, found.text))
        if self.count > MOST_FINDINGS:
            more = f"There are {self.count - MOST_FINDINGS} findings more"
            kept.append(self._finding(kept[-1], ReadingRule.TOO_MANY_FINDINGS, more, _FIRST_THESE, Level.ERROR))
        return tuple(kept)
