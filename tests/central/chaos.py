"""Bays, senders, the store and the network between them, of which one after another is taken away at a random moment.

``python -m tests.central.chaos --moments 200``: three bays at work, each with what sends from it, all as processes of
their own; a real PostgreSQL that keeps what it confirmed (fsync on), on the loopback alone; one job that all bays want.
At each moment something is killed with no warning (SIGKILL), the network is cut, or a bay's clock is set; then it comes
back. In the end everything is sent, and nothing may be lost, doubled, reordered, or in two bays; each photo that was
confirmed is in the store, and whole wherever it is.
"""

from __future__ import annotations

import argparse
import contextlib
import itertools
import os
import random
import shutil
import signal
import subprocess
import sys
import tempfile
import threading
from collections import Counter
from collections.abc import Callable
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.facts.going import Paused
from assistant.journal.opening import open_journal
from assistant.journal.port import Judged
from assistant.journal.postgres.store import PostgresJournal
from assistant.pictures.store import photos_that_count
from assistant.workshop.members import add_member, add_workshop
from assistant.workshop.photo_store import stored_photo
from assistant.workshop.sending import LEASES_EVERY_S, Sender
from tests.central.confirmed import confirmed_in
from tests.central.cut import Network
from tests.central.server import Server, Shop
from tests.jobs import bare

NOON = 1_790_000_000_000
BAYS = ("bay1", "bay2", "bay3")
MOST_BETWEEN = 40
"""So many entries at most are confirmed between two moments."""
LIMIT_S = 60.0
EVENTS = ("bay", "bay", "sender", "sender", "server", "network", "clock")


@dataclass
class Bench:
    """One bay: its folder, and its two processes."""

    name: str
    folder: Path
    shop: Shop
    network: Network
    login: str
    token: str
    shared: str
    bay: subprocess.Popen[bytes] | None = None
    sender: subprocess.Popen[bytes] | None = None

    def __post_init__(self) -> None:
        """Write its settings, as the bay's own files."""
        self.folder.mkdir(exist_ok=True)
        place = f"host=127.0.0.1 port={self.network.port} dbname={self.shop.name} user={self.login}"
        (self.folder / "settings.toml").write_text(f'bay = "{self.name}"\ncentral = "{place}"\n', "utf-8")
        token = self.folder / "central.token"
        token.touch(0o600)
        token.write_text(self.token, "ascii")

    def start(self) -> None:
        """Start what does not run."""
        log = (self.folder / "processes.log").open("ab")
        env = {**os.environ, "ASSISTANT_HOME": str(self.folder)}
        if self.bay is None or self.bay.poll() is not None:
            place = [
                "127.0.0.1",
                str(self.network.port),
                self.shop.name,
                self.login,
                str(self.folder / "central.token"),
            ]
            more = [self.shared, str(self.folder / "clock")]
            command = [sys.executable, "-m", "tests.central.working", str(self.folder), self.name, *place, *more]
            self.bay = subprocess.Popen(command, stdout=log, stderr=log, env=env)
        if self.sender is None or self.sender.poll() is not None:
            command = [sys.executable, "-m", "assistant", "send", "--follow"]
            self.sender = subprocess.Popen(command, stdout=log, stderr=log, env=env)
        log.close()

    def kill(self, what: str) -> None:
        """Kill the "bay" or its "sender"."""
        process = self.bay if what == "bay" else self.sender
        if process is not None and process.poll() is None:
            process.send_signal(signal.SIGKILL)
            process.wait()

    def confirmed(self) -> int:
        """Return how many entries were confirmed."""
        return sum(1 for _ in confirmed_in(self.folder / "confirmed.log"))


