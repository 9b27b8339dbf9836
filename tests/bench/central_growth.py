"""How a central store grows: ``python -m tests.bench.central_growth --bays 500 --processes 10 --entries 10000000``.

A real PostgreSQL with fsync on. First bays at work: real journals on SQLite, each with the line that a bay runs, in
some processes, an answer of the demo job every so many seconds; how late the store has an entry, and how much it takes
where all bays had no network for a while. Then a year of whole demo jobs is made on the server, with true chains, and
the office asks as its pages do. The size of a year is reckoned from the bytes that were measured for an entry.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import ExitStack, closing
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from rich.console import Console

from assistant.central.link import CentralLink
from assistant.central.migrating import migrate
from assistant.central.place import CentralPlace
from assistant.journal.postgres.store import PostgresJournal
from assistant.office.desk import OfficeDesk
from assistant.office.links import Links
from assistant.office.watching import Watch
from assistant.workshop.administering import workshops
from assistant.workshop.members import add_member, add_workshop
from assistant.workshop.proving import proved
from tests.bench import central_load
from tests.bench.central_bays import mould
from tests.bench.figures import Figure, Tell, load, machine, spread, tell_failure
from tests.central.server import Server
from tests.jobs import ROOT

LIMIT_MS = 200
"""A question of the office takes less [ms]."""
LAG_S = 1.0
PATIENCE_S = 120
"""So long what waited is waited for [s]; where it takes longer, what came until then counts."""
YEAR_DAYS, DAY_ENTRIES = 220, 1200
"""So many days of a year a bay works, and so many entries it writes: ten demo jobs a day (an assumption, no source)."""
ALDER = "alder"
_SERVER = ("max_connections=700", "shared_buffers=1GB", "max_wal_size=8GB", "checkpoint_timeout=15min",
           "work_mem=16MB", "maintenance_work_mem=256MB", "max_locks_per_transaction=256")  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sizes:
    """How much of it is measured."""

    bays: int = 20
    processes: int = 2
    seconds: float = 20.0
    every_s: float = 6.0
    apart_s: float = 0.1
    waiting: int = 20
    entries: int = 100_000
    shops: int = 10
    chained: bool = True


def figures(tell: Tell, sizes: Sizes = Sizes()) -> list[Figure]:
    """Measure all of it."""
    with tempfile.TemporaryDirectory(dir=ROOT, prefix=".bench-") as made:
        tell("starting a server")
        server = Server(None, *_SERVER)
        try:
            place = server.database("growth", "template0")
            with closing(CentralLink(place, answer_s=3600)) as admin:
                migrate(admin)
                add_workshop(admin, ALDER)
                found: list[Figure] = []
                if sizes.bays:
                    found += _at_work(tell, Path(made) / "work", place, admin, sizes)
                if sizes.bays and sizes.waiting:
                    found += _after_an_outage(tell, Path(made) / "wait", place, admin, sizes)
                if sizes.entries:
                    found += _a_year(tell, place, admin, sizes)
                    found += _asked(tell, server, place, admin)
            return found
        finally:
            server.remove()


class _Crowds:
    """The processes with the bays; each is told a line when it is to go on."""

    def __init__(self, folder: Path, place: CentralPlace, admin: CentralLink, sizes: Sizes, waiting: int) -> None:
        first = "w" if waiting else "a"
        names = [f"{first}{number}" for number in range(sizes.bays)]
        self.folders, self.processes = [], []
        for at in range(sizes.processes):
            mine = names[at :: sizes.processes]
            part = folder / str(at)
            part.mkdir(parents=True)
            told = {
                "folder": str(part), "place": (place.host, place.port, place.database), "workshop": ALDER,
                "bays": [(name, add_member(admin, ALDER, name)[1]) for name in mine], "seconds": sizes.seconds,
                "every_s": sizes.every_s, "waiting": waiting, "apart_s": sizes.apart_s,
            }  # fmt: skip
            process = subprocess.Popen(
                [sys.executable, "-m", "tests.bench.central_bays"], cwd=ROOT, text=True, stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
            )  # fmt: skip
            self.folders.append(part)
            self.processes.append(process)
            self._say(process, json.dumps(told))
        self.until("ready")

    def _say(self, process: subprocess.Popen[str], line: str) -> None:
        assert process.stdin is not None
        process.stdin.write(f"{line}\n")
        process.stdin.flush()

    def go_on(self) -> None:
        for process in self.processes:
            self._say(process, "")

    def until(self, word: str) -> None:
        for process in self.processes:
            assert process.stdout is not None
            if process.stdout.readline().strip() != word:
                raise RuntimeError(f"bays ended before they were {word}")

    def kept(self) -> dict[str, list[tuple[int, float]]]:
        """Return when which entries were on disk in the bays, by job."""
        self.until("done")
        found: dict[str, list[tuple[int, float]]] = {}
        for folder, process in zip(self.folders, self.processes, strict=True):
            process.wait(60)
            found |= json.loads((folder / "kept.json").read_text("utf-8"))["kept"]
        return found

    def end(self) -> None:
        for process in self.processes:
            process.kill()
            process.wait()


def _sent(admin: CentralLink, first: str) -> int:
    row = admin.one(
        "SELECT coalesce(sum(seq), 0) FROM shop.job WHERE workshop = %s AND left(bay, 1) = %s", (ALDER, first)
    )
    return int(row[0]) if row else 0


def _at_work(tell: Tell, folder: Path, place: CentralPlace, admin: CentralLink, sizes: Sizes) -> list[Figure]:
    tell(f"{sizes.bays} bays at work for {sizes.seconds:g} s")
    crowds = _Crowds(folder, place, admin, sizes, 0)
    try:
        crowds.go_on()
        crowds.until("worked")
        crowds.go_on()
        kept = crowds.kept()
    finally:
        crowds.end()
    came = {
        (job, seq): at
        for job, seq, at in admin.ask(
            "SELECT job, seq, extract(epoch FROM received_at) FROM shop.entry"
            " WHERE workshop = %s AND left(sent_by, 1) = 'a'",
            (ALDER,),
        )
    }
    lags = [
        max(0.0, float(came[job, seq]) - at) for job, seqs in kept.items() for seq, at in seqs if (job, seq) in came
    ]
    total = sum(seqs[-1][0] for seqs in kept.values())
    assert len(came) == total, f"{total - len(came)} of {total} entries did not arrive"
    what = f"{sizes.bays} bays at work, an answer every {sizes.every_s:g} s each"
    median, p95 = spread(f"{what}: on disk in the bay -> in the store", [1000 * one for one in lags], "ms", None, None)
    return [
        Figure(what, total / sizes.seconds, "entries/s", None, f"{total} entries in {sizes.seconds:.0f} s, none lost"),
        Figure(median.what, median.value, "ms", 1000 * LAG_S, median.remark),
        Figure(p95.what, p95.value, "ms"),
        Figure(f"{what}: the latest", 1000 * max(lags), "ms"),
    ]


def _after_an_outage(tell: Tell, folder: Path, place: CentralPlace, admin: CentralLink, sizes: Sizes) -> list[Figure]:
    tell(f"{sizes.bays} bays that send what waits")
    crowds = _Crowds(folder, place, admin, sizes, sizes.waiting)
    try:
        parts = [json.loads((one / "waits.json").read_text("utf-8")) for one in crowds.folders]
        total = sum(parts)
        before = time.time()
        crowds.go_on()
        while (there := _sent(admin, "w")) < total and time.time() - before < PATIENCE_S:
            time.sleep(0.05)
        took = time.time() - before
        crowds.go_on()
        crowds.kept()
    finally:
        crowds.end()
    remark = f"{there} of {total} entries in {took:.1f} s"
    return [Figure(f"{sizes.bays} bays send at once what waited", there / took, "entries/s", None, remark)]


def _a_year(tell: Tell, place: CentralPlace, admin: CentralLink, sizes: Sizes) -> list[Figure]:
    each = len(mould())
    jobs = max(1, sizes.entries // (sizes.shops * each))
    names = [f"shop{number}" for number in range(sizes.shops)]
    tell(f"{jobs} jobs in each of {len(names)} workshops")
    for name in names:
        add_workshop(admin, name)
    before = time.time()
    central_load.fill(place, names, jobs, days=365, chained=sizes.chained)
    took = time.time() - before
    admin.ask("SET statement_timeout = 0")
    admin.ask("VACUUM (ANALYZE)")
    total = jobs * each * len(names)
    last = admin.one("SELECT name FROM shop.job WHERE workshop = %s ORDER BY opened_ms DESC LIMIT 1", (names[-1],))
    assert last is not None
    verdict = proved(admin, names[-1], last[0]).verdict
    assert verdict.good or not sizes.chained, verdict.sentence
    row = admin.one(
        "SELECT coalesce(sum(pg_total_relation_size(oid)), 0)::bigint FROM pg_class WHERE relkind = 'r'"
        " AND relnamespace = 'shop'::regnamespace"
    )
    assert row is not None
    an_entry = row[0] / total
    year = 500 * YEAR_DAYS * DAY_ENTRIES
    how = "true chains" if sizes.chained else "no true chains"
    return [
        Figure(f"{total:,} entries made on the server ({how}), with the words of the search", took, "s", None,
               f"{total / took:,.0f} entries/s by two links"),
        Figure("An entry in the store, with what was said, its words and all indexes", an_entry, "bytes"),
        Figure("A year of 500 bays, reckoned from it", an_entry * year / 1e9, "GB", None,
               f"{DAY_ENTRIES} entries a bay and day, {YEAR_DAYS} days: {year / 1e6:.0f} million entries"),
    ]  # fmt: skip


def _asked(tell: Tell, server: Server, place: CentralPlace, admin: CentralLink) -> list[Figure]:
    name = next(one for one in reversed(workshops(admin)) if one != ALDER)
    login, token = add_member(admin, name, "office", office=True)
    office = server.place(place.database, login, token)
    row = admin.one("SELECT count(*), sum(seq) FROM shop.job")
    assert row is not None
    jobs, entries = int(row[0]), int(row[1])
    with ExitStack() as stack:
        tell("the office reads its workshop for the first time")
        watch = Watch(office, lambda: None, tell_failure)
        before = time.perf_counter()
        watch.start(180)
        first_s = time.perf_counter() - before
        stack.callback(watch.close)
        links = stack.enter_context(closing(Links(office)))
        journal = stack.enter_context(closing(PostgresJournal(office)))
        names = [info.id for info in watch.shown.jobs]
        assert names, watch.trouble
        machines = min(central_load.MACHINES - 1, len(names))
        asked: dict[str, Callable[[int], Any]] = {
            "list of jobs, from the store": lambda _: list(journal.scan()),
            "due": lambda _: _desk(watch, links).listed("due"),
            "machines": lambda _: _desk(watch, links).listed("machines"),
            "history of a machine": lambda n: _desk(watch, links).listed("machine", f"Unit {2 + n % machines}"),
            "record: a job read and its chain checked": lambda n: (
                journal.read(names[(37 * n) % len(names)]).verdict.good
            ),
            "search, a rare word": lambda n: _desk(watch, links).search(f"w{1 + n}"),
            "search, a word in every job": lambda _: _desk(watch, links).search("coolant"),
        }
        found = [
            Figure(f"Entries in the store when the office asked, in {jobs:,} jobs", entries, "entries"),
            Figure(
                f"The office reads its {len(names)} jobs for the first time", first_s, "s", None, "once at its start"
            ),
        ]
        for what, ask in asked.items():
            tell(what)
            ask(0)
            times = []
            for n in range(1, 21):
                before = time.perf_counter()
                answer = ask(n)
                times.append(1000 * (time.perf_counter() - before))
                assert answer, what
            found += [
                Figure(one.what, one.value, one.unit, LIMIT_MS if "median" in one.what else None, one.remark)
                for one in spread(f"Office, {what}", times, "ms", None, None)
            ]
    return found


def _desk(watch: Watch, links: Links) -> OfficeDesk:
    """Return a desk that has made nothing yet."""
    return OfficeDesk(watch, links, ROOT / "procedures", ())


def main(words: Sequence[str] | None = None) -> int:
    """Measure what the command line says, and print it."""
    ask = argparse.ArgumentParser(prog="python -m tests.bench.central_growth", description=__doc__)
    usual = Sizes()
    for key, what in {
        "bays": "bays at work, 0 for none", "processes": "processes that they are in",
        "seconds": "how long they work [s]",
        "every-s": "an answer of each bay so often [s]",
        "apart-s": "bays are switched on so far apart in each process [s]",
        "waiting": "answers in each bay that wait to be sent, 0 for none",
        "entries": "entries that are made on the server, 0 for none", "shops": "workshops that they are in",
    }.items():  # fmt: skip
        value = getattr(usual, key.replace("-", "_"))
        ask.add_argument(f"--{key}", type=type(value), default=value, help=f"{what} ({value})")
    ask.add_argument("--unchained", dest="chained", action="store_false", help="no true chains: quicker")
    out = Console(width=140)
    before = load()
    found = figures(lambda what: print(what, file=sys.stderr, flush=True), Sizes(**vars(ask.parse_args(words))))
    from tests.bench.__main__ import table

    out.print(f"{machine()}; load {before} before, {load()} after", highlight=False)
    out.print(table(found))
    return int(not all(one.is_kept for one in found))


if __name__ == "__main__":
    sys.exit(main())
