"""Approve a procedure: write into its file who approved it, on what day, and the hash of what was approved."""

from __future__ import annotations

import sys
from datetime import date
from pathlib import Path

from assistant.bay.job import read_or_refuse
from assistant.bay.refusing import guarded
from assistant.faults import quoted
from assistant.procedure.format.content import content_hash, without_approval
from assistant.procedure.format.reader import read_text
from assistant.procedure.format.tree import write_tree
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import write_file


def approve_file(path: Path, by: str, *, day: date, write: bool) -> Exit:
    """Approve the file at ``path``; without ``write`` only what would stand in it is printed."""
    return guarded(lambda: _approve(path, " ".join(by.split()), day, write=write))


def _approve(path: Path, by: str, day: date, *, write: bool) -> Exit:
    reading = read_or_refuse(path)
    for finding in reading.findings:
        print(finding, file=sys.stderr)
    block = write_tree({"approval": {"by": by, "on": day.isoformat(), "content": content_hash(reading.data)}})
    approved = without_approval(reading.data).rstrip() + b"\n\n" + block.encode()
    again = read_text(approved, str(path))
    if again.procedure is None or not again.procedure.approved:
        why = f": {again.errors[0].text}" if again.errors else ""
        sentence = f"{path} cannot take an approval by {quoted(by)}{why}; write procedure: at the beginning of a line."
        raise Refusal(sentence, Exit.PROCEDURE)
    if not write:
        print(f"{block}This was not written; write it into {path} with --write (the old file is kept).")
        return Exit.OK
    kept = write_file(path, approved, force=True)
    print(f"{path} is approved by {by} on {day.isoformat()}; the file as it was is kept as {kept}.")
    return Exit.OK
