"""The command line: puts the families of commands together."""

from __future__ import annotations

import os
import shutil
import sys
from pathlib import Path
from typing import Annotated

import typer

from assistant import __version__
from assistant.caution import CAUTION
from assistant.cli import (
    authoring,
    checking,
    customer,
    display,
    due,
    hearing,
    history,
    library,
    lists,
    place,
    programme,
    record,
    sending,
    service,
    sums,
    tools,
    work,
    work_out,
    workshop,
)
from assistant.cli.accounts.commands import add_accounts
from assistant.shipped import how_to_call
from assistant.terminal.exits import MEANINGS, Exit
from assistant.terminal.streams import STOPPED, ended, take_outputs, warn
from assistant.worker import left_hanging

_CODES = "  \n".join(f"{code.value}: {text}" for code, text in MEANINGS.items())

app = typer.Typer(
    name="assistant",
    help="Reads a work procedure aloud, one step and one tightening stage at a time, and moves on when you say so.\n\n"
    + CAUTION,
    epilog=f"Exit codes:\n\n{_CODES}\n\nData is kept in ASSISTANT_HOME, or in your data folder when that is not set.",
    no_args_is_help=True,
    rich_markup_mode="markdown",
    context_settings={"help_option_names": ["-h", "--help"]},
    pretty_exceptions_enable=False,
)


@app.callback(invoke_without_command=True)
def _main(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Print the version and end.", is_eager=True)] = False,
) -> None:
    if version:
        typer.echo(f"assistant {__version__}")
        raise typer.Exit(Exit.OK)
    if context.invoked_subcommand is None:
        typer.echo(context.get_help())
        raise typer.Exit(Exit.OK)


# In the order in which the help lists them.
for _add in (
    work.add_work,
    lists.add_lists,
    record.add_record,
    due.add_due,
    history.add_history,
    hearing.add_hearing,
    checking.add_checking,
    authoring.add_authoring,
    programme.add_programme,
    sums.add_sums,
    work_out.add_work_out,
    add_accounts,
    tools.add_tools,
    display.add_display,
    customer.add_customer,
    service.add_service,
    sending.add_sending,
    library.add_library,
    place.add_place,
    workshop.add_workshop_commands,
):
    _add(app)


def command_line() -> None:
    """Run the command line; :mod:`assistant.terminal.streams` says what becomes of what it prints."""
    take_outputs()
    code: object = Exit.OK
    try:
        app()
    except SystemExit as end:
        code = end.code
    except KeyboardInterrupt:
        warn(STOPPED)
        code = Exit.INTERRUPTED
    last = ended(code if isinstance(code, int) else Exit.OK)
    if last not in (Exit.OK, Exit.DIFFERENT):
        _say_how_to_call()
    if left_hanging():
        os._exit(last)  # all is on disk and printed; an orderly end would wait for a driver that hangs, or crash in it
    sys.exit(last)


def _say_how_to_call() -> None:
    """Make the commands that were just named work as they stand there, where the shell would not find them."""
    called = Path(sys.argv[0])
    if called.name == "assistant" and shutil.which("assistant") is None and sys.stderr and sys.stderr.isatty():
        warn(f"(Where it says assistant, type {called} in this shell; {how_to_call()} puts it on the PATH.)")


if __name__ == "__main__":
    command_line()
