"""For authors: check, compare and approve procedures."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.authoring.formats import Format
from assistant.cli import completing
from assistant.cli.options import AsJson, found_procedure


def check(
    files: Annotated[
        list[Path],
        typer.Argument(
            metavar="FILE...",
            readable=False,
            help="Procedures to check.",
            callback=lambda paths: [found_procedure(path) for path in paths],
            autocompletion=completing.known_procedures,
        ),
    ],
    form: Annotated[
        Format, typer.Option("--format", help="How the findings are printed: for people, programs or review pages.")
    ] = Format.TEXT,
    as_json: AsJson = False,
) -> None:
    """Check procedures: every finding with its file, line and column, and what to write instead."""
    from assistant.authoring.checking import print_check

    raise typer.Exit(print_check(files, Format.JSON if as_json else form))


def print_schema(
    tools: Annotated[bool, typer.Option("--tools", help="Of tool files instead.")] = False,
) -> None:
    """Print the JSON Schema of procedure files, for editors that complete and check as one types."""
    from assistant.procedure.format.schema import json_schema, schema_text, tool_schema

    typer.echo(schema_text(tool_schema() if tools else json_schema()), nl=False)


def diff(
    old: Annotated[
        str,
        typer.Argument(
            metavar="OLD",
            help="A procedure file, or a job: its own copy.",
            autocompletion=completing.procedures_and_jobs,
        ),
    ],
    new: Annotated[
        str,
        typer.Argument(
            metavar="NEW",
            help="The file, or the job, to compare with.",
            autocompletion=completing.procedures_and_jobs,
        ),
    ],
    as_json: AsJson = False,
) -> None:
    """Show what differs between two procedures, step by step and value by value.

    The exit code is 0 when nothing does and 11 when something does.
    """
    from assistant.authoring.comparing import print_differences

    raise typer.Exit(print_differences(old, new, as_json=as_json))


def approve(
    file: Annotated[
        Path,
        typer.Argument(
            metavar="FILE",
            readable=False,
            help="The procedure that was read and is approved.",
            autocompletion=completing.known_procedures,
        ),
    ],
    by: Annotated[str, typer.Option(help="Who approves it.")],
    write: Annotated[
        bool, typer.Option("--write", help="Write it into the file; the old one is kept as .bak.")
    ] = False,
) -> None:
    """Approve a procedure as it is now; a later change of it makes the approval void."""
    from datetime import datetime

    from assistant.authoring.approving import approve_file

    raise typer.Exit(approve_file(file, by, day=datetime.now().astimezone().date(), write=write))


def add_checking(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    app.command()(check)
    app.command("schema")(print_schema)
    for command in (diff, approve):
        app.command()(command)
