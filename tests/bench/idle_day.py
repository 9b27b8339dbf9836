"""A bay that waits beside a radio, for a day: ``python -m tests.bench.idle_day SHARED --hours 24 --out FILE``.

A radio and the noise of a bay (``tests/bench/radio.py``, from SHARED, a folder with ``manifest.tsv`` of recordings) go
the way of the microphone's sound, faster than real time (``tests/bench/idle_ear.py``), to a bay with the demo
procedures, one open job, and two names, whose microphone is closed while it speaks. At what it takes it wakes, as it
would, and hears what goes on. The echo canceller has nothing to do while it is silent, and is left out.

``--wake`` is its wake phrase; with "" it has none, as it comes. ``--woken S`` wakes it every S seconds, as somebody
would who then goes away. An hour has twelve pieces, each a line of ``--out``; what stands there is not heard again.
"""

from __future__ import annotations

import argparse
import json
import multiprocessing
import os
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from assistant.hearing.score import HourlyRate
from assistant.terminal.tables import table
from assistant.voice.listening.model_files import OWN_MODEL
from tests.bench.figures import load, machine
from tests.bench.idle_ear import IdleEar, Waited
from tests.bench.radio import Piece, pieces_of

WAKE_PHRASE = "good morning workshop"
Line = dict[str, Any]


_ear: IdleEar | None = None


def _start(shared: Path, model: Path, woken_s: float) -> None:
    global _ear  # noqa: PLW0603 - one per process, made once
    os.nice(15)
    _ear = IdleEar(shared, model, woken_s)


def _wait(given: tuple[Piece, tuple[str, ...]]) -> list[Waited]:
    assert _ear is not None
    return _ear.wait(*given)


def wait_on(
    shared: Path, wanted: Sequence[tuple[Piece, tuple[str, ...]]], *, woken_s: float, model: Path, cores: int
) -> Iterator[Line]:
    """Yield what bays with the wake phrases beside each piece did, as it is done, each as a line of the file."""
    pool = multiprocessing.get_context("spawn").Pool(cores, initializer=_start, initargs=(shared, model, woken_s))
    with pool:
        for found in pool.imap_unordered(_wait, wanted):
            yield from map(asdict, found)


def lines_of(path: Path | None) -> list[Line]:
    """Return the pieces that stand in the file; a line that was not written to its end is none."""
    found = []
    for line in path.read_text("utf-8").splitlines() if path is not None and path.exists() else ():
        try:
            found.append(json.loads(line))
        except ValueError:
            continue
    return found


def note(path: Path, line: Line) -> None:
    """Write ``line`` behind those in the file, also where the last of them broke off."""
    before = path.read_bytes()[-1:] if path.exists() else b""
    with path.open("a", encoding="utf-8") as opened:
        opened.write(("\n" if before not in (b"", b"\n") else "") + json.dumps(line) + "\n")


def missing(hours: Sequence[int], wakes: Sequence[str], lines: Sequence[Line]) -> list[tuple[Piece, tuple[str, ...]]]:
    """Return the pieces of the ``hours``, each with the wake phrases for which it is not among ``lines``."""
    done = {(line["hour"], line["number"], line["wake"]) for line in lines}
    wanted = [
        (piece, tuple(wake for wake in wakes if (hour, piece.number, wake) not in done))
        for hour in hours
        for piece in pieces_of(hour)
    ]
    return [one for one in wanted if one[1]]


def show(lines: Sequence[Line]) -> str:
    """Return the table by kind of sound, with what still may be an hour, and each thing that was done."""
    rows = []
    for kind in [*sorted({line["kind"] for line in lines}), "all"]:
        here = [line for line in lines if kind in ("all", line["kind"])]
        asleep_h = sum(line["seconds"] - line["awake_s"] for line in here) / 3600
        acted = [one for line in here for one in line["acted"]]
        woken = sum(not one["awake"] for one in acted)
        rows.append(
            (kind, f"{asleep_h:.2f}", str(woken), _most(woken, asleep_h),
             f"{sum(line['awake_s'] for line in here) / 3600:.2f}", str(sum(line["windows"] for line in here)),
             str(sum(one["awake"] for one in acted)), str(sum(len(line["begun"]) for line in here)),
             str(sum(len(line["unsure"]) for line in here)))
        )  # fmt: skip
    heads = ("sound", "hours asleep", "acted on", "an hour, up to (95 %)", "hours awake", "windows", "acted on awake",
             "jobs begun", "not sure enough")  # fmt: skip
    hours = sum(line["seconds"] for line in lines) / 3600
    core = f"{sum(line['core_s'] for line in lines) / max(hours, 1e-9):.0f} s of one core an hour"
    told = [
        f"hour {line['hour']}, {line['kind']} ({line['level_db']} dBFS, {line['snr_db']} dB), {one['at_s']} s: "
        f"{one['text']} ({one['intent']}, {one['confidence']:.2f}{', awake' if one['awake'] else ''}) in {one['file']}"
        for line in lines
        for one in line["acted"]
    ]
    begun = [f"hour {line['hour']}, {line['kind']}: {one}" for line in lines for one in line["begun"]]
    unsure = Counter(one["text"] for line in lines for one in line["unsure"])
    surest = max((one["confidence"] for line in lines for one in line["unsure"]), default=0.0)
    nearest = [f"not sure enough: {dict(unsure.most_common(12))}, the surest {surest:.2f}"] if unsure else []
    return "\n".join([table(heads, rows), core, *told, *begun, *nearest])


def _most(count: int, hours: float) -> str:
    return f"{HourlyRate(count, hours).interval[1]:.2f}"


def main() -> None:
    """Wait for the hours that are missing, and print a table for each wake phrase."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("shared", type=Path, help="a folder with manifest.tsv of recordings")
    ask.add_argument("--hours", type=int, default=1)
    ask.add_argument("--first", type=int, default=1, help="number of the first hour (another one: other sound)")
    ask.add_argument("--wake", action="append", help=f'a wake phrase, "" for none; without it "{WAKE_PHRASE}" and ""')
    ask.add_argument("--woken", type=float, default=0.0, metavar="S", help="wake it every S seconds")
    ask.add_argument("--cores", type=int, default=1)
    ask.add_argument("--out", type=Path, help="a file with a line of JSON for each piece, to go on with")
    given = ask.parse_args()
    wakes = given.wake or [WAKE_PHRASE, ""]
    print(f"{machine()}; load {load()}", flush=True)
    lines = [line for line in lines_of(given.out) if line["woken_s"] == given.woken and line["wake"] in wakes]
    wanted = missing(range(given.first, given.first + given.hours), wakes, lines)
    for line in wait_on(given.shared, wanted, woken_s=given.woken, model=OWN_MODEL, cores=given.cores):
        lines.append(line)
        if given.out:
            note(given.out, line)
    for wake in wakes:
        print(f'\nwake phrase "{wake}"')
        print(show([line for line in lines if line["wake"] == wake]))


if __name__ == "__main__":
    main()
