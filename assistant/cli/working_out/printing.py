"""Prints what was worked out, as text or as JSON."""

from __future__ import annotations

from collections.abc import Callable

from assistant.advice.worked import Worked
from assistant.caution import CAUTION
from assistant.terminal.exits import Exit
from assistant.terminal.tables import objects, print_json, table

_ADVICE = "This is advice and changes nothing. " + CAUTION


def put_sheet(work: Callable[[], Worked], *, as_json: bool) -> Exit:
    """Print what ``work`` gives; a fault that it raises is one sentence, and gives its exit code."""
    from assistant.bay.refusing import guarded

    return guarded(lambda: _put(work(), as_json=as_json))


def _put(worked: Worked, *, as_json: bool) -> Exit:
    if as_json:
        print_json(
            {
                "work_out": worked.title,
                "version": 1,
                "given": worked.given,
                "answer": worked.answer,
                "doubts": worked.doubts,
                "how": worked.how,
                "table": objects(worked.head, worked.rows),
                **worked.values,
                "note": _ADVICE,
            }
        )
        return Exit.OK
    print(worked.title)
    for name, value in worked.given.items():
        print(f"  {name}: {value}")
    if worked.rows:
        print()
        print(table(worked.head, worked.rows))
    for name, lines in (("", worked.answer), ("Doubts:", worked.doubts), ("How:", worked.how)):
        if lines:
            print()
            print("\n".join(line for line in (name, *lines) if line))
    print()
    print(_ADVICE)
    return Exit.OK
