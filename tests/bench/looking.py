"""What it costs a job when eight people look at a very large record, and when 200 connections are held open.

A session, its journal and the display in one process, as in a live job; words are typed in. The record is that of a
job of 22,000 entries, asked for eight times at once; while it is made, the session answers. The bytes of the record
that is asked for again are kept, so that it is timed too. All traffic is on the loopback address.
"""

from __future__ import annotations

import os
import tempfile
import threading
import time
from pathlib import Path

from tests.bench.figures import Figure, Tell, spread
from tests.display.large import large_job
from tests.display.play import Play
from tests.display.test_records import page, peak_mb
from tests.display.test_slow import CROWD, HALF, slow
from tests.display.wire import ask

ENTRIES, LOOKING = 22_000, 8


def figures(tell: Tell) -> list[Figure]:
    """Measure, and return the times to an answer, to the record, and to the page."""
    kept = os.environ.get("ASSISTANT_HOME")
    with tempfile.TemporaryDirectory(prefix="bench-") as made:
        os.environ["ASSISTANT_HOME"] = made
        try:
            tell(f"making a job of {ENTRIES} entries")
            name = large_job(Path(made), ENTRIES)
            play = Play(Path(made))
            try:
                return [*_records(tell, play, name), *_slow(tell, play)]
            finally:
                play.close()
        finally:
            os.environ.pop("ASSISTANT_HOME")
            if kept is not None:
                os.environ["ASSISTANT_HOME"] = kept


def _records(tell: Tell, play: Play, name: str) -> list[Figure]:
    tell(f"{LOOKING} look at its record")
    before, answered, came = peak_mb(), [], []

    def look() -> None:
        began = time.perf_counter()
        assert page(play.display.link, name).status == 200
        came.append(time.perf_counter() - began)

    looking = [threading.Thread(target=look) for _ in range(LOOKING)]
    for one in looking:
        one.start()
    while any(one.is_alive() for one in looking):
        began = time.perf_counter()
        play.say("where am i")
        answered.append(1000 * (time.perf_counter() - began))
        time.sleep(0.02)  # somebody speaks, and does not hammer
    grown = peak_mb() - before
    first = max(came)
    look()
    what = f"{LOOKING} look at a record of {ENTRIES} entries"
    return [
        *spread(f"Answer of the session while {what}", answered, "ms", 50, 200),
        Figure(f"The slowest answer while {what}", max(answered), "ms", 500),
        Figure("Memory that this took in the process of the job", grown, "MB", 60),
        Figure("The record, for the last of them", first, "s", 30),
        Figure("The same record once more", 1000 * came[-1], "ms", 500),
    ]


def _slow(tell: Tell, play: Play) -> list[Figure]:
    took = []
    for begun in HALF:
        tell(f"{CROWD} connections: {begun}")
        crowd = [slow(play.display.link, begun) for _ in range(CROWD)]
        for _ in range(10):
            began = time.perf_counter()
            assert ask(play.display.link).status == 200
            took.append(1000 * (time.perf_counter() - began))
        for sock in crowd:
            sock.close()
    return spread(f"The page while {CROWD} slow connections are held", took, "ms", 100, 1000)
