"""Learns how one person differs: a factor and an offset for each value of the net's narrow layer.

What is made likelier is the phrase that was said, beside all that might have been heard in its place: maximum mutual
information (Bahl et al., ICASSP 1986), with a factor for each unit (after Swietojanski and Renals, "Learning hidden
unit contributions", SLT 2014) and an offset. Some hundred numbers are learnt from some hundred words, so they are held
to what is there already. Pure: the same sound gives the same numbers.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from assistant.voice.own.net import LARGEST_SCORE, NarrowNet, mfcc
from assistant.voice.own.sounds import Dictionary
from assistant.voice.ports import RATE, Samples

VoiceNumbers = npt.NDArray[np.float64]

LEARNING_ROUNDS = 12
STEP = 0.03
HOLD = 0.05
"""How much a change costs beside what it gains."""
SHARE = 0.5
"""So much of what was learnt is taken: it helps the one nearly as much, and others who speak are heard as before.

Chosen, as the other numbers, on ``dev`` (docs/measurements.md)."""
NOISE_DB = 10.0
_OFTENER = float(np.log(8))
_BESIDE = 40
"""So many ways to hear a recording are looked at beside the right ones."""
_TINY = 1e-280


@dataclass(frozen=True, slots=True)
class VoiceChange:
    """How the values of the narrow layer change: each times its ``factor``, plus its ``offset``; shapes (width,)."""

    factor: VoiceNumbers
    offset: VoiceNumbers


@dataclass(frozen=True, slots=True)
class _Ways:
    """All that may be heard: ``enter`` and ``stay``, shape (ways, sounds), are places among the outputs in ``used``."""

    texts: npt.NDArray[np.object_]
    costs: VoiceNumbers
    enter: npt.NDArray[np.int64]
    stay: npt.NDArray[np.int64]
    last: npt.NDArray[np.int64]
    used: npt.NDArray[np.int64]

    def some(self, rows: npt.NDArray[np.int64]) -> _Ways:
        """Return the ways in ``rows`` alone, with the outputs that they use."""
        most = int(self.last[rows].max()) + 1
        both = np.stack([self.enter[rows][:, :most], self.stay[rows][:, :most]])
        used, places = np.unique(both, return_inverse=True)
        enter, stay = places.reshape(both.shape)
        return _Ways(self.texts[rows], self.costs[rows], enter, stay, self.last[rows], self.used[used])


def _ways(dictionary: Dictionary, texts: Mapping[str, float]) -> _Ways:
    quiet = (dictionary.silence,)
    said = [(text, cost, quiet + way + quiet) for text, cost in texts.items() for way in dictionary.ways(text)]
    most = max(len(way) for _, _, way in said)
    outputs = np.array([[*way, *quiet * (most - len(way))] for _, _, way in said])
    used, places = np.unique(outputs, return_inverse=True)
    places = places.reshape(outputs.shape)
    texts_, costs = np.array([text for text, _, _ in said], object), np.array([cost for _, cost, _ in said])
    last = np.array([len(way) - 1 for _, _, way in said])
    return _Ways(texts_, costs, places[..., 0], places[..., 1], last, used)


@dataclass(frozen=True, slots=True)
class _Sums:
    """The sums over the ways of one recording: ``total`` is the log chance of each; the rest serves the way back."""

    total: VoiceNumbers
    here: VoiceNumbers
    scale: VoiceNumbers
    enter: VoiceNumbers
    stay: VoiceNumbers


def _forward(scores: VoiceNumbers, ways: _Ways) -> _Sums:
    """Sum over all times at which the sounds of each way may begin, each frame scaled to one at most."""
    peak = scores.max(1, keepdims=True)
    likely = np.exp(scores - peak)
    enter, stay = likely[:, ways.enter], likely[:, ways.stay]
    here = np.zeros(enter.shape)
    scale = np.ones(len(scores))
    here[0, :, 0] = enter[0, :, 0]
    for t in range(1, len(scores)):
        now = here[t - 1] * stay[t]
        now[:, 1:] += here[t - 1, :, :-1] * enter[t, :, 1:]
        scale[t] = now.max() + _TINY
        here[t] = now / scale[t]
    end = here[-1, np.arange(len(ways.last)), ways.last]
    return _Sums(np.log(end + _TINY) + np.log(scale).sum() + peak.sum(), here, scale, enter, stay)


def _slope(sums: _Sums, ways: _Ways, weights: VoiceNumbers) -> VoiceNumbers:
    """Return the gradient, shape (frames, outputs), of the sum of ``weights`` times the log chance of each way."""
    here, rows = sums.here, np.arange(len(ways.last))
    entered, stayed = np.zeros(here.shape), np.zeros(here.shape)
    back = np.zeros(ways.enter.shape)
    back[rows, ways.last] = weights / (here[-1, rows, ways.last] + _TINY)
    for t in range(len(here) - 1, 0, -1):
        scaled = back / sums.scale[t]
        by_enter, back = scaled * sums.enter[t], scaled * sums.stay[t]
        entered[t, :, 1:] = here[t - 1, :, :-1] * by_enter[:, 1:]
        stayed[t] = here[t - 1] * back
        back[:, :-1] += by_enter[:, 1:]
    entered[0, :, 0] = here[0, :, 0] * back[:, 0]
    width = len(ways.used)
    first = np.arange(len(here))[:, None, None] * width
    places = np.concatenate([(first + ways.enter).ravel(), (first + ways.stay).ravel()])
    summed = np.bincount(places, np.concatenate([entered.ravel(), stayed.ravel()]), len(here) * width)
    return np.asarray(summed, np.float64).reshape(len(here), width)


def learn(
    net: NarrowNet,
    dictionary: Dictionary,
    clips: Sequence[tuple[str, Samples]],
    phrases: Iterable[str],
    near: Iterable[str],
) -> VoiceChange:
    """Return what makes ``clips``, each with what is said in it, most different from other ``phrases`` and words.

    Words ``near`` them are rarer than phrases and words of phrases.
    """
    ours = dict.fromkeys(
        (*phrases, *(word for phrase in phrases for word in phrase.split()), *(t for t, _ in clips)), 0.0
    )
    ways = _ways(dictionary, dict.fromkeys(near, _OFTENER) | ours)
    heard = [
        _taken(net, text, sound, ways) for text, clip in clips for sound in as_heard(clip) if dictionary.ways(text)
    ]
    spread = np.std(np.concatenate([one.hidden for one in heard]), 0) + 1e-3
    factor, offset = np.ones(net.width), np.zeros(net.width)
    mean, square = np.zeros((2, net.width)), np.zeros(2)
    for turn in range(1, LEARNING_ROUNDS + 1):
        slope = np.zeros((2, net.width))
        for one in heard:
            by_hidden = one.slope(one.hidden * factor + offset)
            slope += np.stack([(by_hidden * one.hidden).sum(0), by_hidden.sum(0) * spread])
        slope = slope / len(heard) - HOLD * np.stack([factor - 1, offset / spread])
        mean = 0.8 * mean + 0.2 * slope
        square = 0.95 * square + 0.05 * (slope**2).mean(1)
        step = STEP * mean / (1 - 0.8**turn) / np.sqrt(square / (1 - 0.95**turn) + 1e-12)[:, None]
        factor, offset = factor + step[0], offset + step[1] * spread
    return VoiceChange(1 + SHARE * (factor - 1), SHARE * offset)


@dataclass(frozen=True, slots=True)
class _Taken:
    """A recording: its values, shape (frames, width), what may be heard in it, and the layer that scores that."""

    hidden: VoiceNumbers
    right: npt.NDArray[np.bool_]
    ways: _Ways
    weights: VoiceNumbers
    bias: VoiceNumbers

    def slope(self, hidden: VoiceNumbers) -> VoiceNumbers:
        """Return how the chance of what was said among all ways changes with ``hidden``, shape (frames, width)."""
        squeezed = np.tanh(hidden @ self.weights.T + self.bias)
        sums = _forward(LARGEST_SCORE * squeezed, self.ways)
        total = sums.total - self.ways.costs
        ours = np.where(self.right, np.exp(total - np.logaddexp.reduce(total[self.right])), 0.0)
        slope = _slope(sums, self.ways, ours - np.exp(total - np.logaddexp.reduce(total)))
        return np.asarray((slope * LARGEST_SCORE * (1 - squeezed**2)) @ self.weights)


def _taken(net: NarrowNet, text: str, sound: Samples, ways: _Ways) -> _Taken:
    """Return what a recording of ``text`` gives, with the likeliest of ``ways`` and those that are right."""
    hidden = net.hidden(mfcc(sound)).astype(np.float64)
    weights, bias = (table.astype(np.float64) for table in net.scores)
    scores = LARGEST_SCORE * np.tanh(hidden @ weights[ways.used].T + bias[ways.used])
    total = _forward(scores, ways).total - ways.costs
    likely = np.isin(np.arange(len(total)), np.argsort(-total)[:_BESIDE])
    some = ways.some(np.flatnonzero(likely | (ways.texts == text)))
    return _Taken(hidden, some.texts == text, some, weights[some.used], bias[some.used])


def as_heard(clip: Samples) -> Iterable[Samples]:
    """Yield ``clip`` between short silences: as it is, and in the hiss of a bay (noise whose power falls with 1/f)."""
    sound = np.concatenate([np.zeros(int(0.3 * RATE)), clip.astype(np.float64), np.zeros(int(0.5 * RATE))])
    random = np.random.default_rng(clip.size)
    yield np.rint(sound + random.normal(0, 2, sound.size)).astype(np.int16)
    waves = np.fft.rfft(random.normal(0, 1, sound.size)) / np.sqrt(np.arange(sound.size // 2 + 1) + 50.0)
    hiss = np.fft.irfft(waves, sound.size)
    level = float(np.sqrt(np.mean(clip.astype(np.float64) ** 2))) * 10 ** (-NOISE_DB / 20)
    yield np.clip(np.rint(sound + hiss * level / (hiss.std() + 1e-9)), -32_768, 32_767).astype(np.int16)
