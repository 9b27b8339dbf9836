"""The bay's tools."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.options import AsJson, takes
from assistant.cli.printing.options import ToolLabelOptions


def list_tools(
    file: Annotated[
        Path | None, typer.Argument(metavar="[FILE]", readable=False, help="A tool file; else that of this bay.")
    ] = None,
    as_json: AsJson = False,
) -> None:
    """List the bay's tools, with calibration dates and use counts, and every finding in their file."""
    from assistant.cli.printing.tools import print_tools

    raise typer.Exit(print_tools(file, as_json=as_json))


@takes(
    pdf=typer.Option(metavar="OUT", help="A PDF page of the label's size."),
    png=typer.Option(metavar="OUT", help="A picture for a label printer."),
    size=typer.Option(help="Width x height in mm."),
    dpi=typer.Option(help="Dots per inch of the picture: 203, 300 or 600."),
)
def label_tool(
    options: ToolLabelOptions, tool: Annotated[str, typer.Argument(help="Id of the tool in the tool file.")]
) -> None:
    """Write a label for a tool: its name, and the QR code by which a scan takes it."""
    from assistant.cli.printing.tool_label import write_tool_label

    raise typer.Exit(write_tool_label(tool, options))


def add_tools(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    app.command("tools")(list_tools)
    app.command("label-tool")(label_tool)
