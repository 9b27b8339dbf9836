"""Numbers that help the shop: history."""

from __future__ import annotations

import typer

from assistant.cli.options import takes
from assistant.cli.printing.options import HistoryOptions


@takes(
    csv=typer.Option(metavar="OUT", help="Write all tables as CSV."),
    picture=typer.Option(metavar="OUT", help="Draw the times of the steps: .png, .svg or .pdf."),
    procedure=typer.Option(help="Only jobs of the procedure with this id."),
)
def history(options: HistoryOptions) -> None:
    """Add up all jobs: time of each step, where jobs are interrupted, what is misheard, use of the wrenches."""
    from assistant.cli.printing.history import print_history

    raise typer.Exit(print_history(options))


def add_history(app: typer.Typer) -> None:
    """Add this command to the command line."""
    app.command()(history)
