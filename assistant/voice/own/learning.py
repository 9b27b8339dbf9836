"""Learns how one person differs: a factor and an offset for each value of the net's narrow layer.

What is made likelier is the phrase that was said, beside all that might have been heard in its place: maximum mutual
information (Bahl et al., ICASSP 1986), with a factor for each unit (after Swietojanski and Renals, "Learning hidden
unit contributions", SLT 2014) and an offset. Some hundred numbers are learnt from some hundred words, so they are held
to what is there already. Pure: the same sound gives the same numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from assistant.voice.own.chances import SideBySide, VoiceNumbers, Ways, ways_to_say
from assistant.voice.own.net import LARGEST_SCORE, NarrowNet, mfcc
from assistant.voice.own.sounds import Dictionary
from assistant.voice.ports import RATE, Samples

LEARNING_ROUNDS = 12
STEP = 0.03
HOLD = 0.05
"""How much a change costs beside what it gains."""
TAUGHT_AT = (None, 10.0)
"""How far the hiss of a bay lies below what is taught [dB]; None for none."""
_OFTENER = float(np.log(8))
_BESIDE = 40
"""So many ways to hear a recording are looked at beside the right ones."""
_TOGETHER = 8
"""So many recordings are worked on at a time: more would not fit into the processor's cache."""


@dataclass(frozen=True, slots=True)
class VoiceChange:
    """How the values of the narrow layer change: each times its ``factor``, plus its ``offset``; shapes (width,)."""

    factor: VoiceNumbers
    offset: VoiceNumbers

    def part(self, share: float) -> VoiceChange:
        """Return so much of it, from 0 (no change) to 1."""
        return VoiceChange(1 + share * (self.factor - 1), share * self.offset)


@dataclass(frozen=True, slots=True)
class Lesson:
    """A recording: its values, shape (frames, width), what may be heard in it, and the layer that scores that."""

    hidden: VoiceNumbers
    right: npt.NDArray[np.bool_]
    ways: Ways
    weights: VoiceNumbers
    bias: VoiceNumbers

    def squeezed(self, change: VoiceChange) -> VoiceNumbers:
        """Return its scores with ``change``, from -1 to 1, shape (frames, outputs)."""
        return np.asarray(np.tanh((self.hidden * change.factor + change.offset) @ self.weights.T + self.bias))


def lessons(
    net: NarrowNet,
    dictionary: Dictionary,
    clips: Iterable[tuple[str, Samples]],
    phrases: Iterable[str],
    near: Iterable[str],
) -> list[list[Lesson]]:
    """Return what each of ``clips``, with what is said in it, can teach beside all other ``phrases`` and words.

    Each is heard as it is and in hiss (:func:`as_heard`). Words ``near`` phrases are rarer than phrases and words of
    phrases. A text with a word that the model does not know teaches nothing: its list is empty.
    """
    clips = list(clips)
    ours = dict.fromkeys(
        (*phrases, *(word for phrase in phrases for word in phrase.split()), *(t for t, _ in clips)), 0.0
    )
    ways = ways_to_say(dictionary, dict.fromkeys(near, _OFTENER) | ours)
    weights, bias = (table[ways.used].astype(np.float64) for table in net.scores)

    def lesson(text: str, sound: Samples) -> Lesson:
        hidden = net.hidden(mfcc(sound)).astype(np.float64)
        scores = LARGEST_SCORE * np.tanh(hidden @ weights.T + bias)
        chances = SideBySide([ways], [len(hidden)]).sums([scores]).chances[0]
        likely = np.isin(np.arange(len(chances)), np.argsort(-chances)[:_BESIDE])
        rows = np.flatnonzero(likely | (ways.texts == text))
        some = ways.some(rows)
        place = np.searchsorted(ways.used, some.used)
        return Lesson(hidden, some.texts == text, some, weights[place], bias[place])

    return [[lesson(text, sound) for sound in as_heard(clip)] if dictionary.ways(text) else [] for text, clip in clips]


