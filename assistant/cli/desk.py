"""At the desk: check procedures."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.bay.formats import Format


def check(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="Procedures to check.")],
    form: Annotated[
        Format, typer.Option("--format", help="How the findings are printed: for people, programs or review pages.")
    ] = Format.TEXT,
) -> None:
    """Check procedures: every finding with its file, line and column, and what to write instead."""
    from assistant.bay.checking import print_check

    raise typer.Exit(print_check(files, form))


def schema() -> None:
    """Print the JSON Schema of procedure files, for editors that complete and check as one types."""
    from assistant.procedure.schema import schema_text

    typer.echo(schema_text(), nl=False)


def add(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (check, schema):
        app.command()(command)
