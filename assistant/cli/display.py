"""Pages to look at without a job."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.options import takes
from assistant.desk.options import ServeOptions
from assistant.office.options import ExportOptions, OfficeOptions


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


@takes()
def office(
    options: OfficeOptions,
    procedures: Annotated[
        Path | None,
        typer.Argument(metavar="[FOLDER]", help='The folder of procedure files to list; else "procedures" here.'),
    ] = None,
) -> None:
    """Serve the pages of the office until Control-C: the jobs of all bays, live from the workshop's central store."""
    from assistant.cli.printing.serve import serve_office
    from assistant.shipped import procedures_folder

    raise typer.Exit(serve_office(procedures or procedures_folder(), options))


@takes(
    what=typer.Option(help="jobs, tightenings (a row for each bolt and stage) or findings."),
    form=typer.Option(help="csv or parquet."),
)
def export(
    options: ExportOptions,
    file: Annotated[Path, typer.Argument(metavar="FILE", help='The file to write; "-" is the standard output.')],
) -> None:
    """Write a table over all bays of the workshop for other programs, from its central store."""
    from assistant.cli.printing.exporting import export_table

    raise typer.Exit(export_table(file, options))


def add_display(app: typer.Typer) -> None:
    """Add this command to the command line."""
    app.command()(desk)
    app.command("serve")(office)
    app.command()(export)
