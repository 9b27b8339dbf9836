"""What is tightened, bolt by bolt: programme."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.options import AsJson, ProcedureFile


def programme(
    procedure: ProcedureFile,
    step: Annotated[str | None, typer.Option(metavar="ID", help="Only the programme of this step.")] = None,
    svg: Annotated[Path | None, typer.Option(metavar="OUT", help="Draw the bolt maps to this SVG file.")] = None,
    force: Annotated[bool, typer.Option("--force", help="Replace the file that is there; it is kept as .bak.")] = False,
    as_json: AsJson = False,
) -> None:
    """Print every single action of the tightening programmes as a table, and draw where the bolts sit."""
    from assistant.cli.printing.programme import print_programme

    raise typer.Exit(print_programme(procedure, step, svg, force=force, as_json=as_json))


def add_programme(app: typer.Typer) -> None:
    """Add this command to the command line."""
    app.command()(programme)
