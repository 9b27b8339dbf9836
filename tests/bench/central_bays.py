"""Simulated bays of a workshop, some hundreds in a few processes: real journals on SQLite, each with the real line.

Each bay works through the demo job: an answer is put into its journal and is on disk; the line of the bay, the very one
that a bay runs, carries it to the store. What is measured is the time from the commit in the bay to the store's own
time of the entry (both of this machine's clock).
"""

from __future__ import annotations

import heapq
import json
import random
import sys
import time
from collections.abc import Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from itertools import groupby
from pathlib import Path

from assistant.central.place import CentralPlace
from assistant.facts import Fact
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry
from assistant.workshop.line import CentralLine
from tests.bench.figures import tell_failure
from tests.jobs import SHORT, START_S, opening, walk

MOULD = SHORT
"""The demo procedure that is recorded as well (audio_fixtures/coolant-pump-cover.flac)."""
START_MS = round(START_S * 1000)


def mould() -> list[Entry]:
    """Return the entries of a whole demo job, with a machine, a customer and people in it."""
    session, first = opening(MOULD, asset="Unit 1", customer="Order 1", operator="Kim Example")
    with open_journal(None) as drafts:
        draft = drafts.create(session.open(first, START_S).facts, START_MS)
        for _ in walk(session, draft):
            pass
        return draft.entries()


def answers() -> list[list[Fact]]:
    """Return the facts of the demo job as they are kept, answer by answer; the last one closes it."""
    return [[entry.fact for entry in batch] for _, batch in groupby(mould(), key=lambda entry: entry.at_ms)]


@dataclass(frozen=True, slots=True)
class Crowd:
    """What one process does: the bays by name and token, how it works, and where its journals lie."""

    folder: str
    place: tuple[str, int, str]
    workshop: str
    bays: Sequence[tuple[str, str]]
    seconds: float
    every_s: float
    """So often [s] each bay gets an answer."""
    waiting: int
    """So many answers are in each bay before the lines begin, and none comes then."""
    apart_s: float
    """Bays are switched on so far apart [s], in each process; after an outage all come back at once."""


def crowd(given: Crowd) -> dict[str, object]:
    """Let the bays work; return by job which entries were on disk in the bay when [s since the epoch]."""
    kept: dict[str, list[tuple[int, float]]] = {}
    host, port, database = given.place
    with ExitStack() as stack:
        turns = answers()
        bays = []
        for name, token in given.bays:
            folder = Path(given.folder) / name
            journal = stack.enter_context(open_journal(folder, bay=name))
            place = CentralPlace(host, port, database, f"{given.workshop}.{name}", token)
            bays.append((journal, CentralLine(folder, place, tell=_no_word, on_failure=tell_failure)))
        jobs = [iter(()) for _ in bays]
        handles = [None] * len(bays)

        def answer(at: int) -> None:
            journal = bays[at][0]
            facts = next(jobs[at], None)
            if facts is None:
                jobs[at] = iter(turns)
                if handles[at] is not None:
                    handles[at].close()
                facts = next(jobs[at])
                handles[at] = journal.create(facts, round(time.time() * 1000))
                entries = handles[at].entries()
            else:
                entries = handles[at].append(facts, round(time.time() * 1000))
            kept.setdefault(handles[at].id, []).append((entries[-1].seq, time.time()))

        for at in range(len(bays)) if given.waiting else ():
            for _ in range(given.waiting):
                answer(at)
        Path(given.folder, "waits.json").write_text(str(sum(seqs[-1][0] for seqs in kept.values())), "ascii")
        print("ready", flush=True)
        sys.stdin.readline()
        for _, line in bays:
            line.start()
            time.sleep(0 if given.waiting else given.apart_s)
        began = time.time()
        if given.waiting:
            sys.stdin.readline()
        else:
            draw = random.Random(given.bays[0][0])
            due = [(began + draw.uniform(0, given.every_s), at) for at in range(len(bays))]
            heapq.heapify(due)
            while due[0][0] < began + given.seconds:
                then, at = due[0]
                time.sleep(max(0.0, then - time.time()))
                answer(at)
                heapq.heapreplace(due, (max(then + given.every_s, time.time()), at))
            print("worked", flush=True)
            sys.stdin.readline()
        for handle in handles:
            if handle is not None:
                handle.close()
        for _, line in bays:
            line.close()
    return {"kept": kept, "began": began}


def _no_word(sentence: str) -> None:
    print(sentence, file=sys.stderr)


if __name__ == "__main__":
    told = json.loads(sys.stdin.readline())
    told["place"] = tuple(told["place"])
    found = crowd(Crowd(**told))
    Path(told["folder"], "kept.json").write_text(json.dumps(found), "utf-8")
    print("done", flush=True)
