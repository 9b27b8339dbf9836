"""Whether this place is fit for work: doctor, settings."""

from __future__ import annotations

from typing import Annotated

import typer

from assistant.cli import completing
from assistant.cli.options import AsJson

_settings = typer.Typer(
    help="Show and change what this bay prefers: devices, voice, tool file.",
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)


def doctor(
    as_json: AsJson = False,
    watch: Annotated[
        bool, typer.Option("--watch", help="Leave out sound and model, and print only what is not good: for a log.")
    ] = False,
    service: Annotated[str, typer.Option(help="What the service of the bay is called.")] = "assistant-bay",
) -> None:
    """Look whether all is there that a bay needs, in one table: sound, model, voice, journal, data folder, backup.

    It opens microphone and loudspeaker, reads the journal through, and says what to do where something is missing. The
    exit code is 0 when a job can be run, and else that of the first fault.
    """
    from assistant.cli.printing.doctor import run_doctor

    raise typer.Exit(run_doctor(as_json=as_json, watch=watch, service=service))


@_settings.command("show")
def list_settings(as_json: AsJson = False) -> None:
    """Print every setting, its value, and what it is without the file."""
    from assistant.cli.printing.settings_shown import show_settings

    raise typer.Exit(show_settings(as_json=as_json))


@_settings.command(name="set", context_settings={"ignore_unknown_options": True})
def set_(
    name: Annotated[
        str, typer.Argument(metavar="NAME", help="The setting, such as rate.", autocompletion=completing.settings)
    ],
    value: Annotated[str, typer.Argument(metavar="VALUE", help="Its value: a text, a whole number, yes or no.")],
) -> None:
    """Write one setting into the file; the rest of the file stays as it is."""
    from assistant.cli.printing.settings_shown import set_setting

    raise typer.Exit(set_setting(name, value))


@_settings.command()
def path() -> None:
    """Print where the file of the settings lies."""
    from assistant.cli.printing.settings_shown import print_settings_path

    raise typer.Exit(print_settings_path())


def add_place(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    app.command()(doctor)
    app.add_typer(_settings, name="settings")
