"""Speech that is meant for nobody, for hours: ``python -m tests.bench.running_talk SHARED [--split dev]``.

People who read sentences (``manifest.tsv`` in SHARED, sets of read English), of whom none is in a training part, follow
on one another as talk does, with pauses of a third of a second to one and a half, in a room with a little hiss; in
quiet, and with music or a machine so far below them [dB]. All of it goes the way of the microphone's sound: voice
detector, the search for ends, the engine that attends to everything, the phrases of a state of a real job with what it
waits for, the limits, and what the job makes of it. States of the short demo job take turns; ``--all`` opens every
phrase of the assistant instead, which is harder than any state. The job does not move by what is taken.

The time is that of the sound. Tracks are spread over ``--cores`` processes, which give way to all others.
"""

from __future__ import annotations

import argparse
import csv
import json
import multiprocessing
import os
import zlib
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict, dataclass
from functools import cache
from pathlib import Path

import numpy as np
import numpy.typing as npt

from assistant.bay.engines import second_opinion
from assistant.events import Command, Grammar, Heard, Weight
from assistant.hearing.measuring import phrases_for
from assistant.hearing.mixing import rms
from assistant.hearing.score import HourlyRate, Marks, Trial
from assistant.journal.opening import open_journal
from assistant.language.chosen import LANGUAGE
from assistant.session.here import Here
from assistant.session.intents import BY_NAME
from assistant.session.understanding import Unclear, understand
from assistant.terminal.tables import table
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.adapters.wav import read_recording
from assistant.voice.listening.listener import Listener
from assistant.voice.listening.model_files import OWN_MODEL
from assistant.voice.ports import BLOCK, RATE, Block, Samples
from models.recipe.parting import part_of
from tests.bench.figures import load, machine, tell_failure
from tests.jobs import SHORT, START_S, opening, walk
from tests.voice.noises import MACHINES

READ = ("librispeech_part", "speechocean762")
MUSIC = "noise_music_opsound"
BESIDE = ("quiet", "music:10", "music:0", "engine:5", "drilling:5")
PAUSES_S = (0.3, 1.5)
TRACK_S = 120.0
MOST_PER_HOUR = 0.3
_LEVEL = 1500.0
"""Root mean square of each recording [of 32768]: people at a radio's even level."""
_HISS = 8.0
_NOISE_S = 30.0
Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Track:
    """Some minutes of talk: the recordings that follow on one another, and what is beside it ("music:10")."""

    number: int
    paths: tuple[Path, ...]
    beside: str
    music: tuple[Path, ...] = ()


@dataclass(frozen=True, slots=True)
class Taken:
    """An utterance of the talk for which the job would do something: ``how`` is a weight, "asked" or "unclear"."""

    beside: str
    state: str
    how: str
    text: str
    confidence: float
    file: str
    at_s: float


def tracks(shared: Path, split: str, beside: Sequence[str]) -> list[Track]:
    """Return the talk of the people of ``split`` ("dev" or "test"), once for each of ``beside``."""
    with (shared / "manifest.tsv").open(encoding="utf-8", newline="") as opened:
        rows = list(csv.DictReader(opened, delimiter="\t", quoting=csv.QUOTE_NONE))
    pieces: list[list[Path]] = [[]]
    seconds = 0.0
    for row in rows:
        if row["set"] in READ and part_of(row["set"], row["speaker"]) == f"{split}-human":
            pieces[-1].append(shared / row["path"])
            seconds += float(row["seconds"]) + sum(PAUSES_S) / 2
            if seconds > TRACK_S:
                pieces.append([])
                seconds = 0.0
    every = sorted(shared / row["path"] for row in rows if row["set"] == MUSIC)
    music = tuple(every[:2] if split == "dev" else every[2:])
    return [
        Track(number, tuple(paths), one, music if one.startswith("music") else ())
        for one in beside
        for number, paths in enumerate(pieces)
        if paths
    ]


