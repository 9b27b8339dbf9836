"""How likely each way to hear a recording is, and how that changes with each score; many recordings at a time.

Sums over all times at which the sounds of a way may begin (the forward and backward sums of Baum and Petrie, 1966, each
frame scaled). Recordings of unequal length and number of ways lie side by side in one table: what is past the end of a
shorter one changes nothing.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from assistant.voice.own.sounds import Dictionary

VoiceNumbers = npt.NDArray[np.float64]
OutputPlaces = npt.NDArray[np.int64]

_TINY = 1e-280


@dataclass(frozen=True, slots=True)
class Ways:
    """All that may be heard: ``enter`` and ``stay``, shape (ways, sounds), are places among the outputs in ``used``."""

    texts: npt.NDArray[np.object_]
    costs: VoiceNumbers
    enter: OutputPlaces
    stay: OutputPlaces
    last: OutputPlaces
    used: OutputPlaces

    def some(self, rows: OutputPlaces) -> Ways:
        """Return the ways in ``rows`` alone, with the outputs that they use."""
        most = int(self.last[rows].max()) + 1
        both = np.stack([self.enter[rows][:, :most], self.stay[rows][:, :most]])
        used, places = np.unique(both, return_inverse=True)
        enter, stay = places.reshape(both.shape)
        return Ways(self.texts[rows], self.costs[rows], enter, stay, self.last[rows], self.used[used])


def ways_to_say(dictionary: Dictionary, texts: Mapping[str, float]) -> Ways:
    """Return each way to say each of ``texts`` between silences; with what it costs, as a negative log chance."""
    quiet = (dictionary.silence,)
    said = [(text, cost, quiet + way + quiet) for text, cost in texts.items() for way in dictionary.ways(text)]
    most = max(len(way) for _, _, way in said)
    outputs = np.array([[*way, *quiet * (most - len(way))] for _, _, way in said])
    used, places = np.unique(outputs, return_inverse=True)
    places = places.reshape(outputs.shape)
    texts_, costs = np.array([text for text, _, _ in said], object), np.array([cost for _, cost, _ in said])
    last = np.array([len(way) - 1 for _, _, way in said])
    return Ways(texts_, costs, places[..., 0], places[..., 1], last, used)


class SideBySide:
    """Several recordings with the ways to hear each, and how many ``frames`` each has."""

    def __init__(self, ways: Sequence[Ways], frames: Sequence[int]) -> None:
        """Lay them side by side."""
        count, most, sounds = len(ways), max(len(one.last) for one in ways), max(one.enter.shape[1] for one in ways)
        self._width = max(len(one.used) for one in ways)
        self._frames = np.array(frames)
        self._places = np.zeros((2, count, most, sounds), np.int64)
        self._last = np.zeros((count, most), np.int64)
        self._costs = np.full((count, most), np.inf)
        for n, one in enumerate(ways):
            rows, columns = one.enter.shape
            self._places[:, n, :rows, :columns] = one.enter, one.stay
            self._last[n, :rows] = one.last
            self._costs[n, :rows] = one.costs
        self._which = np.arange(count)[:, None, None]
        self._at_end = self._frames[:, None] - 1, np.arange(count)[:, None], np.arange(most)[None], self._last

    def sums(self, scores: Sequence[VoiceNumbers]) -> Sums:
        """Return the sums over all times for the ``scores``, shape (frames, outputs), of each recording."""
        table = np.zeros((int(self._frames.max()), len(scores), self._width))
        for n, one in enumerate(scores):
            table[: len(one), n, : one.shape[1]] = one
        peak = table.max(2)
        likely = np.exp(table - peak[..., None])
        enter, stay = (likely[:, self._which, places] for places in self._places)
        here = np.zeros(enter.shape)
        scale = np.ones(peak.shape)
        here[0, :, :, 0] = enter[0, :, :, 0]
        for t in range(1, len(here)):
            now = here[t - 1] * stay[t]
            now[:, :, 1:] += here[t - 1, :, :, :-1] * enter[t, :, :, 1:]
            scale[t] = now.max((1, 2)) + _TINY
            np.divide(now, scale[t][:, None, None], out=here[t])
        upto = np.cumsum(np.log(scale) + peak, 0)[self._frames - 1, np.arange(len(scores))]
        return Sums(np.log(here[self._at_end] + _TINY) + upto[:, None] - self._costs, here, scale, enter, stay)

    def slopes(self, sums: Sums, weights: VoiceNumbers) -> list[VoiceNumbers]:
        """Return for each recording the gradient, shape (frames, outputs), of ``weights`` times the chances of ways.

        ``weights`` has the shape (recordings, ways) of ``sums.chances``.
        """
        here, (frames, count) = sums.here, sums.scale.shape
        entered, stayed = np.zeros(here.shape), np.zeros(here.shape)
        begins = np.zeros(here.shape[1:])
        begins[(*self._at_end[1:],)] = weights / (here[self._at_end] + _TINY)
        back = np.zeros(here.shape[1:])
        for t in range(frames - 1, -1, -1):
            ending = self._frames == t + 1
            if ending.any():
                back[ending] = begins[ending]
            if t == 0:
                break
            scaled = back / sums.scale[t][:, None, None]
            by_enter, back = scaled * sums.enter[t], scaled * sums.stay[t]
            entered[t, :, :, 1:] = here[t - 1, :, :, :-1] * by_enter[:, :, 1:]
            stayed[t] = here[t - 1] * back
            back[:, :, :-1] += by_enter[:, :, 1:]
        entered[0, :, :, 0] = here[0, :, :, 0] * back[:, :, 0]
        first = np.arange(frames * count).reshape(frames, count, 1, 1) * self._width
        places = np.concatenate([(first + one).ravel() for one in self._places])
        summed = np.bincount(places, np.concatenate([entered.ravel(), stayed.ravel()]), frames * count * self._width)
        table = np.asarray(summed, np.float64).reshape(frames, count, self._width)
        return [table[:length, n] for n, length in enumerate(self._frames)]


@dataclass(frozen=True, slots=True)
class Sums:
    """``chances``, shape (recordings, ways): the log chance of each way, its cost taken off; the rest is the way back.

    Where a recording has fewer ways than another, the chance of those that it lacks is -inf.
    """

    chances: VoiceNumbers
    here: VoiceNumbers
    scale: VoiceNumbers
    enter: VoiceNumbers
    stay: VoiceNumbers
