"""Makes a workshop on this computer and keeps it at work: the store, its office, and two bays that rehearse."""

from __future__ import annotations

import contextlib
import fcntl
import os
import select
import signal
import sys
import threading
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from assistant.central.place import CentralPlace
from assistant.clock import steady
from assistant.files import private_folder, replace_private
from assistant.service.shop.cluster import Cluster, shop_folder
from assistant.service.shop.keeping import MARK, Keeper, Program, end_left_behind
from assistant.settings import store_settings
from assistant.terminal.exits import Exit, Refusal
from assistant.workshop.administering import admin_link, set_up
from assistant.workshop.line import TOKEN
from assistant.workshop.members import OFFICE, add_member, add_workshop

WORKSHOP = "alder"
BAYS = {"bay1": "coolant-pump-cover", "bay2": "gearbox-side-cover"}
"""The bays, and the procedure of which each rehearses the recording."""
_ENDS = frozenset({int(Exit.OK), int(Exit.OPEN)})
"""One of the recordings ends with a pause."""
_LOOKS_EVERY_S = 0.5
_END_S = 60.0


@dataclass(frozen=True, slots=True)
class TryOptions:
    """Where it lies, the port of the office (0: any), the folder with recordings, and how many jobs each bay does."""

    folder: Path
    port: int
    recordings: Path | None
    jobs: int


def try_workshop(options: TryOptions) -> Exit:
    """Make the workshop in a folder, or take up the one that is there, and keep it at work until it is stopped.

    Raises:
        Refusal: it cannot be made there, or is at work already.
        CentralFault: the store cannot be made.
    """
    folder = shop_folder(options.folder)
    with _alone(folder):
        end_left_behind(str(folder))
        cluster = Cluster(folder)
        keeper = Keeper(str(folder), lambda sentence: print(sentence, flush=True))
        stop = threading.Event()
        before = {sent: signal.signal(sent, lambda *_: stop.set()) for sent in (signal.SIGINT, signal.SIGTERM)}
        try:
            doing = "Starting" if cluster.is_made else "Making"
            print(f"{doing} a PostgreSQL of its own in {cluster.folder} ...", flush=True)
            cluster.make()
            place = cluster.start()
            members = _members(place, folder)
            for name, login in members.items():
                _start(keeper, folder, name, login, place, options)
            _say(folder, place, options)
            _keep(keeper, folder, options, stop)
        finally:
            keeper.close()
            cluster.stop()
            for sent, handler in before.items():
                signal.signal(sent, handler)
    print("All of it is stopped; what it wrote down is kept.", flush=True)
    return Exit.OK


def stop_workshop(path: Path) -> Exit:
    """Stop the workshop in the folder ``path``, also when what kept it at work is gone.

    Raises:
        Refusal: there is none.
    """
    folder = path.resolve()
    if not (folder / "shop.lock").exists():
        raise Refusal(f"There is no workshop to try out in {folder}.", Exit.USAGE)
    with contextlib.suppress(OSError, ValueError):
        pid = int((folder / "shop.lock").read_text("ascii"))
        words = Path(f"/proc/{pid}/cmdline").read_bytes().split(b"\0")
        if b"workshop" in words and b"try" in words:
            handle = os.pidfd_open(pid)
            os.kill(pid, signal.SIGTERM)
            select.select([handle], [], [], _END_S)  # it can be read when that process has ended
            os.close(handle)
    with _alone(folder):
        end_left_behind(str(folder))
        Cluster(folder).stop()
    print(f"Nothing of the workshop in {folder} is at work.")
    return Exit.OK


@contextlib.contextmanager
def _alone(folder: Path) -> Iterator[None]:
    lock = os.open(folder / "shop.lock", os.O_RDWR | os.O_CLOEXEC)
    try:
        try:
            fcntl.flock(lock, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except OSError as fault:
            raise Refusal(f"The workshop in {folder} is at work already; make shop-stop ends it.", Exit.BUSY) from fault
        os.ftruncate(lock, 0)
        os.write(lock, str(os.getpid()).encode("ascii"))
        yield
    finally:
        os.close(lock)


def _members(place: CentralPlace, folder: Path) -> Mapping[str, str]:
    """Make the store and its logins, each with a new token in a data folder of its own; return their logins."""
    set_up(place)
    with contextlib.closing(admin_link(place)) as link:
        add_workshop(link, WORKSHOP)
        logins = {}
        for name in (OFFICE, *BAYS):
            logins[name], token = add_member(link, WORKSHOP, name, office=name == OFFICE)
            private_folder(folder / name)
            replace_private(folder / name / TOKEN, f"{token}\n".encode("ascii"))
            if name != OFFICE:
                store_settings(folder / name / "settings.toml", {"bay": name, "central": _address(place, logins[name])})
    return logins


def _address(place: CentralPlace, login: str) -> str:
    return f"host={place.host} port={place.port} dbname={place.database} user={login}"


def _start(keeper: Keeper, folder: Path, name: str, login: str, place: CentralPlace, options: TryOptions) -> None:
    if name == OFFICE:
        words = ["serve", "--central", _address(place, login), "--token", str(folder / name / TOKEN)]
        keeper.start(_program(folder, name, [*words, "--display-port", str(options.port)], "the office"))
        return
    keeper.start(_program(folder, name, ["send", "--follow"], f"the sender of {name}"))


def _program(
    folder: Path, place: str, words: list[str], called: str, ends_with: frozenset[int] = frozenset()
) -> Program:
    around = {key: value for key, value in os.environ.items() if not key.startswith("ASSISTANT_")}
    around["ASSISTANT_HOME"] = str(folder / place)
    log = folder / f"{called.replace(' ', '-')}.log"
    return Program(called, [str(Path(sys.executable).with_name("assistant")), *words], around, log, ends_with)


def _keep(keeper: Keeper, folder: Path, options: TryOptions, stop: threading.Event) -> None:
    """Look after the programs until ``stop``; a bay whose rehearsal has ended begins the next."""
    done = dict.fromkeys(BAYS, 0)
    told = options.recordings is None
    while not stop.wait(_LOOKS_EVERY_S):
        keeper.look(steady())
        for bay, procedure in BAYS.items():
            called = f"the rehearsal in {bay}"
            if options.recordings is not None and not keeper.has(called) and done[bay] < options.jobs:
                done[bay] += 1
                sound = options.recordings / f"{procedure}.flac"
                words = ["rehearse", procedure, "--audio-in", str(sound)]
                keeper.start(_program(folder, bay, words, called, _ENDS))
                print(f"{bay} rehearses {procedure} ({done[bay]} of {options.jobs}).", flush=True)
        if not told and all(
            count >= options.jobs and not keeper.has(f"the rehearsal in {bay}") for bay, count in done.items()
        ):
            told = True
            print("All rehearsals are done; the office goes on.", flush=True)


def _say(folder: Path, place: CentralPlace, options: TryOptions) -> None:
    where = f"http://127.0.0.1:{options.port}/" if options.port else f"as {folder / 'the-office.log'} says"
    print(
        f"The workshop {WORKSHOP} is at work: an office and the bays {', '.join(BAYS)}.\n"
        f"Look at {where}\n"
        f"Ask: ASSISTANT_HOME={folder / 'bay1'} assistant jobs\n"
        f'     assistant workshop bays --at "{_address(place, place.login)}" --password-file {folder / "admin.token"}\n'
        f"Stop with Control-C here, or with make shop-stop; {MARK} marks its processes.",
        flush=True,
    )
