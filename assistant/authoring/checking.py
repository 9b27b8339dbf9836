"""Check procedures and print what was found, for people, programs and the places where code is reviewed."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from assistant.authoring.formats import Format
from assistant.authoring.sarif import sarif
from assistant.procedure.findings import Finding, Level, Waived
from assistant.procedure.format.content import approval_clause
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.model import Procedure
from assistant.terminal.exits import Exit


@dataclass(frozen=True, slots=True)
class Checked:
    """What came of checking some files. ``procedures`` has the file and the procedure of each that can be used."""

    files: int
    findings: tuple[Finding, ...]
    waived: tuple[Waived, ...]
    procedures: tuple[tuple[str, Procedure], ...]

    def count(self, level: Level) -> int:
        """Return how many findings are of ``level``."""
        return sum(finding.level is level for finding in self.findings)

    @property
    def exit(self) -> Exit:
        """Return how the command ends."""
        if self.count(Level.ERROR):
            return Exit.PROCEDURE
        return Exit.WARNINGS if self.findings else Exit.OK


def check_files(paths: Sequence[Path]) -> Checked:
    """Read and check every file, and sort what was found by file, line, column, level, rule and sentence."""
    readings = [(str(path), read_procedure(path)) for path in paths]
    return Checked(
        len(paths),
        tuple(sorted(finding for _, reading in readings for finding in reading.findings)),
        tuple(sorted(waived for _, reading in readings for waived in reading.waived)),
        tuple((name, reading.procedure) for name, reading in readings if reading.procedure is not None),
    )


def print_check(paths: Sequence[Path], form: Format) -> Exit:
    """Check ``paths`` and print the findings in ``form``."""
    checked = check_files(paths)
    text = _FORMATS[form](checked)
    if text:
        print(text)
    return checked.exit


def _text(checked: Checked) -> str:
    lines = [str(finding) for finding in checked.findings]
    lines += [_waived_line(waived) for waived in checked.waived]
    lines += [
        f"{name}: {it.id}, revision {it.revision}, content {it.content}, {approval_clause(it)}."
        for name, it in checked.procedures
    ]
    errors, warnings = checked.count(Level.ERROR), checked.count(Level.WARNING)
    waived = f", {len(checked.waived)} waived" if checked.waived else ""
    return "\n".join(
        [*lines, f"{checked.files} checked: {_number(errors, 'error')}, {_number(warnings, 'warning')}{waived}."]
    )


def _number(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"


def _waived_line(waived: Waived) -> str:
    it = waived.finding
    return f"{it.file}:{it.line}:{it.column}: waived: {it.text} [{it.rule}] Reason: {waived.reason}"


def _json(checked: Checked) -> str:
    files = [
        {
            "file": name,
            "id": it.id,
            "revision": it.revision,
            "sha256": it.sha256,
            "content": it.content,
            "approved": it.approved,
            "approval": it.approval and {"by": it.approval.by, "on": it.approval.on, "content": it.approval.content},
        }
        for name, it in checked.procedures
    ]
    report = {
        "checked": checked.files,
        "errors": checked.count(Level.ERROR),
        "warnings": checked.count(Level.WARNING),
        "findings": [_entry(finding) for finding in checked.findings],
        "waived": [{**_entry(waived.finding), "waiver": waived.reason} for waived in checked.waived],
        "procedures": files,
    }
    return json.dumps(report, ensure_ascii=False, indent=2)


def _entry(finding: Finding) -> dict[str, Any]:
    return {
        "file": finding.file,
        "line": finding.line,
        "column": finding.column,
        "level": finding.level.value,
        "rule": finding.rule,
        "text": finding.text,
        "reason": finding.reason,
        "advice": finding.advice,
    }


def _github(checked: Checked) -> str:
    """Return workflow commands, ``::error file=...,line=...::text``, with the signs escaped that have a meaning."""
    lines = [(finding.level.value, finding, finding.text) for finding in checked.findings]
    lines += [("notice", one.finding, f"{one.finding.text} Waived: {one.reason}") for one in checked.waived]
    return "\n".join(
        f"::{level} file={_property(it.file)},line={it.line},col={it.column},title={_property(it.rule)}::{_data(text)}"
        for level, it, text in lines
    )


def _data(text: str) -> str:
    return text.replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")


_FORMATS: Mapping[Format, Callable[[Checked], str]] = {
    Format.TEXT: _text,
    Format.JSON: _json,
    Format.SARIF: lambda checked: json.dumps(sarif(checked.findings, checked.waived), ensure_ascii=False, indent=2),
    Format.GITHUB: _github,
}
