"""A bay at work, as a process of its own that may be killed at any moment: ``python -m tests.central.working``.

It opens jobs, adds to them, takes photos, pauses, closes, and now and then brings the job that all bays share, works on
it and pauses it. What the journal confirmed it writes behind a line of its log: that is what was said aloud.
"""

from __future__ import annotations

import contextlib
import os
import random
import sys
from collections.abc import Iterator
from pathlib import Path

from assistant.central.place import CentralFault, CentralPlace
from assistant.clock import SteadyClock
from assistant.facts.going import CarriedOn, Closed, Paused
from assistant.facts.photos import PhotoTaken
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry, JobHandle, Journal, JournalFault, UnknownJob
from assistant.workshop.moving import bring_if_away
from tests.central.confirmed import log_line
from tests.central.photos import named, photos_of
from tests.jobs import bare, heard, note

_PHOTOS = 0.1
"""For so many of the things that are done a photo is taken."""
MOST_PHOTO_BYTES = 400_000


class Log:
    """What was confirmed, a line for each entry; a line is whole, or not there."""

    def __init__(self, path: Path) -> None:
        """Write behind what is there."""
        self._fd = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, 0o600)

    def add(self, job: str, entries: list[Entry]) -> None:
        """Write down that ``entries`` of ``job`` were confirmed."""
        os.write(self._fd, b"".join(log_line(job, entry) for entry in entries))


def main(folder: Path, bay: str, place: CentralPlace, shared: str, clock_file: Path) -> None:
    """Work until killed."""
    draw = random.Random()
    log = Log(folder / "confirmed.log")
    clock = SteadyClock(wall=lambda: SteadyClock().now() + _set_by(clock_file))
    with open_journal(folder, bay=bay) as journal:
        for job in _jobs(journal, folder, bay, place, shared, draw, clock, log):
            with contextlib.closing(job):
                try:
                    _work(folder, job, draw, clock, log, may_close=job.id != shared)
                except JournalFault as fault:  # another bay has it by now
                    print(fault.sentence, flush=True)


def _set_by(path: Path) -> float:
    try:
        return float(path.read_text("ascii") or 0)
    except (FileNotFoundError, ValueError):
        return 0.0


def _jobs(
    journal: Journal,
    folder: Path,
    bay: str,
    place: CentralPlace,
    shared: str,
    draw: random.Random,
    clock: SteadyClock,
    log: Log,
) -> Iterator[JobHandle]:
    while True:
        now_ms = round(clock.now() * 1000)
        if draw.random() < 0.4:
            try:
                bring_if_away(place, folder, shared, bay)
                yield journal.hold(shared, now_ms)
            except (CentralFault, JournalFault, UnknownJob) as fault:
                print(fault.sentence, flush=True)
            continue
        job = journal.create([bare(f"Practice of {bay}", operator="Kim Example")], now_ms)
        log.add(job.id, job.entries())
        yield job


def _work(folder: Path, job: JobHandle, draw: random.Random, clock: SteadyClock, log: Log, *, may_close: bool) -> None:
    last = max((entry.at_ms for entry in job.entries()), default=0)
    for _ in range(draw.randrange(1, 12)):
        now_ms = last = max(last, round(clock.now() * 1000))
        log.add(job.id, job.append([heard(), note("the seal was dry " * draw.randrange(1, 9))], now_ms))
        if draw.random() < _PHOTOS:
            data = b"\xff\xd8" + draw.randbytes(draw.randrange(1, MOST_PHOTO_BYTES))
            photos_of(folder, job).put(data)
            number = 1 + sum(isinstance(entry.fact, PhotoTaken) for entry in job.entries())
            log.add(job.id, job.append(named(data, number), now_ms))
    log.add(job.id, job.append([Paused()], last))
    if draw.random() < 0.5:
        log.add(job.id, job.append([CarriedOn()], last))
        more = job.append([note("gone on with"), Paused()], last)
        log.add(job.id, more)
    if may_close and draw.random() < 0.3:
        log.add(job.id, job.append([Closed()], last))


if __name__ == "__main__":
    _folder, _bay, _host, _port, _database, _login, _token_file, _shared, _clock = sys.argv[1:]
    _place = CentralPlace(_host, int(_port), _database, _login, Path(_token_file).read_text("ascii").strip())
    main(Path(_folder), _bay, _place, _shared, Path(_clock))
