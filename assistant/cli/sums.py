"""The trade's sums: convert, wrench-setting."""

from __future__ import annotations

from typing import Annotated

import typer


def convert(
    torque: Annotated[list[str], typer.Argument(metavar="TORQUE", help="For example: 33 lbf.ft")],
) -> None:
    """Print a torque in every unit that the trade uses, and how it is spoken."""
    from assistant.cli.printing.sums import print_conversion

    raise typer.Exit(print_conversion(" ".join(torque)))


def wrench_setting(
    torque: Annotated[str, typer.Argument(help="The torque wanted at the bolt, for example 40Nm.")],
    lever: Annotated[str, typer.Option(help="Grip centre to drive centre; mm unless a unit is given.")],
    extension: Annotated[str, typer.Option(help="Drive centre to bolt centre; mm unless a unit is given.")],
    angle: Annotated[str, typer.Option(help="0 straight on, 90 square, 180 pointing back; degrees.")] = "0",
) -> None:
    """Print what to set on a torque wrench with an adapter (crowfoot), and what then arrives at the bolt."""
    from assistant.cli.printing.sums import print_setting

    raise typer.Exit(print_setting(torque, lever, extension, angle))


def add_sums(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    # A negative torque is a value to refuse with a sentence, not an option.
    app.command(context_settings={"ignore_unknown_options": True})(convert)
    app.command()(wrench_setting)
