"""The work sheet on the command line: read the procedure, make the PDF, write it."""

from __future__ import annotations

from pathlib import Path

from rich.console import Console

from assistant.bay.job import guarded, read_or_refuse
from assistant.report.pdf import html_to_pdf
from assistant.report.sheet.build import head_notes, sheet_html
from assistant.terminal.exits import Exit
from assistant.terminal.output import check_free, put


def run_sheet(path: Path, pdf: Path, *, paper: str, force: bool) -> Exit:
    """Print the work sheet of the procedure file ``path`` to ``pdf``; ``paper`` is a4 or letter."""

    def work() -> Exit:
        check_free(pdf, force=force, form="pdf")
        reading = read_or_refuse(path)
        notes = head_notes(reading.data.decode("utf-8-sig"))
        with Console(stderr=True).status("Setting the pages"):
            pages = html_to_pdf(sheet_html(reading.usable, paper=paper, notes=notes))
        put(pdf, pages, force=force)
        return Exit.OK

    return guarded(work)
