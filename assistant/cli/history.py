"""Numbers that help the shop: history."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.options import AsJson
from assistant.cli.record import Replace


def history(
    csv: Annotated[Path | None, typer.Option(metavar="OUT", help="Write all tables as CSV.")] = None,
    picture: Annotated[
        Path | None, typer.Option(metavar="OUT", help="Draw the times of the steps: .png, .svg or .pdf.")
    ] = None,
    procedure: Annotated[str, typer.Option(help="Only jobs of the procedure with this id.")] = "",
    rehearsals: Annotated[bool, typer.Option("--rehearsals", help="Count rehearsals as well.")] = False,
    force: Replace = False,
    as_json: AsJson = False,
) -> None:
    """Add up all jobs: time of each step, where jobs are interrupted, what is misheard, use of the wrenches."""
    from assistant.cli.printing.history import print_history

    raise typer.Exit(
        print_history(csv, picture, procedure=procedure, rehearsals=rehearsals, force=force, as_json=as_json)
    )


def add_history(app: typer.Typer) -> None:
    """Add this command to the command line."""
    app.command()(history)
