"""The central store of a workshop with several bays, for its administrator: workshop init, add-bay, bays, prove."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

if TYPE_CHECKING:
    from collections.abc import Callable

    from assistant.terminal.exits import Exit

_workshop = typer.Typer(
    help="The central store of a workshop with several bays, for its administrator. One bay alone needs none of it.",
    no_args_is_help=True,
    context_settings={"help_option_names": ["-h", "--help"]},
)

StoreAddress = Annotated[
    str,
    typer.Option(
        metavar="ADDRESS",
        envvar="ASSISTANT_WORKSHOP",
        help="Where the store is and who asks: host=HOST port=5432 dbname=shop user=LOGIN. Never with a password.",
    ),
]
PasswordFile = Annotated[
    Path | None,
    typer.Option(
        metavar="FILE",
        envvar="ASSISTANT_WORKSHOP_PASSWORD_FILE",
        help="The file with the password, which only its owner may read; else it is asked for.",
    ),
]
Workshop = Annotated[
    str, typer.Option("--workshop", metavar="NAME", help="The workshop; needed where there are several.")
]
NewName = Annotated[str, typer.Argument(metavar="NAME", help="Small letters, digits and single hyphens, at most 20.")]
TokenFile = Annotated[
    Path | None, typer.Option(metavar="FILE", help="Where the token goes; else LOGIN.token in this folder.")
]
ShowToken = Annotated[bool, typer.Option("--show", help="Print the token in place of writing it to a file.")]
ReplaceToken = Annotated[bool, typer.Option("--force", help="Replace a file of that name.")]
TryFolder = Annotated[Path, typer.Argument(metavar="FOLDER", file_okay=False, help="Where all of it lies.")]


def _done(work: Callable[[], Exit]) -> None:
    from assistant.bay.refusing import guarded

    raise typer.Exit(guarded(work))


@_workshop.command()
def init(at: StoreAddress = "", password_file: PasswordFile = None) -> None:
    """Make the central store, or bring it to the schema of this version; what is in it stays.

    Run it again after each update of the program, before that of the bays.
    """
    from assistant.cli.printing import workshop as it

    _done(lambda: it.print_set_up(at, password_file))


@_workshop.command()
def add(name: NewName, at: StoreAddress = "", password_file: PasswordFile = None) -> None:
    """Make room for a workshop. One store may hold many; none sees anything of another."""
    from assistant.cli.printing import workshop as it

    _done(lambda: it.print_added(at, password_file, name))


@_workshop.command()
def add_bay(
    bay: Annotated[str, typer.Argument(metavar="BAY", help="The bay, as its setting `bay` has it.")],
    workshop: Workshop = "",
    token_file: TokenFile = None,
    show: ShowToken = False,
    force: ReplaceToken = False,
    at: StoreAddress = "",
    password_file: PasswordFile = None,
) -> None:
    """Let a bay send and ask, by a login and a token of its own. Again for one that has them: the old token ends."""
    from assistant.cli.printing import workshop as it

    _done(lambda: it.print_member(at, password_file, workshop, bay, it.TokenTo(token_file, show, force)))


@_workshop.command()
def add_office(
    name: Annotated[str, typer.Argument(metavar="[NAME]", help="What the office is called.")] = "office",
    workshop: Workshop = "",
    token_file: TokenFile = None,
    show: ShowToken = False,
    force: ReplaceToken = False,
    at: StoreAddress = "",
    password_file: PasswordFile = None,
) -> None:
    """Let the office of a workshop look at all its bays, by a login and a token of its own."""
    from assistant.cli.printing import workshop as it

    _done(lambda: it.print_member(at, password_file, workshop, name, it.TokenTo(token_file, show, force), office=True))


@_workshop.command(name="bays")
def list_bays(workshop: Workshop = "", at: StoreAddress = "", password_file: PasswordFile = None) -> None:
    """List who may log in, what each bay sent, when last, and how much of it was refused."""
    from assistant.cli.printing import workshop as it

    _done(lambda: it.print_bays(at, password_file, workshop))


@_workshop.command()
def end_bay(
    bay: Annotated[str, typer.Argument(metavar="BAY", help="The bay, or the office.")],
    workshop: Workshop = "",
    at: StoreAddress = "",
    password_file: PasswordFile = None,
) -> None:
    """End the login of a bay that is no more, or whose token was seen. What it sent stays."""
    from assistant.cli.printing import workshop as it

    _done(lambda: it.print_ended(at, password_file, workshop, bay))


@_workshop.command()
def aside(
    bay: Annotated[str, typer.Option(metavar="BAY", help="Only what this bay sent.")] = "",
    job: Annotated[str, typer.Option(metavar="JOB", help="Only of this job; its whole name.")] = "",
    workshop: Workshop = "",
    at: StoreAddress = "",
    password_file: PasswordFile = None,
) -> None:
    """List what the store refused and keeps aside, each with its reason. The exit code is 11 when there is any."""
    from assistant.cli.printing import workshop as it

    _done(lambda: it.print_aside(at, password_file, workshop, bay, job))


@_workshop.command()
def prove(
    job: Annotated[str, typer.Argument(metavar="JOB", help="The job, or an end of its name.")],
    copy: Annotated[
        Path | None,
        typer.Option(metavar="FOLDER", file_okay=False, help="The data folder of a bay, to compare with its journal."),
    ] = None,
    workshop: Workshop = "",
    at: StoreAddress = "",
    password_file: PasswordFile = None,
) -> None:
    """Check the chain of a job in the store, and that a bay's own journal has the same. The exit code is 11 if not."""
    from assistant.cli.printing import workshop as it

    _done(lambda: it.print_proof(at, password_file, workshop, job, copy))


