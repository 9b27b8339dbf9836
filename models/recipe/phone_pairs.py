"""State sequences of transcripts, and the state-pair language model that the denominator of LF-MMI runs through."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from models.recipe.phones import (
    BASE,
    FIRST_SPOKEN,
    LEFT_OF_STATE,
    NOISE_STATE,
    PHONE_OF_STATE,
    SILENCE_STATE,
    STATE_INDEX,
    STATES,
    WORD_START,
    word_states,
)

Floats = npt.NDArray[np.float64]
SILENCE_AT_EDGES, SILENCE_BETWEEN = 0.9, 0.25
"""Chance of a silence before the first and after the last word, and between two words."""
BACKOFF_WEIGHT, ILLEGAL_FLOOR = 4.0, 2e-3
"""Counts lent to a state from all states of its phone, and the chance spread over all legal followers."""


@dataclass(frozen=True, slots=True)
class Path:
    """The states of one utterance in order; ``optional`` marks those that may be left out (silences)."""

    states: tuple[int, ...]
    optional: tuple[bool, ...]


SILENCE_ONLY = Path((SILENCE_STATE,), (False,))
NOISE_ONLY = Path((SILENCE_STATE, NOISE_STATE, SILENCE_STATE), (True, False, True))


def utterance_path(pronunciations: Iterable[Sequence[str]]) -> Path:
    """Return the path of words said as ``pronunciations``, with optional silence around and between them."""
    states, optional = [SILENCE_STATE], [True]
    for pronunciation in pronunciations:
        word = word_states(pronunciation)
        states += [*word, SILENCE_STATE]
        optional += [*(False for _ in word), True]
    return Path(tuple(states), tuple(optional))


@dataclass(frozen=True, slots=True)
class PairModel:
    """Chances of starting in a state (shape (S,)), of one state after another (S, S), and of ending after it (S,)."""

    start: Floats
    follow: Floats
    end: Floats


def estimate_pairs(paths: Iterable[tuple[Path, float]]) -> PairModel:
    """Estimate the pair model from weighted paths, smoothed towards the phone without its left neighbour."""
    count = len(STATES)
    start, follow, end = np.zeros(count), np.zeros((count, count)), np.zeros(count)
    for path, weight in paths:
        _count_path(path, weight, start, follow, end)
    legal = np.zeros((count, count), bool)
    for index, (_, phone) in enumerate(STATES):
        word_starts = [STATE_INDEX[WORD_START, other] for other in range(len(BASE))
                       if phone >= FIRST_SPOKEN or other != phone]  # fmt: skip
        legal[index, word_starts] = True
        if phone >= FIRST_SPOKEN:
            legal[index, [STATE_INDEX[phone, other] for other in range(FIRST_SPOKEN, len(BASE))]] = True
    by_phone = np.stack([follow[phone == PHONE_OF_STATE].sum(0) for phone in range(len(BASE))])
    end_by_phone = np.array([end[phone == PHONE_OF_STATE].sum() for phone in range(len(BASE))])
    total = by_phone.sum(1) + end_by_phone + 1e-3
    smooth = np.zeros((count, count))
    smooth_end = np.zeros(count)
    for index, (_, phone) in enumerate(STATES):
        seen = follow[index].sum() + end[index] + BACKOFF_WEIGHT
        row = (follow[index] + BACKOFF_WEIGHT * by_phone[phone] / total[phone]) / seen
        row = (row + ILLEGAL_FLOOR * legal[index] / legal[index].sum()) * legal[index]
        ending = (end[index] + BACKOFF_WEIGHT * end_by_phone[phone] / total[phone]) / seen + 1e-4
        smooth[index], smooth_end[index] = row / (row.sum() + ending), ending / (row.sum() + ending)
    start = start + 1e-3 * (LEFT_OF_STATE == WORD_START)
    return PairModel(start / start.sum(), smooth, smooth_end)


def _count_path(path: Path, weight: float, start: Floats, follow: Floats, end: Floats) -> None:
    """Add the expected pair counts of one path; an optional state is there with the chance of a silence."""
    states, last = path.states, len(path.states) - 1
    there = [1.0 if not skip else SILENCE_AT_EDGES if place in (0, last) else SILENCE_BETWEEN
             for place, skip in enumerate(path.optional)]  # fmt: skip
    start[states[0]] += weight * there[0]
    if last > 0:
        start[states[1]] += weight * (1 - there[0])
    for place, state in enumerate(states):
        if place == last:
            end[state] += weight * there[place]
            continue
        follow[state, states[place + 1]] += weight * there[place] * there[place + 1]
        skipped = weight * there[place] * (1 - there[place + 1])
        if place + 1 == last:
            end[state] += skipped
        elif skipped:
            follow[state, states[place + 2]] += skipped


@dataclass(frozen=True, slots=True)
class Tables:
    """Numerator paths as arrays, one row for each path, padded to N states (see ``lfmmi.objective``)."""

    states: npt.NDArray[np.int64]
    from_previous: Floats
    from_before_previous: Floats
    first: Floats
    last: Floats


def numerator_tables(paths: Sequence[Path], pairs: PairModel | None, width: int) -> Tables:
    """Return the tables of ``paths``; with ``pairs`` its chances are the weights, else every legal step weighs one."""
    shape = (len(paths), width)
    states = np.zeros(shape, np.int64)
    step, leap, first, last = (np.zeros(shape) for _ in range(4))
    for row, path in enumerate(paths):
        s, n = np.array(path.states), len(path.states)
        states[row, :n] = s
        step[row, 1:n] = pairs.follow[s[:-1], s[1:]] if pairs else 1.0
        if n > 2:
            leap[row, 2:n] = np.array(path.optional[1:-1]) * (pairs.follow[s[:-2], s[2:]] if pairs else 1.0)
        first[row, 0] = pairs.start[s[0]] if pairs else 1.0
        last[row, n - 1] = pairs.end[s[-1]] if pairs else 1.0
        if n > 1 and path.optional[0]:
            first[row, 1] = pairs.start[s[1]] if pairs else 1.0
        if n > 1 and path.optional[-1]:
            last[row, n - 2] = pairs.end[s[-2]] if pairs else 1.0
    return Tables(states, step, leap, first, last)
