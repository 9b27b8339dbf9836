"""The bay as a service of its computer: install-service; and its backup."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def install_service(
    bay: Annotated[
        list[str] | None,
        typer.Argument(metavar="[-- OPTION...]", help="Options that `assistant bay` gets, behind two hyphens."),
    ] = None,
    name: Annotated[
        str, typer.Option(help="What the service is called; a second bay needs another name.")
    ] = "assistant-bay",
    place: Annotated[
        Path | None,
        typer.Option(
            "--folder",
            file_okay=False,
            help="The folder that it starts in, such as that above your procedures folder; else this one.",
        ),
    ] = None,
    remove: Annotated[bool, typer.Option("--remove", help="Take the service away again.")] = False,
    only_print: Annotated[
        bool, typer.Option("--print", help="Print what would be written, and write nothing.")
    ] = False,
    force: Annotated[bool, typer.Option("--force", help="Replace or remove a unit that a person changed.")] = False,
) -> None:
    """Let `assistant bay` run as a service: started with the computer, watched, and started again when it fails.

    Writes systemd units of this user, which an administrator need not allow, and says how to undo it. The unit that
    looks after the bay every hour, a timer for the doctor, comes with it. docs/service.md has more.
    """
    from assistant.bay.job import guarded
    from assistant.service import install, systemd
    from assistant.terminal.exits import Exit

    if remove and (only_print or bay):
        raise typer.BadParameter("--remove goes with --name and --force alone.")

    def work() -> Exit:
        if remove:
            return install.remove(name, force=force)
        it = install.wanted_here(name, bay or (), place or Path())
        return install.print_units(it) if only_print else install.install(it, force=force, booted=systemd.is_booted())

    raise typer.Exit(guarded(work))


def add_service(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    app.command()(install_service)
