"""Stage 6: listen to held-out recordings with the engine itself, in quiet and in noise, and count what it hears."""

from __future__ import annotations

import functools
import json
import math
import multiprocessing
import time
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from decimal import Decimal
from pathlib import Path

import numpy as np

from assistant.events import Clarity, Grammar
from assistant.language.en import ENGLISH
from assistant.language.en.numbers import parse_number_words
from assistant.language.en.phrases import phrases
from assistant.session.intents import INTENTS
from assistant.voice.adapters.vosk import VoskRecogniser
from models.recipe.blocks import RATE, Audio, read_clips
from models.recipe.lexicon import command_phrases, number_slots

QUIET = 99
"""SNR that stands for "no noise added"."""
_FED = RATE // 5
_BEFORE_S, _AFTER_S = 0.3, 0.5
NINE_WORDS = ("down", "eight", "five", "go", "left", "one", "right", "up", "zero")


@dataclass(frozen=True, slots=True)
class Trial:
    """One recording to listen to: what is said (``truth``), in which test, at which SNR [dB]."""

    test: str
    truth: str
    snr: int
    samples: bytes


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


def mix(clip: Audio, noise: Audio | None, snr: int, rng: np.random.Generator) -> Audio:
    """Return the clip between short silences, with ``noise`` (any part of it) at ``snr`` dB below the clip's level."""
    before, after = int(_BEFORE_S * RATE), int(_AFTER_S * RATE)
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
    clips: dict[str, list[tuple[str, Audio]]] = {}
    for clip, audio in read_clips(parts, f"{split}-human"):
        if clip.source == "gsc_9words":
            clips.setdefault("nine words", []).append((clip.text, audio))
        if clip.source in {"librispeech_part", "speechocean762"}:
            clips.setdefault("running speech", []).append((clip.text, audio))
        elif clip.text and clip.text not in command_phrases():
            clips.setdefault("other human words", []).append((clip.text, audio))
    for clip, audio in read_clips(parts, f"{split}-synthetic"):
        name = {"synthetic-command": "commands", "synthetic-number": "numbers",
                "synthetic-near": "near words", "synthetic-other": "other words"}[clip.source]  # fmt: skip
        if clip.source not in {"synthetic-command", "synthetic-number"} or _is_ours(clip.text):
            clips.setdefault(name, []).append((clip.text, audio))
    trials = []
    for name, found in sorted(clips.items()):
        chosen = rng.permutation(len(found))[:limit] if name != "running speech" else range(len(found))
        for number in chosen:
            text, audio = found[int(number)]
            for snr in snrs if name != "running speech" else [snr for snr in snrs if snr in (QUIET, 10)]:
                noise = noises[int(rng.integers(len(noises)))]
                trials.append(Trial(name, text, snr, mix(audio, noise, snr, rng).tobytes()))
    return trials


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
    closed = trial.test == "nine words"
    recogniser = _ear[model].fresh(closed=closed)
    recogniser.set_grammar(Grammar(NINE_WORDS) if closed else everything(with_numbers=trial.test == "numbers"))
    samples = np.frombuffer(trial.samples, np.int16)
    begun = time.process_time()
    recogniser.start()
    for start in range(0, samples.size, _FED):
        recogniser.feed(samples[start : start + _FED])
    seconds = samples.size / RATE
    heard = recogniser.finish(0.0, seconds - _BEFORE_S - _AFTER_S)
    text, spent = heard.text if heard.clarity is Clarity.PHRASE else "", time.process_time() - begun
    return Row(trial.test, trial.truth, trial.snr, text, heard.confidence, seconds, spent, recogniser.best)


@functools.cache
def everything(*, with_numbers: bool) -> Grammar:
    """Return all phrases of the assistant at once, those with a number if wanted: more than any state of a job."""
    return Grammar(
        tuple(phrase for intent in INTENTS if intent.slot is None for phrase in phrases(intent.name)),
        tuple(number_slots()) if with_numbers else (),
    )


def listen(model: Path, trials: list[Trial], processes: int = 1) -> list[Row]:
    """Return what ``model`` hears in every trial."""
    jobs = [(model, trial) for trial in trials]
    if processes == 1:
        return [_listen(job) for job in jobs]
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        return pool.map(_listen, jobs, chunksize=32)


def table(rows: Iterable[Row], limit: float) -> list[dict[str, object]]:
    """Count, for each test and SNR: right and wrong phrases accepted, with confidence of at least ``limit``.

    Another phrase for the same thing is right ("start timer" for "start the timer").
    In tests of other words and running speech every accepted phrase is wrong; there ``per hour`` is added.
    """
    groups: dict[tuple[str, int], list[Row]] = {}
    for row in rows:
        groups.setdefault((row.test, row.snr), []).append(row)
    lines = []
    for (test, snr), members in sorted(groups.items(), key=lambda item: (item[0][0], -item[0][1])):
        closed = test == "nine words"
        understood = (lambda text: text or None) if closed else meaning
        accepted = [row for row in members if understood(row.heard) and (closed or row.confidence >= limit)]
        positive = test in {"nine words", "commands", "numbers"}
        right = sum(understood(row.heard) == understood(row.truth) for row in accepted) if positive else 0
        hours = sum(row.speech_s for row in members) / 3600
        low, high = interval(len(accepted) - right, len(members))
        lines.append({
            "test": test, "snr": snr, "n": len(members),
            "right %": round(100 * right / len(members), 2) if positive else None,
            "wrong %": round(100 * (len(accepted) - right) / len(members), 2),
            "wrong % from": round(100 * low, 2), "to": round(100 * high, 2),
            "per hour": round((len(accepted) - right) / hours, 2) if test == "running speech" else None,
            "hours": round(hours, 2),
        })  # fmt: skip
    return lines


def meaning(text: str) -> tuple[str, Decimal | None] | None:
    """Return what the assistant would do at ``text``: the intent and the number after it; None if it is no phrase."""
    for intent in INTENTS:
        for phrase in phrases(intent.name):
            if text == phrase:
                return intent.name, None
            if intent.slot and text.startswith(f"{phrase} "):
                number = parse_number_words(text.removeprefix(f"{phrase} "))
                if number is not None:
                    return intent.name, number
    return None


def interval(hits: int, trials: int, z: float = 1.96) -> tuple[float, float]:
    """Return the 95 % interval of a share (Wilson, J. Am. Stat. Assoc. 22, 1927)."""
    if trials == 0:
        return 0.0, 1.0
    share = hits / trials
    middle = share + z * z / (2 * trials)
    spread = z * math.sqrt(share * (1 - share) / trials + z * z / (4 * trials * trials))
    return max(0.0, (middle - spread) / (1 + z * z / trials)), min(1.0, (middle + spread) / (1 + z * z / trials))


def write_rows(rows: Iterable[Row], path: Path) -> None:
    """Write rows as lines of JSON."""
    path.write_text("".join(json.dumps(asdict(row)) + "\n" for row in rows), "utf-8")


def read_rows(path: Path) -> list[Row]:
    """Return the rows that ``write_rows`` wrote."""
    return [Row(**json.loads(line)) for line in path.read_text("utf-8").splitlines()]
