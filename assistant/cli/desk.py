"""At the desk: check procedures."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def check(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="Procedures to check.")],
) -> None:
    """Check procedures: every finding with its file, line and column, and what to write instead."""
    from assistant.bay.lists import print_findings

    raise typer.Exit(print_findings(files))


def add(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (check,):
        app.command()(command)
