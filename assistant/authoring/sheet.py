"""The work sheet on the command line: read the procedure, make the PDF, write it."""

from __future__ import annotations

from base64 import b64encode
from pathlib import Path

from rich.console import Console

from assistant.bay.job import read_or_refuse
from assistant.bay.refusing import guarded
from assistant.procedure.model import Procedure
from assistant.procedure.pictures import Picture, pictures_of, read_picture
from assistant.procedure.wordings import OwnPaper
from assistant.report.pdf import html_to_pdf
from assistant.report.sheet.build import head_notes, sheet_html
from assistant.terminal.exits import Exit
from assistant.terminal.output import check_free, put
from assistant.workshop.wordings import own_text


def _pictures(procedure: Procedure, folder: Path) -> dict[str, str]:
    """Return the pictures of the steps as data addresses; one that cannot be used is not there."""
    found = {name: read_picture(folder, name) for name in pictures_of(procedure)}
    return {
        name: f"data:{one.media};base64,{b64encode(one.data).decode('ascii')}"
        for name, one in found.items()
        if isinstance(one, Picture)
    }


def run_sheet(path: Path, pdf: Path, *, paper: str, force: bool) -> Exit:
    """Print the work sheet of the procedure file ``path`` to ``pdf``; ``paper`` is a4 or letter."""

    def work() -> Exit:
        check_free(pdf, force=force, form="pdf")
        reading = read_or_refuse(path)
        notes = head_notes(reading.data.decode("utf-8-sig"))
        own = own_text(OwnPaper.SHEET)
        with Console(stderr=True).status("Setting the pages"):
            sheet = sheet_html(
                reading.usable, paper=paper, notes=notes, pictures=_pictures(reading.usable, path.parent), own=own
            )
            pages = html_to_pdf(sheet)
        put(pdf, pages, force=force)
        return Exit.OK

    return guarded(work)
