"""Sounds for the classifier of keywords, as the encoder of the writer of notes hears them.

Numbers of people are joined to phrases of synthetic voices, as they are said in a job. For each variant pace, room,
noise and the silence around it are drawn anew.
"""

from __future__ import annotations

import multiprocessing
import random
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from assistant.hearing.mixing import rms
from assistant.voice.adapters.moonshine import MoonshineWriter
from assistant.voice.ports import NO_KEYWORD
from models.recipe import people
from models.recipe.blocks import RATE, Audio
from models.recipe.keyword_words import SYNTHETIC, Material, Recorded

WHO_DECIDES = frozenset({"gsc_more_people", "gsc_small", "coswara_parts"})
"""Sets with many people, of whom more variants are made than of the others."""
ALONE = {True: 12, False: 5}
"""Variants of a recording, of a set that decides and of another."""
JOINED = {True: 18, False: 7}
"""The same of a number behind a phrase."""
PIECE, DIGITS, BEGINNINGS, HISS = 4, 6000, 3000, 800
"""Variants of a piece of talk; how many rows of two digits, phrases without their number, and sounds without a word."""
CLEAN, LOWEST_DB, HIGHEST_DB = 0.2, -4.0, 18.0
"""Share without noise; how far noise lies below the voice [dB], from and to."""
_REVERBERANT = 0.3
_LONGEST_S = 3.3
_LOUDEST = 32_000.0


@dataclass(frozen=True, slots=True)
class Heard:
    """What the encoder makes of a sound, shape (steps, width), the last word, what is before it, and the recording."""

    steps: np.ndarray
    word: str
    before: str | None
    source: str
    recording: int
    """-1 where it was drawn for this sound alone."""


_Task = tuple[str, int]


def heard_sounds(material: Material, processes: int, seed: int) -> Iterator[Heard]:
    """Yield each variant of ``material`` as the encoder hears it; the same ``seed`` draws the same sounds."""
    tasks = [*_tasks(material)]
    random.Random(seed).shuffle(tasks)
    shares = [(tasks[at :: 4 * processes], seed + at) for at in range(4 * processes)]
    with multiprocessing.get_context("fork").Pool(processes, initializer=_start, initargs=(material,)) as pool:
        for heard in pool.imap(_hear, shares):
            yield from heard


def _tasks(material: Material) -> Iterator[_Task]:
    numbers = people.whole_numbers()
    for at, one in enumerate(material.recorded):
        decides = one.source in WHO_DECIDES
        is_piece = one.word == NO_KEYWORD and one.source != SYNTHETIC
        yield from [("alone", at)] * (PIECE if is_piece else ALONE[decides])
        if one.word in numbers and one.source != SYNTHETIC:
            yield from [("joined", at)] * JOINED[decides]
    for kind, many in (("digits", DIGITS), ("beginning", BEGINNINGS), ("hiss", HISS)):
        yield from [(kind, -1)] * many


_material = Material()


def _start(material: Material) -> None:
    global _material  # noqa: PLW0603 - one per process, made once
    _material = material


def _hear(share: tuple[list[_Task], int]) -> list[Heard]:
    tasks, seed = share
    random_, draw, writer = np.random.default_rng(seed), random.Random(seed), MoonshineWriter()
    found = []
    for kind, at in tasks:
        one = _drawn(kind, at, random_, draw)
        sound = in_bay(one.audio, _material.noise, random_)
        if sound.size <= _LONGEST_S * RATE:
            steps = writer.encoded((sound / 32768).astype(np.float32))[0].astype(np.float16)
            found.append(Heard(steps, one.word, one.before, one.source, at))
    return found