def learn(taught: Sequence[Lesson], rounds: int = LEARNING_ROUNDS) -> VoiceChange:
    """Return what makes what was said likelier in what is ``taught``, one lesson at least, beside all else."""
    width = taught[0].hidden.shape[1]
    batches = list(_batches(taught))
    spread = np.std(np.concatenate([one.hidden for one in taught]), 0) + 1e-3
    change = VoiceChange(np.ones(width), np.zeros(width))
    mean, square = np.zeros((2, width)), np.zeros(2)
    for turn in range(1, rounds + 1):
        slope = np.zeros((2, width))
        for batch in batches:
            for one, by_hidden in zip(batch.lessons, batch.slopes(change), strict=True):
                slope += np.stack([(by_hidden * one.hidden).sum(0), by_hidden.sum(0) * spread])
        slope = slope / len(taught) - HOLD * np.stack([change.factor - 1, change.offset / spread])
        mean = 0.8 * mean + 0.2 * slope
        square = 0.95 * square + 0.05 * (slope**2).mean(1)
        step = STEP * mean / (1 - 0.8**turn) / np.sqrt(square / (1 - 0.95**turn) + 1e-12)[:, None]
        change = VoiceChange(change.factor + step[0], change.offset + step[1] * spread)
    return change


def sureness(heard: Sequence[Lesson], change: VoiceChange) -> VoiceNumbers:
    """Return for each of ``heard`` how sure it is of what was said, with ``change``: its log chance among all ways."""
    return np.array([sure for batch in _batches(heard, in_order=True) for sure in batch.sureness(change)])


class _Batch:
    def __init__(self, batch: Sequence[Lesson]) -> None:
        self.lessons = batch
        self._ways = SideBySide([one.ways for one in batch], [len(one.hidden) for one in batch])
        self._right = np.zeros((len(batch), max(len(one.right) for one in batch)), bool)
        for n, one in enumerate(batch):
            self._right[n, : len(one.right)] = one.right

    def sureness(self, change: VoiceChange) -> VoiceNumbers:
        chances = self._ways.sums([LARGEST_SCORE * one.squeezed(change) for one in self.lessons]).chances
        right = np.where(self._right, chances, -np.inf)
        return np.asarray(np.logaddexp.reduce(right, 1) - np.logaddexp.reduce(chances, 1))

    def slopes(self, change: VoiceChange) -> Iterator[VoiceNumbers]:
        """Yield how the chance of what was said among all ways changes with the values, shape (frames, width)."""
        squeezed = [one.squeezed(change) for one in self.lessons]
        sums = self._ways.sums([LARGEST_SCORE * one for one in squeezed])
        right = np.where(self._right, sums.chances, -np.inf)
        shares = [np.exp(one - np.logaddexp.reduce(one, 1, keepdims=True)) for one in (right, sums.chances)]
        for one, scores, slope in zip(
            self.lessons, squeezed, self._ways.slopes(sums, shares[0] - shares[1]), strict=True
        ):
            yield (slope[:, : scores.shape[1]] * LARGEST_SCORE * (1 - scores**2)) @ one.weights


def _batches(given: Sequence[Lesson], *, in_order: bool = False) -> Iterator[_Batch]:
    """Yield ``given`` some at a time: those of a length together, or in their order."""
    ordered = given if in_order else sorted(given, key=lambda one: len(one.hidden))
    for first in range(0, len(ordered), _TOGETHER):
        yield _Batch(ordered[first : first + _TOGETHER])


def as_heard(clip: Samples, levels: Iterable[float | None] = TAUGHT_AT) -> Iterator[Samples]:
    """Yield ``clip`` between short silences, at each of ``levels`` once.

    None is as it is; else it stands so many decibels over the hiss of a bay: noise whose power falls with 1/f.
    """
    sound = np.concatenate([np.zeros(int(0.3 * RATE)), clip.astype(np.float64), np.zeros(int(0.5 * RATE))])
    random = np.random.default_rng(clip.size)
    quiet = np.rint(sound + random.normal(0, 2, sound.size)).astype(np.int16)
    waves = np.fft.rfft(random.normal(0, 1, sound.size)) / np.sqrt(np.arange(sound.size // 2 + 1) + 50.0)
    hiss = np.fft.irfft(waves, sound.size)
    hiss *= float(np.sqrt(np.mean(clip.astype(np.float64) ** 2))) / (hiss.std() + 1e-9)
    for level in levels:
        if level is None:
            yield quiet
        else:
            yield np.clip(np.rint(sound + hiss * 10 ** (-level / 20)), -32_768, 32_767).astype(np.int16)
