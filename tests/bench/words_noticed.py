"""Words that the voice detector notices in noise: ``python -m tests.bench.words_noticed [--people SHARED]``.

A word every 4 s beside a machine, for two minutes: *yes* and *no* of people where their recordings are given, and of a
synthetic voice without them. A word counts as noticed where a voice is heard for 60 ms, as an utterance needs it. Heard
by the detector as it is, by one that forgets the noise, and by that in what is left without the noise as well.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from assistant.terminal.tables import table
from assistant.voice.adapters.silero import SileroDetector
from assistant.voice.listening.endpointing import Endpointing
from assistant.voice.listening.voice_in_noise import Forgetting, VoiceInNoise
from assistant.voice.ports import BLOCK, RATE, Samples, VoiceDetector
from assistant.worker import Failures
from tests.bench.figures import load, machine, tell_failure
from tests.bench.mechanic_voice import Machines, voices
from tests.bench.noisy_talk import made_noise

SNRS = (10.0, 5.0, 0.0)
WORDS = ("yes", "yes", "no") * 10
APART_S = 4.0
_NOISE_S = 60.0
_ONSET = 3
"""Blocks in a row with a voice, at which an utterance begins."""
_LATE_S = 0.24
WAYS = ("as it is", "forgetting", "forgetting, without the noise too")


def talk(people: Path | None, split: str, kind: str, snr_db: float) -> tuple[Samples, list[tuple[int, int]]]:
    """Return the words beside the machine ``kind``, shape (n,), and in which blocks each of them lies."""
    voice = next(voices(people, 1, far=False, split=split))
    room = Machines(made_noise(_NOISE_S)[kind], voice.level, snr_db, np.random.default_rng(0))
    pieces, spans, at = [], [], 0
    for word in WORDS:
        pieces += [np.zeros(round(APART_S * RATE)), voice.say(word)]
        at += pieces[-2].size
        spans.append((at // BLOCK, (at + pieces[-1].size + round(_LATE_S * RATE)) // BLOCK))
        at += pieces[-1].size
    sound = np.concatenate([*pieces, np.zeros(2 * RATE)])
    sound = np.pad(sound, (0, -sound.size % BLOCK))
    sound += np.concatenate([room.block() for _ in range(sound.size // BLOCK)])
    return np.clip(np.rint(sound), -32_768, 32_767).astype(np.int16), spans


def noticed(detector: VoiceDetector, sound: Samples, spans: list[tuple[int, int]]) -> tuple[int, int]:
    """Return how many of the words in ``spans`` are noticed in ``sound``, and how often one is beside them."""
    is_voice = [detector.feed(sound[at : at + BLOCK]) >= Endpointing().voice for at in range(0, sound.size, BLOCK)]
    begins = [
        at
        for at in range(_ONSET - 1, len(is_voice))
        if all(is_voice[at - _ONSET + 1 : at + 1]) and not all(is_voice[max(0, at - _ONSET) : at])
    ]
    found = {number for at in begins for number, (first, last) in enumerate(spans) if first <= at < last}
    beside = sum(not any(first <= at < last for first, last in spans) for at in begins)
    return len(found), beside


def lines(people: Path | None, split: str) -> Iterator[tuple[str, ...]]:
    """Yield the lines of the table."""
    for kind in made_noise(1.0):
        for snr in SNRS:
            sound, spans = talk(people, split, kind, snr)
            ways = (SileroDetector(), Forgetting(), VoiceInNoise(Failures("attending", tell_failure)))
            counts = [noticed(detector, sound, spans) for detector in ways]
            told = [f"{found}" + (f" (and {beside} that was none)" if beside else "") for found, beside in counts]
            yield f"{kind}, {snr:g} dB", *told


def main() -> None:
    """Print the table."""
    ask = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    ask.add_argument("--people", type=Path, help="a folder with manifest.tsv, as the model's recipe takes it")
    ask.add_argument("--split", choices=("dev", "test"), default="test", help="which of these people")
    given = ask.parse_args()
    print(f"{machine()}; load {load()}")
    print(table((f"of {len(WORDS)} words", *WAYS), list(lines(given.people, given.split))))


if __name__ == "__main__":
    main()
