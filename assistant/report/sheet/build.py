"""The work sheet: a procedure on paper, for the bay without a voice and for the foreman's wall.

Pure: it makes a page of HTML; :mod:`assistant.report.pdf` makes the PDF of it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from types import MappingProxyType

from assistant.procedure.model import Procedure
from assistant.procedure.wordings import NO_TEXT, OwnText
from assistant.report.pages import PAPERS, render
from assistant.report.record.forms import took
from assistant.report.sheet import kinds  # noqa: F401 (each kind of step adds its part)
from assistant.report.sheet.forms import ROOM, FormMaker

_SHORT_HASH = 16
"""Hexadecimal digits of the file's hash that stand on every page; the first page has all of them."""
_INVENTED = re.compile(r"\b(?:invented|fictional|made up)\b", re.IGNORECASE)
_FOR_EDITORS = ("yaml-language-server", "vim:", "-*-")


def sheet_html(
    procedure: Procedure,
    *,
    paper: str = "a4",
    notes: Sequence[str] = (),
    pictures: Mapping[str, str] = MappingProxyType({}),
    own: OwnText = NO_TEXT,
) -> str:
    """Return the work sheet of ``procedure`` as one page of HTML.

    ``paper`` is one of :data:`assistant.report.pages.PAPERS`. ``notes`` are the lines that stand above everything in
    the file, such as that its values are invented; they are printed as they are, and in short on every page.
    ``pictures`` are those of the steps, as data addresses by the names of their files; ``own`` is the workshop's text.
    """
    told = [note for note in (*notes, procedure.source) if _INVENTED.search(note)]
    maker = FormMaker(procedure, ROOM[paper], pictures)
    return render(
        "sheet.html",
        paper=PAPERS[paper],
        top=procedure.title,
        warning="Values are invented: not for use on a machine" if told or procedure.values else "",
        bottom=f"Revision {procedure.revision}  |  SHA-256 {procedure.sha256[:_SHORT_HASH]}",
        it=procedure,
        notes=notes,
        book_time="not named" if procedure.book_time is None else took(procedure.book_time),
        approval=_approval(procedure),
        lists=[
            ("Tools and equipment", [maker.item(item) for item in procedure.support_equipment]),
            ("Spare parts", [maker.item(item, new=True) for item in procedure.spares]),
            ("Supplies", [maker.item(item) for item in procedure.supplies]),
        ],
        safety=[maker.hazard(one) for one in procedure.safety],
        chapters=list(maker.chapters()),
        own=own,
    )


def head_notes(text: str) -> list[str]:
    """Return the comment lines that stand above everything else in the text of a procedure file."""
    notes = []
    for line in text.removeprefix("\ufeff").splitlines():
        if not line.startswith("#"):
            break
        notes.append(line.lstrip("# ").rstrip())
    return [note for note in notes if note and not note.startswith(_FOR_EDITORS)]


def _approval(procedure: Procedure) -> str:
    if procedure.approval is not None and procedure.approved:
        return f"approved by {procedure.approval.by}, {procedure.approval.on}"
    return "changed since it was approved" if procedure.approval is not None else "not approved"
