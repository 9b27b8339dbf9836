"""The end of every draft: it is read as the bay would read it, and written where it was asked for."""

from __future__ import annotations

import sys
from pathlib import Path
from shlex import quote

from assistant.procedure.findings import Level
from assistant.procedure.format.reader import read_text
from assistant.terminal.exits import Exit
from assistant.terminal.output import STDOUT, check_free, write_file


def finish_draft(text: str, out: Path | None, *, force: bool, option: str = "--force") -> Exit:
    """Check ``text``, write it to ``out`` (or print it), and say what is left to do.

    ``force`` and ``option`` are those of :func:`assistant.terminal.output.write_file`.

    Raises:
        Refusal: ``out`` cannot be written.
    """
    data = text.encode("utf-8")
    findings = read_text(data, str(out) if out else "draft").findings
    if out is None:
        print(text, end="")
    elif out == STDOUT:
        write_file(out, data, force=force)
    else:
        kept = write_file(out, data, force=force, option=option)
        print(f"Wrote {out}." + (f" The file that was there is kept as {kept}." if kept else ""), file=sys.stderr)
    if findings:
        kept_in = out if out not in (None, STDOUT) else None
        where = f"assistant check {quote(str(kept_in))}" if kept_in else "assistant check, once it is in a file"
        errors = sum(finding.level is Level.ERROR for finding in findings)
        counted = f"{_some(errors, 'error')} and {_some(len(findings) - errors, 'warning')}"
        print(f"What is left to write shows as {counted}: {where}", file=sys.stderr)
    return Exit.OK


def _some(number: int, thing: str) -> str:
    return f"{number} {thing}" if number == 1 else f"{number} {thing}s"


def ready(out: Path | None, *, force: bool, option: str = "--force") -> None:
    """Make sure that a draft may be written to ``out`` before questions are asked for it.

    Raises:
        Refusal: it may not.
    """
    if out is not None:
        check_free(out, force=force, option=option, form="yaml")
