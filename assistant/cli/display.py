"""Pages to look at without a job."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.options import takes
from assistant.desk.options import ServeOptions


@takes()
def desk(
    options: ServeOptions,
    procedures: Annotated[
        Path | None,
        typer.Argument(metavar="[FOLDER]", help='The folder of procedure files to list; else "procedures" here.'),
    ] = None,
) -> None:
    """Serve the pages for the desk until Control-C: jobs and their records, procedures and what checking them finds."""
    from assistant.cli.printing.desk import serve_desk
    from assistant.shipped import procedures_folder

    raise typer.Exit(serve_desk(procedures or procedures_folder(), options))


def add_display(app: typer.Typer) -> None:
    """Add this command to the command line."""
    app.command()(desk)
