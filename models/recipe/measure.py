"""Stage 6: listen to held-out recordings with the engine itself, in quiet and in noise, and count what it hears."""

from __future__ import annotations

import functools
import json
import math
import multiprocessing
import time
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass
from pathlib import Path

import numpy as np

from assistant.events import Clarity, Grammar, Thresholds
from assistant.hearing import score
from assistant.hearing.score import Marks, Share
from assistant.language.en import ENGLISH
from assistant.language.en.phrases import phrases
from assistant.session.intents import INTENTS
from assistant.session.understanding import alike_phrases
from assistant.voice.adapters.vosk import VoskRecogniser
from models.recipe import people
from models.recipe.blocks import RATE, Audio, read_clips
from models.recipe.lexicon import command_phrases, number_slots

QUIET = 99
"""SNR that stands for "no noise added"."""
_FED = RATE // 5
BEFORE_S, AFTER_S = 0.3, 0.5
NINE_WORDS = ("down", "eight", "five", "go", "left", "one", "right", "up", "zero")


@dataclass(frozen=True, slots=True)
class Trial:
    """One recording to listen to: what is said (``truth``) and by whom, in which test, at which SNR [dB]."""

    test: str
    truth: str
    snr: int
    samples: bytes
    speaker: str = ""


@dataclass(frozen=True, slots=True)
class Row:
    """What was heard: the phrase, or nothing, with its confidence (0 to 1), and how long it took.

    ``best`` is what the engine itself took it for, phrase or not.
    """

    test: str
    truth: str
    snr: int
    heard: str
    confidence: float
    speech_s: float
    spent_s: float
    best: str = ""
    speaker: str = ""


def mix(clip: Audio, noise: Audio | None, snr: int, rng: np.random.Generator) -> Audio:
    """Return the clip between short silences, with ``noise`` (any part of it) at ``snr`` dB below the clip's level."""
    before, after = int(BEFORE_S * RATE), int(AFTER_S * RATE)
    padded = np.concatenate([np.zeros(before), clip.astype(np.float64), np.zeros(after)])
    if noise is None or snr == QUIET:
        mixed = padded + rng.normal(0, 2, len(padded))
    else:
        begin = int(rng.integers(max(1, len(noise) - len(padded))))
        part = np.resize(noise[begin:], len(padded)).astype(np.float64)
        level = math.sqrt(float((clip.astype(np.float64) ** 2).mean()))
        mixed = padded + part * level / (part.std() + 1e-3) * 10 ** (-snr / 20)
    loudest = np.abs(mixed).max() + 1e-9
    return np.rint(mixed * min(1.0, 32_000 / loudest)).astype(np.int16)


