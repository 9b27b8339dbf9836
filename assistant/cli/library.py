"""The library of a workshop: publish, withdraw, library."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from assistant.cli.options import AsJson
from assistant.workshop.library import LibraryKind

_KIND = "What it is: procedure, picture, tools, prices or wordings; else its ending tells."


def publish(
    file: Annotated[Path, typer.Argument(metavar="FILE", readable=False, help="The file to publish.")],
    bays: Annotated[
        str, typer.Option("--for", metavar="BAYS", help="Who may use it, as bay1,bay2; else all bays.")
    ] = "",
    by: Annotated[str, typer.Option(help="Who publishes it; else the login.")] = "",
    unapproved: Annotated[
        bool, typer.Option("--unapproved", help="Publish a procedure that nobody approved as it is.")
    ] = False,
    kind: Annotated[LibraryKind | None, typer.Option(help=_KIND)] = None,
    called: Annotated[str, typer.Option("--id", help="What another file than a procedure is called there.")] = "",
    revision: Annotated[str, typer.Option(help="Its revision, for another file than a procedure.")] = "",
) -> None:
    """Publish a procedure with its pictures, or another file, in the workshop's library: with the office's login.

    What assistant check refuses is not published. What was published stays as it is: a change needs a new revision.
    The same once more with --for lets more bays use it.
    """
    from assistant.bay.refusing import guarded
    from assistant.cli.printing.library import publish_file

    names = [one.strip() for one in bays.split(",") if one.strip()]
    raise typer.Exit(
        guarded(lambda: publish_file(file, names, by, kind, called, revision, unapproved=unapproved)),
    )


def withdraw(
    name: Annotated[str, typer.Argument(metavar="PROCEDURE", help="Its id in the library, or that of another file.")],
    reason: Annotated[str, typer.Option(help="Why; each bay says it.")],
    by: Annotated[str, typer.Option(help="Who withdraws it.")],
    revision: Annotated[str, typer.Option(help="Only this revision; else all of them.")] = "",
    kind: Annotated[LibraryKind, typer.Option(help="What it is.")] = LibraryKind.PROCEDURE,
) -> None:
    """Withdraw a procedure, or one revision of it, for a reason that every bay says: with the office's login.

    It stays in the library, and a job that runs on it keeps it; nothing new begins with it unless somebody insists.
    """
    from assistant.bay.refusing import guarded
    from assistant.cli.printing.library import withdraw_item

    raise typer.Exit(guarded(lambda: withdraw_item(kind, name, revision, reason, by)))


def list_library(
    refresh: Annotated[
        bool, typer.Option("--refresh", help="First bring this bay's copy up to date; a bay at work does so itself.")
    ] = False,
    as_json: AsJson = False,
) -> None:
    """List the workshop's library: revisions, approval, who may use them, what was withdrawn and why.

    Without a network it lists the copy of this bay, and says how old that is.
    """
    from assistant.bay.refusing import guarded
    from assistant.cli.printing.library import print_library

    raise typer.Exit(guarded(lambda: print_library(refresh=refresh, as_json=as_json)))


def add_library(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    for command in (publish, withdraw):
        app.command()(command)
    app.command("library")(list_library)
