"""Counts what was heard right, wrongly or not at all, with 95 % intervals. Pure."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal

from assistant.events import NUMBERS, Slot, Thresholds, Weight
from assistant.language.chosen import LANGUAGE
from assistant.session.intents import BY_NAME, INTENTS

Z95 = 1.959964
"""Two-sided 95 % point of the normal distribution."""
CLEAN = "clean"
Meaning = tuple[str, Decimal | None]


@dataclass(frozen=True, slots=True)
class Trial:
    """What came of one recording at one SNR [dB] (None: no noise added).

    ``label`` is what is said in it; ``heard`` the phrase that was heard, or nothing, with its ``confidence`` (0 to 1).
    """

    label: str
    speaker: str
    snr: float | None
    heard: str
    confidence: float


@dataclass(frozen=True, slots=True)
class Share:
    """``hits`` of ``trials``, and the 95 % interval of their share (Wilson, J. Am. Stat. Assoc. 22, 1927)."""

    hits: int
    trials: int

    @property
    def value(self) -> float | None:
        """The share; None of nothing."""
        return self.hits / self.trials if self.trials else None

    @property
    def interval(self) -> tuple[float, float]:
        """The least and the greatest share that fit.

        >>> [round(end, 4) for end in Share(81, 263).interval]
        [0.2553, 0.3662]
        """
        if not self.trials:
            return 0.0, 1.0
        n, p = self.trials, self.hits / self.trials
        middle = p + Z95**2 / (2 * n)
        spread = Z95 * math.sqrt(p * (1 - p) / n + Z95**2 / (4 * n * n))
        whole = 1 + Z95**2 / n
        return max(0.0, (middle - spread) / whole), min(1.0, (middle + spread) / whole)


@dataclass(frozen=True, slots=True)
class SnrRow:
    """All recordings at one SNR: of those whose label can be heard, and of the others that should not be accepted."""

    snr: float | None
    recall: Share
    wrong: Share
    miss: Share
    false_accept: Share


@dataclass(frozen=True, slots=True)
class HourlyRate:
    """``count`` happenings in ``hours``, and the 95 % interval of their rate (Garwood, Biometrika 28, 1936)."""

    count: int
    hours: float

    @property
    def per_hour(self) -> float:
        """Happenings in an hour."""
        return self.count / self.hours if self.hours else 0.0

    @property
    def interval(self) -> tuple[float, float]:
        """The least and the greatest rate that fit [1/h].

        >>> [round(end, 2) for end in HourlyRate(10, 1.0).interval]
        [4.8, 18.39]
        """
        if not self.hours:
            return 0.0, math.inf
        low = _poisson_mean(self.count - 1, 0.975) if self.count else 0.0
        return low / self.hours, _poisson_mean(self.count, 0.025) / self.hours


def _poisson_mean(most: int, chance: float) -> float:
    """Return the mean of the Poisson distribution that gives at most ``most`` with this ``chance``; by halving."""
    low, high = 0.0, 10.0 + 3.0 * (most + 1)
    for _ in range(80):
        mean = (low + high) / 2
        terms = (math.exp(k * math.log(mean) - mean - math.lgamma(k + 1)) for k in range(most + 1))
        low, high = (mean, high) if sum(terms) > chance else (low, mean)
    return low


class Marks:
    """Tells what a phrase means, and from which confidence it is believed."""

    def __init__(self, words: Iterable[str], limits: Thresholds | None) -> None:
        """Mark a set of ``words``, each meaning itself, or the assistant's phrases when it is empty.

        Without ``limits`` whatever was heard is believed, as in a closed set.
        """
        self._words = frozenset(words)
        self._limits = limits

    def meaning(self, text: str) -> Meaning | None:
        """Return what is meant by ``text``; two phrases for one thing are alike. None when it is none of the set."""
        if self._words:
            return (text, None) if text in self._words else None
        return as_meant(text)

    def accepted(self, trial: Trial) -> Meaning | None:
        """Return what the assistant would do; None when it would not believe it."""
        meant = self.meaning(trial.heard)
        if meant is None or self._limits is None:
            return meant
        weight = Weight.MOVING if self._words else BY_NAME[meant[0]].weight
        return meant if trial.confidence >= self._limits.of(weight, trial.heard) else None

    def is_critical(self, text: str) -> bool:
        """Return whether ``text`` is one of the assistant's critical phrases."""
        meant = None if self._words else as_meant(text)
        return meant is not None and BY_NAME[meant[0]].weight is Weight.CRITICAL


def as_meant(text: str) -> Meaning | None:
    """Return the intent of a phrase of the assistant and the number after it; None when it is no phrase."""
    for intent in INTENTS:
        for phrase in LANGUAGE.phrases.phrases(intent.name):
            if intent.slot is None and text == phrase:
                return intent.name, None
            inside = Slot.of(phrase, intent.slot).inside(text) if intent.slot in NUMBERS else None
            number = None if inside is None else LANGUAGE.numbers.parse_number_words(inside)
            if number is not None:
                return intent.name, number
    return None


def snr_rows(trials: Sequence[Trial], marks: Marks) -> list[SnrRow]:
    """Return one row for each SNR, without noise first, then falling."""
    snrs = sorted({trial.snr for trial in trials}, key=lambda snr: -math.inf if snr is None else -snr)
    return [_row(snr, [trial for trial in trials if trial.snr == snr], marks) for snr in snrs]


def _row(snr: float | None, trials: Sequence[Trial], marks: Marks) -> SnrRow:
    right = wrong = said = others = false = 0
    for trial in trials:
        meant, accepted = marks.meaning(trial.label), marks.accepted(trial)
        if meant is None:
            others += 1
            false += accepted is not None
            continue
        said += 1
        right += accepted == meant
        wrong += accepted not in (None, meant)
    return SnrRow(snr, Share(right, said), Share(wrong, said), Share(said - right - wrong, said), Share(false, others))


def confusions(trials: Iterable[Trial], marks: Marks) -> Counter[tuple[str, str]]:
    """Count each pair of what was said and what else was accepted; what is in no set counts as its own label."""
    found: Counter[tuple[str, str]] = Counter()
    for trial in trials:
        accepted = marks.accepted(trial)
        if accepted is not None and accepted != marks.meaning(trial.label):
            found[trial.label or "(other sound)", trial.heard] += 1
    return found
