"""The bay's tools."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.options import AsJson


def list_tools(
    file: Annotated[
        Path | None, typer.Argument(metavar="[FILE]", readable=False, help="A tool file; else that of this bay.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """List the bay's tools, with calibration dates and use counts, and every finding in their file."""
    from assistant.cli.printing.tools import print_tools

    raise typer.Exit(print_tools(file, as_json=as_json))


def add_tools(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    app.command("tools")(list_tools)
