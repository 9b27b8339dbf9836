"""What the administrator of the central store does and is told. A password is read from a file or asked for."""

from __future__ import annotations

import contextlib
import getpass
import sys
from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.central.place import CentralPlace, place_at, read_token
from assistant.files import replace_private
from assistant.settings import load_settings, settings_path
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_free
from assistant.terminal.tables import table
from assistant.workshop.administering import admin_link, members_of, set_up, the_workshop
from assistant.workshop.line import central_place
from assistant.workshop.members import add_member, add_workshop, end_member
from assistant.workshop.proving import compared_with, proved, resolved
from assistant.workshop.refused import gathered, set_aside

_NAMED_BY = "--at, or ASSISTANT_WORKSHOP"
_PASSWORD = "name the file of its password with --password-file, or be asked for it"  # noqa: S105 - a sentence


@dataclass(frozen=True, slots=True)
class TokenTo:
    """Where a token goes: a file (None: one that is named after the login), or ``show``, the terminal."""

    file: Path | None
    show: bool
    force: bool


def _place(at: str, password_file: Path | None) -> CentralPlace:
    own = None if at else central_place(load_settings(settings_path()))
    if own is not None:  # a bay, or the office, looks by its own login
        return own
    if not at:
        raise Refusal(
            f"Say where the central store is, with {_NAMED_BY}: host=HOST port=5432 dbname=shop user=LOGIN", Exit.USAGE
        )
    place = place_at(at, _NAMED_BY, _PASSWORD)
    if password_file is not None:
        return replace(place, token=read_token(password_file, "it is one line with the password"))
    if place.host.startswith("/"):  # a socket: the system itself says who asks
        return place
    if not sys.stdin.isatty():
        raise Refusal(f"There is no password for {place.told}: name its file with --password-file.", Exit.USAGE)
    return replace(place, token=getpass.getpass(f"Password of {place.told}: "))


@contextlib.contextmanager
def admin_linked(at: str, password_file: Path | None, answer_s: float = 60) -> Iterator[CentralLink]:
    """Give a link to the store at the address ``at``, with the password in ``password_file`` or asked for.

    An answer is given up after ``answer_s`` [s].

    Raises:
        Refusal: no address or no password is given.
        CentralFault: the address is none, or the store cannot be reached.
    """
    with contextlib.closing(admin_link(_place(at, password_file), answer_s)) as link:
        yield link


def print_set_up(at: str, password_file: Path | None) -> Exit:
    """Make the store, or bring it to the newest schema."""
    place = _place(at, password_file)
    made, steps = set_up(place)
    print(f"The central store {place.told} {'was made' if made else 'is there'}.")
    for step in steps:
        print(f"Schema: step {step.name.removesuffix('.sql')}")
    print("Its schema is that of this version." + (" Next: assistant workshop add NAME" if made else ""))
    return Exit.OK


def print_added(at: str, password_file: Path | None, name: str) -> Exit:
    """Make room for the workshop ``name``."""
    with admin_linked(at, password_file) as link:
        add_workshop(link, name)
    print(f"There is room for the workshop {name}. Next: assistant workshop add-bay BAY --workshop {name}")
    return Exit.OK


def print_member(
    at: str, password_file: Path | None, workshop: str, bay: str, to: TokenTo, *, office: bool = False
) -> Exit:
    """Let ``bay`` (or the office) log in, and put its token where it was asked for."""
    with admin_linked(at, password_file) as link:
        workshop = the_workshop(link, workshop)
        path = (to.file or Path(f"{workshop}.{bay}.token")).absolute()
        if not to.show:
            check_free(path, force=to.force)
        login, token = add_member(link, workshop, bay, office=office)
        place = replace(link.place, login=login)
    print(f"{'The office' if office else 'The bay'} may log in as {login}; a token that it had before is over.")
    if to.show:
        print(f"Token: {token}")
    else:
        _write(path, token)
        print(f"Its token is in {path}, which only its owner may read.")
    if not office:
        address = f"host={place.host} port={place.port} dbname={place.database} user={login}"
        print(
            f"In the bay: put it as central.token beside {settings_path().name}, for its owner alone, and say: "
            f'assistant settings set central "{address}"'
        )
    return Exit.OK


def _write(path: Path, token: str) -> None:
    try:
        replace_private(path, f"{token}\n".encode("ascii"))
    except OSError as fault:
        sentence = (
            f"The login is made, but its token cannot be written to {path} ({fault.strerror}): name another file, "
            "and it gets a new one."
        )
        raise Refusal(sentence, Exit.OUTPUT) from fault


def print_bays(at: str, password_file: Path | None, workshop: str) -> Exit:
    """List who may log in."""
    with admin_linked(at, password_file) as link:
        workshop = the_workshop(link, workshop)
        members = members_of(link, workshop)
    if not members:
        print(f"Nobody may log in for {workshop} yet: assistant workshop add-bay BAY --workshop {workshop}")
        return Exit.OK
    rows = [
        (one.bay, one.role if one.may_log_in else f"{one.role}, ended", one.login, str(one.jobs), str(one.entries),
         when(one.last_at), str(one.aside))
        for one in members
    ]  # fmt: skip
    print(table(("name", "may be", "login", "jobs", "entries", "last one came", "refused"), rows))
    return Exit.OK


def when(at: datetime | None) -> str:
    """Return a time for a table, in the time of this computer; a line where there is none."""
    return at.astimezone().strftime("%Y-%m-%d %H:%M:%S") if at else "-"


def print_ended(at: str, password_file: Path | None, workshop: str, bay: str) -> Exit:
    """End the login of ``bay``."""
    with admin_linked(at, password_file) as link:
        workshop = the_workshop(link, workshop)
        end_member(link, workshop, bay)
    print(f"The login {workshop}.{bay} has ended; what it sent stays.")
    return Exit.OK


def print_aside(at: str, password_file: Path | None, workshop: str, bay: str, job: str) -> Exit:
    """List what was refused."""
    with admin_linked(at, password_file) as link:
        workshop = the_workshop(link, workshop)
        found, count = set_aside(link, workshop, bay, job)
    if not found:
        print(f"Nothing was refused{f' of {job}' if job else ''}{f' from {bay}' if bay else ''} in {workshop}.")
        return Exit.OK
    for one, many in gathered(found):
        more = f" and {many - 1} behind it" if many > 1 else ""
        print(f"{when(one.at)}  {one.bay}: entry {one.seq} of job {one.job}{more}: {one.reason}.")
    if count > len(found):
        print(f"These are the newest {len(found)} of {count}; choose with --bay or --job.")
    return Exit.DIFFERENT


def print_proof(at: str, password_file: Path | None, workshop: str, job: str, copy: Path | None) -> Exit:
    """Check the chain of ``job`` in the store, and compare it with the bay's journal in the data folder ``copy``."""
    with admin_linked(at, password_file) as link:
        workshop = the_workshop(link, workshop)
        job = resolved(link, workshop, job)
        found = proved(link, workshop, job)
    print(f"In the store: {found.verdict.sentence}")
    if not found.verdict.good:
        return Exit.DIFFERENT
    print(f"The end of its chain is {found.verdict.head}.")
    if copy is None:
        return Exit.OK
    same, sentence = compared_with(job, found.entries, copy)
    print(sentence)
    return Exit.OK if same else Exit.DIFFERENT