def collect(parts: Path, split: str, snrs: Sequence[int], limit: int, seed: int = 5) -> list[Trial]:
    """Return the trials of ``split`` ("dev" or "test") with up to ``limit`` clips for each test."""
    rng = np.random.default_rng(seed)
    noise_part = "test-noise" if split == "test" else "train-noise"
    noises = [audio for _, audio in read_clips(parts, noise_part) if len(audio) > RATE // 2]
    clips: dict[str, list[tuple[str, str, Audio]]] = {}
    persons: dict[str, list[tuple[str, str, Audio]]] = {}
    before: list[Audio] = []
    for clip, audio in read_clips(parts, f"{split}-human"):
        one = clip.text, clip.speaker, audio
        for test in people.tests_of(clip.source, clip.text):
            persons.setdefault(test, []).append((clip.speaker, clip.text, audio))
        if clip.source == "gsc_9words":
            clips.setdefault("nine words", []).append(one)
        if clip.source in {"librispeech_part", "speechocean762"}:
            clips.setdefault("running speech", []).append(one)
        elif clip.text and clip.text not in command_phrases():
            clips.setdefault("other human words", []).append(one)
    for clip, audio in read_clips(parts, f"{split}-synthetic"):
        one = clip.text, clip.speaker, audio
        if clip.text == people.BEFORE:
            before.append(audio)
        name = {"synthetic-command": "commands", "synthetic-number": "numbers",
                "synthetic-near": "near words", "synthetic-other": "other words"}[clip.source]  # fmt: skip
        if clip.source not in {"synthetic-command", "synthetic-number"} or _is_ours(clip.text):
            clips.setdefault(name, []).append(one)
    trials = []
    for name, found in sorted(clips.items()):
        chosen = rng.permutation(len(found))[:limit] if name != "running speech" else range(len(found))
        for number in chosen:
            text, speaker, audio = found[int(number)]
            for snr in snrs if name != "running speech" else [snr for snr in snrs if snr in (QUIET, 10)]:
                noise = noises[int(rng.integers(len(noises)))]
                trials.append(Trial(name, text, snr, mix(audio, noise, snr, rng).tobytes(), speaker))
    return trials + list(_by_people(persons, before, noises, snrs, limit))


def _by_people(
    persons: Mapping[str, Iterable[tuple[str, str, Audio]]],
    before: Sequence[Audio],
    noises: Sequence[Audio],
    snrs: Sequence[int],
    most: int,
) -> Iterator[Trial]:
    """Yield the trials of people: what noise a recording meets depends on its speaker, word and SNR alone."""
    for test in people.TESTS:
        if test == people.JOINED and not before:
            continue
        for at, (speaker, text, recorded) in enumerate(people.drawn(persons.get(test, ()), most)):
            truth, audio = text, recorded
            if test == people.JOINED:
                truth, audio = f"{people.BEFORE} {text}", people.joined(before[at % len(before)], recorded)
            for snr in snrs:
                rng = np.random.default_rng(people.lot(speaker, text, len(recorded), snr))
                noise = noises[int(rng.integers(len(noises)))]
                yield Trial(test, truth, snr, mix(audio, noise, snr, rng).tobytes(), speaker)


def _is_ours(text: str) -> bool:
    """Return whether ``text`` is a command of today, or a number after its phrase: clips may be older than phrases."""
    slots = number_slots()
    bare = {f"{slot.before} {slot.after}".strip() for slot in slots}
    return any(slot.inside(text) for slot in slots) or text in set(command_phrases()).difference(bare)


_ear: dict[Path, VoskRecogniser] = {}


def _listen(job: tuple[Path, Trial]) -> Row:
    """Listen as the assistant does; the nine words are a forced choice. Each recording has a recogniser of its own."""
    model, trial = job
    if model not in _ear:
        _ear.clear()
        _ear[model] = VoskRecogniser(ENGLISH, model)
    closed = closed_set(trial.test)
    recogniser = _ear[model].fresh(closed=bool(closed))
    with_numbers = trial.test in {"numbers", people.JOINED}
    recogniser.set_grammar(Grammar(closed) if closed else everything(with_numbers=with_numbers))
    samples = np.frombuffer(trial.samples, np.int16)
    begun = time.process_time()
    recogniser.start()
    for start in range(0, samples.size, _FED):
        recogniser.feed(samples[start : start + _FED])
    seconds = samples.size / RATE
    heard = recogniser.finish(0.0, seconds - BEFORE_S - AFTER_S)
    text, spent = heard.text if heard.clarity is Clarity.PHRASE else "", time.process_time() - begun
    return Row(
        trial.test, trial.truth, trial.snr, text, heard.confidence, seconds, spent, recogniser.best, trial.speaker
    )


@functools.cache
def everything(*, with_numbers: bool) -> Grammar:
    """Return all phrases of the assistant at once, those with a number if wanted: more than any state of a job."""
    return Grammar(
        tuple(phrase for intent in INTENTS if intent.slot is None for phrase in phrases(intent.name)),
        tuple(number_slots()) if with_numbers else (),
        alike=alike_phrases((intent.name for intent in INTENTS), ENGLISH),
    )


def listen(model: Path, trials: list[Trial], processes: int = 1) -> list[Row]:
    """Return what ``model`` hears in every trial."""
    jobs = [(model, trial) for trial in trials]
    if processes == 1:
        return [_listen(job) for job in jobs]
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        return pool.map(_listen, jobs, chunksize=32)


def closed_set(test: str) -> tuple[str, ...]:
    """Return the words of a forced choice; none where all phrases are open."""
    return NINE_WORDS if test == "nine words" else people.closed_set(test)


def table(rows: Iterable[Row], limits: Thresholds) -> list[dict[str, object]]:
    """Count, for each test and SNR: right and wrong phrases accepted, with the confidence that ``limits`` ask for.

    Another phrase for the same thing is right ("start timer" for "start the timer").
    In tests of other words and running speech every accepted phrase is wrong; there ``per hour`` is added.
    Intervals are Wilson's, as if each recording were another person's: where few people said much, they flatter.
    """
    groups: dict[tuple[str, int], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.test, row.snr), []).append(row)
    lines = []
    for (test, snr), members in sorted(groups.items(), key=lambda item: (item[0][0], -item[0][1])):
        closed = closed_set(test)
        marks = Marks(closed, None if closed else limits)
        taken = [(row, marks.accepted(_as_scored(row))) for row in members]
        accepted = [(row, meant) for row, meant in taken if meant is not None]
        positive = bool(closed) or test in {"commands", "numbers", people.PHRASES, people.JOINED}
        right = sum(meant == marks.meaning(row.truth) for row, meant in accepted) if positive else 0
        wrong, of = Share(len(accepted) - right, len(members)), Share(right, len(members))
        hours = sum(row.speech_s for row in members) / 3600
        lines.append({
            "test": test, "snr": snr, "n": len(members), "speakers": len({row.speaker for row in members}),
            **({"right %": _percent(right / len(members)), "right % from": _percent(of.interval[0]),
                "right % to": _percent(of.interval[1])} if positive else {"right %": None}),
            "wrong %": _percent(wrong.hits / len(members)),
            "wrong % from": _percent(wrong.interval[0]), "to": _percent(wrong.interval[1]),
            "per hour": round(wrong.hits / hours, 2) if test == "running speech" else None,
            "hours": round(hours, 2),
        })  # fmt: skip
    return lines


def _as_scored(row: Row) -> score.Trial:
    return score.Trial(row.truth, row.speaker, row.snr, row.heard, row.confidence)


def _percent(share: float) -> float:
    return round(100 * share, 2)


def write_rows(rows: Iterable[Row], path: Path) -> None:
    """Write rows as lines of JSON."""
    path.write_text("".join(json.dumps(asdict(row)) + "\n" for row in rows), "utf-8")


def read_rows(path: Path) -> list[Row]:
    """Return the rows that ``write_rows`` wrote."""
    return [Row(**json.loads(line)) for line in path.read_text("utf-8").splitlines()]
