"""What a bay has to do with the workshop's central store: send."""

from __future__ import annotations

from typing import Annotated

import typer


def send(
    follow: Annotated[
        bool, typer.Option("--follow", help="Go on sending what is written down, until Control-C.")
    ] = False,
) -> None:
    """Send what the workshop's central store does not have yet; a bay that works does so by itself.

    The setting `central` names the store. The exit code is 0 when it has everything.
    """
    from assistant.bay.refusing import guarded
    from assistant.cli.printing.sending import send_all

    raise typer.Exit(guarded(lambda: send_all(follow=follow)))


def add_sending(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    app.command()(send)