def _drawn(kind: str, at: int, random_: np.random.Generator, draw: random.Random) -> Recorded:
    """Return a sound of this kind, of the recording ``at`` where there is one."""
    if kind == "hiss":
        hiss = random_.standard_normal(draw.randrange(RATE // 5, RATE // 2)) * 3
        return Recorded(NO_KEYWORD, NO_KEYWORD, kind, hiss.astype(np.int16))
    before, phrase = draw.choice(_material.before)
    if kind == "beginning":
        return Recorded(NO_KEYWORD, None, kind, _paced(phrase, random_))
    if kind == "digits":
        two = people.joined(*draw.sample(draw.choice(_material.digits), 2))
        is_behind = draw.random() < 0.7
        return Recorded(
            NO_KEYWORD,
            before if is_behind else NO_KEYWORD,
            kind,
            _paced(_joined(phrase, two, random_) if is_behind else two, random_),
        )
    one = _material.recorded[at]
    sound = _paced(one.audio, random_)
    if kind == "joined":
        return Recorded(one.word, before, one.source, _joined(_paced(phrase, random_), sound, random_))
    return Recorded(one.word, one.before, one.source, sound)


def _joined(phrase: Audio, number: Audio, random_: np.random.Generator) -> Audio:
    """Return ``phrase`` and ``number`` as of one breath, about equally loud, shape (n,)."""
    first, second = people.alone(phrase), people.alone(number)
    second *= people.level(first) / people.level(second) * 10 ** random_.uniform(-0.15, 0.15)
    both = np.concatenate([first, np.zeros(int(random_.uniform(0.02, 0.16) * RATE)), second])
    return np.rint(both * min(1.0, _LOUDEST / np.abs(both).max())).astype(np.int16)


def _paced(audio: Audio, random_: np.random.Generator) -> Audio:
    """Return ``audio`` faster and higher, or slower and lower."""
    size = int(audio.size / random_.uniform(0.86, 1.16))
    return np.interp(np.linspace(0, audio.size - 1, size), np.arange(audio.size), audio).astype(np.int16)


def in_bay(clip: Audio, noises: list[Audio], rng: np.random.Generator) -> Audio:
    """Return ``clip``, shape (n,), in a room now and then, with silence around it, and noise or a little hiss."""
    sound = clip.astype(np.float64)
    if rng.random() < _REVERBERANT:
        taps = int(rng.uniform(0.08, 0.5) * RATE)
        room = rng.standard_normal(taps) * 10 ** (-3 * np.arange(taps) / taps)
        room *= rng.uniform(0.15, 0.8) / np.sqrt((room**2).sum())
        room[0] += 1
        size = 1 << (sound.size + 2 * taps).bit_length()
        sound = np.fft.irfft(np.fft.rfft(sound, size) * np.fft.rfft(room, size), size)[: sound.size + taps]
    around = [np.zeros(int(rng.uniform(low, high) * RATE)) for low, high in ((0.05, 0.45), (0.1, 0.6))]
    whole = np.concatenate([around[0], sound, around[1]])
    if rng.random() < CLEAN:
        whole += rng.normal(0, rng.choice([1, 2, 20, 60]), whole.size)
    else:
        noise = _noise(noises, whole.size, rng)
        whole += noise * (rms(sound) / max(rms(noise), 1e-3) * 10 ** (-rng.uniform(LOWEST_DB, HIGHEST_DB) / 20))
    louder = min(10 ** rng.uniform(-1, 0.3), _LOUDEST / max(1.0, np.abs(whole).max()))
    return np.rint(whole * louder).astype(np.int16)


def _noise(noises: list[Audio], size: int, rng: np.random.Generator) -> np.ndarray:
    """Return one recorded noise, now and then two, or white noise, shape (size,)."""

    def one() -> np.ndarray:
        recorded = noises[int(rng.integers(len(noises)))]
        part = np.resize(recorded[int(rng.integers(max(1, recorded.size - size))) :], size).astype(np.float64)
        return np.asarray(part - part.mean())

    if rng.random() < 0.08:
        return np.asarray(rng.standard_normal(size))
    first = one()
    if rng.random() < 0.15:
        second = one()
        first += second * (rms(first) / max(rms(second), 1e-3) * rng.uniform(0.3, 1))
    return first