def sound(track: Track) -> tuple[Samples, list[tuple[float, str]]]:
    """Return the sound of ``track``, 16 kHz, shape (n,), and when each recording begins in it [s]."""
    random = np.random.default_rng(zlib.crc32(str(track.paths[0].name).encode()))
    parts, begins, at = [], [], 0
    for path in track.paths:
        clip = read_recording(path).astype(np.float64)
        pause = np.zeros(round(random.uniform(*PAUSES_S) * RATE))
        begins.append((at / RATE, path.name))
        parts += [clip * (_LEVEL / max(rms(clip), 1.0)), pause]
        at += clip.size + pause.size
    speech = np.concatenate([*parts, np.zeros(RATE)])
    speech += random.normal(0.0, _HISS, speech.size)
    kind, _, snr = track.beside.partition(":")
    if snr:
        noise = _noise(kind, track.music, track.number, speech.size)
        speech += noise * (_LEVEL / rms(noise) * 10 ** (-float(snr) / 20))
    return np.rint(speech * min(1.0, 32_000 / np.abs(speech).max())).astype(np.int16), begins


def _noise(kind: str, music: Sequence[Path], number: int, size: int) -> Floats:
    if kind == "music":
        samples = read_recording(music[number % len(music)]).astype(np.float64)
        return np.resize(np.roll(samples, -number * 7 * RATE), size)
    return np.resize(MACHINES[kind](_NOISE_S, np.random.default_rng(number)), size)


@cache
def states() -> dict[str, tuple[Here, Grammar]]:
    """Return how the short demo job stands whenever other phrases may be said, and these, by a name."""
    found: dict[str, tuple[Here, Grammar]] = {}
    session, first = opening(SHORT)
    with open_journal(None) as journal:
        job = journal.create(session.open(first, START_S).facts, round(START_S * 1000))
        for now in walk(session, job):
            known = [grammar for _, grammar in found.values()]
            grammar = session.grammar()
            if not session.closed and not grammar.dictation and grammar not in known:
                here = session.standing(now)
                found[f"{here.phase} {len(known) + 1}"] = here, grammar
    return found


class _Worker:
    """What one process keeps: the loaded model."""

    def __init__(self, model: Path, every_phrase: bool, second: bool) -> None:
        self.loaded = VoskRecogniser(LANGUAGE, model)
        self.second = second_opinion(tell_failure, waits=True) if second else None
        self.every_phrase = every_phrase

    def hear(self, track: Track) -> tuple[str, float, list[Taken]]:
        samples, begins = sound(track)
        name, (here, grammar) = list(states().items())[track.number % len(states())]
        if self.every_phrase:
            name, grammar = "all", phrases_for(())
        recogniser = self.loaded.fresh()
        heard: list[Heard] = []
        listener = Listener(recogniser, heard.append, headset=True, second=self.second)
        listener.set_grammar(grammar)
        for at in range(0, samples.size - BLOCK + 1, BLOCK):
            listener.push(Block(samples[at : at + BLOCK], (at + BLOCK) / RATE))
        listener.flush()
        taken = []
        for one in heard:
            how = self._of_all(one) if self.every_phrase else _of_a_job(one, here, self.loaded)
            if how:
                file = max(begin for begin in begins if begin[0] <= max(one.started_at, 0.0))[1]
                taken.append(
                    Taken(track.beside, name, how, one.text, round(one.confidence, 3), file, round(one.started_at, 2))
                )
        return track.beside, samples.size / RATE, taken

    def _of_all(self, heard: Heard) -> str:
        meant = Marks((), self.loaded.limits).accepted(Trial("", "", None, heard.text, heard.confidence))
        return BY_NAME[meant[0]].weight.value if meant else ""


def _of_a_job(heard: Heard, here: Here, loaded: VoskRecogniser) -> str:
    """Return what the job would make of ``heard``."""
    meant = understand(heard, here, loaded.limits, LANGUAGE)
    if isinstance(meant, Unclear):
        return "asked" if meant.intent else "unclear"
    return BY_NAME[meant.intent].weight.value if isinstance(meant, Command) else ""


