"""What people of the sets that decide are asked for: words of theirs as tests, beside those of synthetic voices. Pure.

Nobody of them was recorded saying our longer phrases, or a number behind its phrase. Two of our phrases are among their
words (*yes*, *no*); a number behind *count* is joined from two recordings, of a synthetic voice and of a person.
"""

from __future__ import annotations

import zlib
from collections.abc import Iterable, Iterator
from typing import Any, TypeVar

import numpy as np
import numpy.typing as npt

from assistant.hearing.score import as_meant
from assistant.language.chosen import LANGUAGE
from models.recipe.blocks import RATE, Audio

SETS = frozenset({"gsc_more_people", "gsc_small", "gsc_9words", "coswara_parts", "fsdd"})
"""Sets of single words by many people; a word of theirs is a test where its speaker is in no training part."""
PHRASES, OTHERS = "people: short phrases", "people: other words"
TEN, NUMBERS, JOINED = "people: ten words", "people: numbers alone", "people: count and number, joined"
TESTS = (PHRASES, OTHERS, TEN, NUMBERS, JOINED)
TEN_WORDS = ("down", "go", "left", "no", "off", "on", "right", "stop", "up", "yes")
"""The ten commands of Google Speech Commands (Warden, arXiv:1804.03209): a closed set of short words."""
BEFORE = "count"
"""What stands before the number that is joined to it."""
NOT_THERE = (
    "people: our other phrases, numbers with a point, and a number behind its phrase in one voice: not measured, "
    "nobody is recorded saying them."
)
EACH = 4
"""Recordings of one word by one person: more would let who said most decide."""
_MOST_NUMBER = 20
_QUIET_SHARE = 0.05
_EDGE = RATE // 20
_GAP_S = 0.08
_T = TypeVar("_T")


def whole_numbers() -> dict[str, int]:
    """Return the numbers from zero to twenty as they are said, the closed set of numbers alone."""
    words = LANGUAGE.numbers.number_words
    return {words(number): number for number in range(_MOST_NUMBER + 1)}


def tests_of(source: str, text: str) -> Iterator[str]:
    """Yield the tests that a person's recording of ``text``, from the set ``source``, serves."""
    if source not in SETS or not text or " " in text:
        return
    yield PHRASES if as_meant(text) else OTHERS
    if text in TEN_WORDS:
        yield TEN
    if text in whole_numbers():
        yield NUMBERS
        yield JOINED


def drawn(clips: Iterable[tuple[str, str, _T]], most: int) -> list[tuple[str, str, _T]]:
    """Return up to ``most`` of ``clips`` (speaker, word, anything else), by lot but always the same, fair to people."""
    taken: dict[tuple[str, str], int] = {}
    found = []
    for speaker, text, rest in clips:
        nth = taken[speaker, text] = taken.get((speaker, text), 0) + 1
        if nth <= EACH:
            found.append((lot(speaker, text, nth), (speaker, text, rest)))
    return [clip for _, clip in sorted(found, key=lambda one: one[0])[:most]]


def lot(*of: object) -> int:
    """Return a number that depends on ``of`` alone, in every run alike, as Python's own hash of a text does not."""
    return zlib.crc32(repr(of).encode())


def closed_set(test: str) -> tuple[str, ...]:
    """Return the words of a forced choice; none where all phrases are open."""
    return {TEN: TEN_WORDS, NUMBERS: tuple(whole_numbers())}.get(test, ())


def joined(before: Audio, number: Audio) -> Audio:
    """Return the sound of ``before`` and ``number``, each shape (n,), as of one breath and equally loud."""
    first, second = alone(before), alone(number)
    second *= level(first) / level(second)
    both = np.concatenate([first, np.zeros(round(_GAP_S * RATE)), second])
    return np.rint(both * min(1.0, 32_000 / np.abs(both).max())).astype(np.int16)


def alone(sound: npt.NDArray[Any]) -> npt.NDArray[np.float64]:
    """Return ``sound`` without the pauses before and behind the words: a recording has its own noise there."""
    loud = np.flatnonzero(np.abs(sound.astype(np.float64)) > _QUIET_SHARE * np.abs(sound.astype(np.float64)).max())
    return sound[max(0, loud[0] - _EDGE) : loud[-1] + _EDGE].astype(np.float64)


def level(sound: npt.NDArray[np.float64]) -> float:
    """Return the root mean square of what is loud in ``sound``, shape (n,)."""
    loud = sound[np.abs(sound) > _QUIET_SHARE * np.abs(sound).max()]
    return float(np.sqrt(np.mean(loud**2)))
