"""From the wordings of a workshop, a text file, to its sections, or to findings that say what to mend.

``docs/wordings.md`` has the form. It is text alone: nothing in it is markup, and nothing in it is worked out.
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from assistant.files import too_long
from assistant.procedure.findings import At, Finding, Findings, ReadingRule
from assistant.procedure.format.source import decode, read_bytes
from assistant.procedure.wordings import LETTERHEAD, SECTIONS, OwnPaper, Wordings

WORDINGS_RULE = "wordings"
"""The rule of every complaint about what stands in such a file; its heading is in ``docs/wordings.md``."""
MOST_WORDINGS_BYTES = 64_000
MOST_HEAD_LINES, MOST_HEAD_LETTERS = 8, 80
"""Lines of a letterhead, and letters of each of them."""
MOST_TEXT_LINES, MOST_TEXT_LETTERS = 60, 2000
"""Lines and letters of the text for one paper: less than a page."""
_MOST_MARKS = 4
"""So many accents on one letter: more would be printed over the lines around it."""
_WHAT = "wordings"
_SECTION = re.compile(r"\[([^\[\]]*)\]")
_SPACES = re.compile(r"[ \t]+")


@dataclass(frozen=True, slots=True)
class WordingsReading:
    """What came of reading a file of wordings: the texts, unless there is a finding."""

    wordings: Wordings | None
    findings: tuple[Finding, ...] = ()


def read_wordings_file(path: Path) -> WordingsReading:
    """Read the wordings at ``path``; a file that cannot be read is a finding too."""
    findings = Findings(str(path), _WHAT)
    data = read_bytes(path, findings)
    return WordingsReading(None, findings.result()) if data is None else _read(data, findings)


def read_wordings(data: bytes, name: str) -> WordingsReading:
    """Read the bytes of a file of wordings; ``name`` is the file that findings point to."""
    return _read(data, Findings(name, _WHAT))


def _read(data: bytes, findings: Findings) -> WordingsReading:
    if len(data) > MOST_WORDINGS_BYTES:
        fault = too_long("The file", MOST_WORDINGS_BYTES, f"a {_WHAT} file")
        findings.add(At(), ReadingRule.FILE_SIZE, fault.reason, fault.advice)
        return WordingsReading(None, findings.result())
    text = decode(data, findings)
    wordings = None if text is None else _Sections(findings).read(text)
    return WordingsReading(None if findings.count else wordings, findings.result())


class _Sections:
    """The sections of one file while they are read."""

    def __init__(self, findings: Findings) -> None:
        self._findings = findings
        self._began: dict[str, int] = {}
        self._lines: dict[str, list[str]] = {}

    def read(self, text: str) -> Wordings:
        now = ""
        for number, raw in enumerate(text.replace("\r\n", "\n").replace("\r", "\n").split("\n"), 1):
            line = unicodedata.normalize("NFC", _SPACES.sub(" ", raw).strip(" "))
            if heading := _SECTION.fullmatch(line):
                now = self._section(number, heading[1].strip().casefold())
            elif now:
                self._look_at_letters(number, raw)
                self._lines[now].append(line)
            elif line and not line.startswith("#"):
                advice = f"write a line above it that says what it is for, such as [{LETTERHEAD}], or a # before it"
                self._complain(number, "This text stands in no section", advice)
                break
        found = {name: self._bounded(name) for name in self._lines if name in SECTIONS}
        if not any(found.values()) and not self._findings.count:
            self._complain(1, "There is no text in it", f"write one below a line such as [{LETTERHEAD}]")
        texts = {paper: found[paper.value] for paper in OwnPaper if found.get(paper.value)}
        return Wordings(found.get(LETTERHEAD, ()), texts)

    def _complain(self, line: int, reason: str, advice: str, column: int = 1) -> None:
        self._findings.add(At(line, column), WORDINGS_RULE, reason, advice)

    def _section(self, number: int, name: str) -> str:
        """Begin a section; what stands in one that is refused is read, so that its letters are looked at."""
        if name not in SECTIONS:
            reason = f"There is no section [{_shown(name)}]"
            self._complain(number, reason, self._findings.suggest(name, SECTIONS) if name else
                           f"write one of: {', '.join(SECTIONS)}")  # fmt: skip
        elif name in self._began:
            self._complain(
                number, f"The section [{name}] is there twice, first in line {self._began[name]}", "keep one"
            )
        self._began.setdefault(name, number)
        self._lines.setdefault(name or " ", [])
        return name or " "

    def _look_at_letters(self, number: int, line: str) -> None:
        marks = 0
        for column, letter in enumerate(line, 1):
            kind = unicodedata.category(letter)
            if not letter.isprintable() and letter != "\t" and kind != "Zs":
                what = f"The character U+{ord(letter):04X} cannot be printed"
                self._complain(number, what, "delete it", column)
                return
            marks = marks + 1 if kind in ("Mn", "Me") else 0
            if marks > _MOST_MARKS:
                what = f"There are more than {_MOST_MARKS} accents on one letter"
                self._complain(number, what, "delete them", column)
                return

    def _bounded(self, name: str) -> tuple[str, ...]:
        """Return the lines of a section without empty ones at its ends, and no two of them in a row."""
        kept: list[str] = []
        for line in self._lines[name]:
            if line or (kept and kept[-1] and name != LETTERHEAD):
                kept.append(line)
        while kept and not kept[-1]:
            kept.pop()
        if name == LETTERHEAD:
            self._bound(name, len(kept), MOST_HEAD_LINES, "lines")
            self._bound(name, max(map(len, kept), default=0), MOST_HEAD_LETTERS, "letters in one line")
        else:
            self._bound(name, len(kept), MOST_TEXT_LINES, "lines")
            self._bound(name, sum(map(len, kept)), MOST_TEXT_LETTERS, "letters")
        return tuple(kept)

    def _bound(self, name: str, count: int, most: int, what: str) -> None:
        if count > most:
            self._complain(self._began[name], f"The section [{name}] has {count:,} {what}", f"write at most {most:,}")


def _shown(name: str) -> str:
    shown = "".join(letter if letter.isprintable() else "?" for letter in name[:40])
    return f"{shown}..." if len(name) > 40 else shown