_worker: _Worker | None = None


def _start(model: Path, every_phrase: bool, second: bool) -> None:
    global _worker  # noqa: PLW0603 - one per process, made once
    os.nice(15)
    _worker = _Worker(model, every_phrase, second)


def _hear(track: Track) -> tuple[str, float, list[Taken]]:
    assert _worker is not None
    return _worker.hear(track)


def measure(
    every: Sequence[Track],
    *,
    model: Path = OWN_MODEL,
    every_phrase: bool = False,
    cores: int = 2,
    second: bool = True,
) -> Iterator[tuple[str, float, list[Taken]]]:
    """Yield for each track, as it is done, what it was beside, its length [s], and what would be taken of it.

    With ``second``, the second opinion is asked for as in a job, where its extra is installed.
    """
    started = (model, every_phrase, second)
    with multiprocessing.get_context("spawn").Pool(cores, initializer=_start, initargs=started) as pool:
        yield from pool.imap_unordered(_hear, every)


def show(found: Sequence[tuple[str, float, list[Taken]]]) -> str:
    """Return the table: taken in an hour, by what was beside the talk, and each one."""
    lines = []
    for beside in [*dict.fromkeys(one[0] for one in found), "all"]:
        here = [one for one in found if beside in ("all", one[0])]
        hours = sum(seconds for _, seconds, _ in here) / 3600
        how = Counter(taken.how for _, _, every in here for taken in every)
        rate = HourlyRate(sum(how[weight.value] for weight in Weight), hours)
        low, high = rate.interval
        lines.append(
            (beside, f"{hours:.2f}", *(str(how[weight.value]) for weight in Weight),
             f"{rate.per_hour:.2f} ({low:.2f}-{high:.2f})", str(how["asked"]), str(how["unclear"]))
        )  # fmt: skip
    verdict = "ok" if rate.per_hour < MOST_PER_HOUR and not how["critical"] else "MISSED"
    heads = ("beside", "hours", *(weight.value for weight in Weight), "taken an hour", "asked back", "not understood")
    told = [
        f"{one.beside}, {one.state}: {one.text} ({one.how}, {one.confidence:.2f}) in {one.file} at {one.at_s:.1f} s"
        for _, _, every in found
        for one in every
        if one.how != "unclear"
    ]
    bar = f"talk of people, taken in an hour, none critical: {rate.per_hour:.2f} {verdict} {MOST_PER_HOUR}"
    return "\n".join([table(heads, lines), bar, *sorted(told)])


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("shared", type=Path, help="a folder with manifest.tsv of recorded people")
    ask.add_argument("--split", choices=("dev", "test"), default="test", help="which people (dev: for choosing)")
    ask.add_argument("--beside", action="append", help=f"quiet, music:DB or MACHINE:DB; without it {', '.join(BESIDE)}")
    ask.add_argument("--all", action="store_true", help="every phrase of the assistant open, in place of a job's")
    ask.add_argument("--cores", type=int, default=2)
    ask.add_argument("--alone", action="store_true", help="the recogniser alone, without the second opinion")
    ask.add_argument("--json", type=Path, help="write each one that was taken to this file as well")
    given = ask.parse_args()
    print(f"{machine()}; load {load()}")
    found = []
    every = tracks(given.shared, given.split, given.beside or BESIDE)
    for one in measure(every, every_phrase=given.all, cores=given.cores, second=not given.alone):
        found.append(one)
        print(f"{len(found)} of {len(every)}", end="\r", flush=True)
    print(show(found))
    if given.json:
        told = [asdict(taken) for _, _, listed in found for taken in listed]
        given.json.write_text(json.dumps(told, indent=1) + "\n", "utf-8")


if __name__ == "__main__":
    main()
