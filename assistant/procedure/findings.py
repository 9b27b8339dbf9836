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
    """Rules about the writing itself, which are met while the file is read."""

    FILE = "file"
    FILE_SIZE = "file-size"
    ENCODING = "encoding"
    CHARACTERS = "characters"
    EMPTY_FILE = "empty-file"
    YAML_SYNTAX = "yaml-syntax"
    PLAIN_YAML = "plain-yaml"
    NESTING = "nesting"
    DUPLICATE_KEY = "duplicate-key"
    UNKNOWN_KEY = "unknown-key"
    RENAMED_KEY = "renamed-key"
    MISSING_KEY = "missing-key"
    VALUE_TYPE = "value-type"
    TEXT = "text"
    NUMBER = "number"
    YES_NO = "yes-no"
    DATE = "date"
    ID_FORM = "id-form"
    UNIT = "unit"
    BOLT_LIST = "bolt-list"
    STEP_KIND = "step-kind"
    SIGNAL_WORD = "signal-word"
    TOO_MANY_STEPS = "too-many-steps"
    TOO_MANY_FINDINGS = "too-many-findings"


READING_RULES: dict[str, str] = {
    ReadingRule.FILE: "The file exists, is a regular file, and can be read.",
    ReadingRule.FILE_SIZE: "The file is at most one million bytes long.",
    ReadingRule.ENCODING: "The file is UTF-8 text.",
    ReadingRule.CHARACTERS: "The file has no control characters and no invisible characters.",
    ReadingRule.EMPTY_FILE: "The file holds a procedure.",
    ReadingRule.YAML_SYNTAX: "The file is well-formed YAML.",
    ReadingRule.PLAIN_YAML: "Only plain YAML: no tags, anchors, aliases, merge keys, directives or second documents.",
    ReadingRule.NESTING: "Lists and mappings are not nested deeper, and are not more, than any procedure needs.",
    ReadingRule.DUPLICATE_KEY: "No key stands twice in one mapping.",
    ReadingRule.UNKNOWN_KEY: "Every key is one that its mapping has.",
    ReadingRule.RENAMED_KEY: "Keys have the names that they have now.",
    ReadingRule.MISSING_KEY: "Every key that a mapping needs is there.",
    ReadingRule.VALUE_TYPE: "A value is of the kind that its key takes: text, list or mapping.",
    ReadingRule.TEXT: "A text is not empty, not too long, and has no control characters.",
    ReadingRule.NUMBER: "A number is written in plain decimal digits and is in the range of its key.",
    ReadingRule.YES_NO: "A yes-or-no value is written yes or no.",
    ReadingRule.DATE: "A day is a day of the calendar, written year, month, day, such as 2026-01-31.",
    ReadingRule.ID_FORM: "An id is lower-case letters, digits and hyphens, and begins with a letter.",
    ReadingRule.UNIT: "A torque, an angle, a time or a limit has a number and a unit that is known.",
    ReadingRule.BOLT_LIST: "A list of bolts has whole numbers and ranges, and no bolt twice.",
    ReadingRule.STEP_KIND: "A step has exactly one of the keys that say what kind of step it is.",
    ReadingRule.SIGNAL_WORD: "A hazard has exactly one signal word: danger, warning, caution or notice.",
    ReadingRule.TOO_MANY_STEPS: "A procedure has at most 500 steps.",
    ReadingRule.TOO_MANY_FINDINGS: "When there are more than 100 findings, the rest is only counted.",
}


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