class Chaos:
    """A workshop in which things go away."""

    def __init__(self, folder: Path, start_value: int) -> None:
        """Start everything in ``folder``."""
        self.draw = random.Random(start_value)
        self.server = Server(None, "fsync=on")
        self.server.shop_template()
        self.shop = Shop(self.server)
        self.network = Network(self.server.port)
        with contextlib.closing(CentralLink(self.shop.admin)) as link:
            add_workshop(link, "alder")
            logins = [add_member(link, "alder", name) for name in BAYS]
            self._office = add_member(link, "alder", "desk", office=True)
        self.photos = 0
        """So many photos were found in the store, and looked at."""
        self.shared = self._shared(folder, logins[0])
        self.bays = [
            Bench(name, folder / name, self.shop, self.network, login, token, self.shared)
            for name, (login, token) in zip(BAYS, logins, strict=True)
        ]

    def _shared(self, folder: Path, login: tuple[str, str]) -> str:
        """Open the job that all want, in the first bay."""
        first = folder / BAYS[0]
        first.mkdir()
        with open_journal(first, bay=BAYS[0]) as journal:
            job = journal.create([bare("Shared"), Paused()], NOON)
            job.close()
            with contextlib.closing(Sender(first, self.shop.as_login(*login))) as sender:
                sender.round(0)
        return job.id

    def run(self, moments: int, tell: Callable[[str], object], calm_s: float = 0.0) -> Counter[str]:
        """Let ``moments`` things happen, and return how often which; the bays have ``calm_s`` [s] for themselves first.

        A job moves between bays that are reached, so where things go away all the time it hardly does.
        """
        happened: Counter[str] = Counter()
        for one in self.bays:
            one.start()
        threading.Event().wait(calm_s)
        for moment in range(moments):
            self._until_more(self.draw.randrange(1, MOST_BETWEEN))
            what = self.draw.choice(EVENTS)
            self._happens(what)
            happened[what] += 1
            tell(f"chaos: moment {moment + 1} of {moments}: {what}")
        return happened

    def _until_more(self, entries: int) -> None:
        """Wait until so many entries more were confirmed in all bays together."""
        before = self._confirmed()
        waits, waited = threading.Event(), 0.0
        while self._confirmed() < before + entries:
            waits.wait(0.05)
            waited += 0.05
            if waited > LIMIT_S:
                told = [(one.folder / "processes.log").read_text("utf-8", "replace")[-800:] for one in self.bays]
                raise TimeoutError("\n".join(["nothing more was confirmed", *told]))

    def _confirmed(self) -> int:
        return sum(one.confirmed() for one in self.bays)

    def _happens(self, what: str) -> None:
        bay = self.draw.choice(self.bays)
        if what in ("bay", "sender"):
            bay.kill(what)
            bay.start()
        elif what == "server":
            self.server.kill()
            self._until_more(self.draw.randrange(1, 20))  # the bays go on meanwhile
            self.server.start()
        elif what == "network":
            self.network.cut()
            self._until_more(self.draw.randrange(1, 20))
            self.network.mend()
        elif what == "clock":
            (bay.folder / "clock").write_text(str(self.draw.randrange(-7200, 7200)), "ascii")
            bay.kill("bay")
            bay.start()

    def settle(self) -> None:
        """End all processes, and send all that is left."""
        for one in self.bays:
            one.kill("bay")
            one.kill("sender")
        for one in self.bays:
            with contextlib.closing(Sender(one.folder, self.shop.as_login(one.login, one.token))) as sender:
                for again in range(3):
                    sender.round(again * LEASES_EVERY_S)
                while sender.round(3 * LEASES_EVERY_S).photos.more:
                    pass

    def faults(self) -> list[str]:
        """Return what was lost, doubled, reordered, changed, or in two places."""
        wrong: list[str] = []
        with contextlib.closing(PostgresJournal(self.shop.as_login(*self._office))) as store:
            kept = {info.id: store.read(info.id) for info in store.scan()}
            wrong += [found.verdict.sentence for found in kept.values() if not found.verdict.good]
            for one in self.bays:
                wrong += _bay_faults(one, kept)
        with contextlib.closing(CentralLink(self.shop.admin)) as link:
            wrong += [f"set aside: {row}" for row in link.ask("SELECT sent_by, job, seq, why FROM shop.aside")]
        with contextlib.closing(CentralLink(self.shop.as_login(*self._office))) as link:
            for job, found in kept.items():
                for number, photo in photos_that_count(entry.fact for entry in found.entries).items():
                    self.photos += 1
                    if stored_photo(link, job, photo.sha256) is None:
                        wrong.append(f"photo {number} of {job} was confirmed, and is not in the store")
        return wrong

    def moves(self) -> int:
        """Return how often the job that all want came to another bay."""
        with contextlib.closing(CentralLink(self.shop.admin)) as link:
            rows = link.ask("SELECT sent_by FROM shop.entry WHERE job = %s ORDER BY seq", (self.shared,))
        by = [bay for (bay,) in rows]
        return sum(one != other for one, other in itertools.pairwise(by))

    def close(self) -> None:
        """End everything."""
        for one in self.bays:
            one.kill("bay")
            one.kill("sender")
        self.network.close()
        self.server.remove()


def _bay_faults(one: Bench, kept: dict[str, Judged]) -> list[str]:
    wrong = []
    for said in confirmed_in(one.folder / "confirmed.log"):
        entries = kept[said.job].entries if said.job in kept else []
        if len(entries) < said.seq or entries[said.seq - 1].hash != said.hash:
            wrong.append(f"{one.name} confirmed entry {said.seq} of {said.job}, and the store has another or none")
    with open_journal(one.folder, read_only=True) as journal:
        for info in journal.scan():
            here = journal.read(info.id)
            there = kept.get(info.id)
            if not here.verdict.good:
                wrong.append(f"{one.name}: {here.verdict.sentence}")
            elif there is None or there.entries[: len(here.entries)] != here.entries:
                wrong.append(f"{one.name}: {info.id} is not the same in the store")
    for path in one.folder.glob("photos/*/*.jpg"):
        if sha256(path.read_bytes()).hexdigest() != path.stem:
            wrong.append(f"{one.name}: {path} is not what was taken")
    return wrong


def main() -> None:
    """Print what happened, and what is wrong."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--moments", type=int, default=200)
    ask.add_argument("--start-value", type=int, default=1)
    ask.add_argument("--calm", type=float, default=0.0, help="so long nothing goes away at first [s]")
    given = ask.parse_args()
    folder = Path(tempfile.mkdtemp(prefix="chaos-"))
    try:
        with contextlib.closing(Chaos(folder, given.start_value)) as chaos:
            happened = chaos.run(given.moments, lambda told: print(told, flush=True), given.calm)
            chaos.settle()
            wrong = chaos.faults()
            said = sum(one.confirmed() for one in chaos.bays)
            print(f"{said} entries were confirmed, {chaos.photos} photos, one job moved {chaos.moves()} times")
            print(dict(happened))
            print("\n".join(wrong) or "nothing lost, doubled, reordered, changed or in two bays; every chain holds")
    finally:
        shutil.rmtree(folder, ignore_errors=True)
    sys.exit(bool(wrong))


if __name__ == "__main__":
    main()