@_workshop.command(name="forgotten")
def show_forgotten(
    job: Annotated[str, typer.Argument(metavar="[JOB]", help="The job; else all that were forgotten.")] = "",
    workshop: Workshop = "",
    at: StoreAddress = "",
    password_file: PasswordFile = None,
) -> None:
    """Show of each forgotten job whether what people said is gone from every copy: in the store, its files, each bay.

    The exit code is 11 when it is not gone everywhere yet.
    """
    from assistant.cli.printing import forgetting as it

    _done(lambda: it.print_forgotten(at, password_file, workshop, job))


@_workshop.command()
def vacuum(
    wait: Annotated[
        int, typer.Option(metavar="SECONDS", min=0, help="How long to wait for who still reads what was there.")
    ] = 60,
    at: StoreAddress = "",
    password_file: PasswordFile = None,
) -> None:
    """Take what was said in forgotten jobs out of the files of the store as well, by writing their tables anew.

    At a quiet hour: those tables are locked meanwhile. Bays go on, and send later.
    """
    from assistant.cli.printing import forgetting as it

    _done(lambda: it.print_swept(at, password_file, wait))


@_workshop.command(name="try")
def try_(
    folder: TryFolder,
    recordings: Annotated[
        Path | None,
        typer.Option(exists=True, file_okay=False, help="Recordings on which the bays rehearse; else they only send."),
    ] = None,
    jobs: Annotated[int, typer.Option(min=0, help="How many jobs each bay rehearses.")] = 3,
    port: Annotated[
        int, typer.Option("--display-port", min=0, max=65535, help="The port of the office's pages.")
    ] = 8470,
) -> None:
    """Try a workshop on this computer: a PostgreSQL of its own in a folder, an office and two bays, until Control-C.

    It is taken up again by the same command. No other PostgreSQL of the computer is touched.
    """
    from assistant.service.shop.trying import TryOptions, try_workshop

    _done(lambda: try_workshop(TryOptions(folder, port, recordings, jobs)))


@_workshop.command(name="stop")
def stop_trying(folder: TryFolder) -> None:
    """Stop what `assistant workshop try` keeps at work in a folder, also when it was killed."""
    from assistant.service.shop.trying import stop_workshop

    _done(lambda: stop_workshop(folder))


def add_workshop_commands(app: typer.Typer) -> None:
    """Add these commands to the command line."""
    app.add_typer(_workshop, name="workshop")
