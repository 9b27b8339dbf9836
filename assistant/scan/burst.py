"""Which keys are a reader's: a barcode or QR reader is a keyboard that types faster than a person and ends with Enter.

Nothing that a reader types may ever press a key, and nothing that a person types may ever be taken for a code. So a
key that could be the first of a code is held back for READER_S, and what comes faster than that is one run.
"""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

READER_S = 0.05
"""Keys that come nearer to each other than this are one run [s].

Ours. A reader at a USB port sends a key with each report, that is every 1 to 10 ms (bInterval of a low speed
device: at least 10 ms; USB 2.0, 9.6.6, from memory), press and release apart: up to 20 ms, and wireless ones somewhat
more. People who type fast have about 120 ms between two keys, the usual ones 240 ms (Dhakal and others, Observations on
typing from 136 million keystrokes, CHI 2018, table 2, from memory).
"""
LATE_S = 0.3
"""So long a run of LEAST_KEYS is waited for [s]: a computer that has much to do hands on the rest, or Enter, late."""
LEAST_KEYS = 3
"""Keys [count] of a run that nobody typed by hand."""
SURE_S = 0.015
"""A run whose keys are all nearer than this is a reader's, however short it is [s]."""
MOST_KEYS = 4000
"""Keys [count] of the longest run; QR codes hold up to 4,296 (ISO/IEC 18004, from memory), and no label that many."""
ENTER = ("\r", "\n")
SEPARATOR = "\x1d"
"""Parts the fields of a GS1 code; the one character that cannot be seen and stands in codes."""


@dataclass(frozen=True, slots=True)
class TypedKey:
    """A key by itself: a person, a pedal, or a remote."""

    sent: str


@dataclass(frozen=True, slots=True)
class Scan:
    """A code that was read. ``slowest`` is the longest time between two of its keys [s]."""

    text: str
    slowest: float

    @property
    def is_sure(self) -> bool:
        """Whether no person can have typed it, even into a line of text, where people type fast."""
        return len(self.text) > LEAST_KEYS or self.slowest <= SURE_S


@dataclass(frozen=True, slots=True)
class Unended:
    """Keys that came faster than a person types, and no Enter behind them: none of them counts."""

    text: str


Came = TypedKey | Scan | Unended


class Burst:
    """Parts keys into those of people and those of readers, by the times at which they come."""

    def __init__(self) -> None:
        """Begin with no key."""
        self._run: list[tuple[str, float]] = []
        self._scanned_at = -1.0
        self._too_long = False

    def feed(self, key: str, at: float) -> list[Came]:
        """Take ``key`` (a character, or what a key that is no letter sends) at ``at`` [s]; return what is known now."""
        came = self.tick(at)
        if key in ENTER:
            return came + self._enter(key, at)
        if len(key) == 1 and (key.isprintable() or key == SEPARATOR):
            self._run.append((key, at))
            if len(self._run) > MOST_KEYS:
                self._run, self._too_long = self._run[-LEAST_KEYS:], True
            return came
        if len(key) == 1:  # a reader sends no such key, backspace for example: what came before it was typed
            came += self._ended()
        return [*came, TypedKey(key)]

    def tick(self, at: float) -> list[Came]:
        """Return what is known at ``at`` [s], where no key came."""
        due = self.due
        return [] if due is None or at < due else self._ended()

    @property
    def due(self) -> float | None:
        """When :meth:`tick` has something to say [s]; None while nothing is held back."""
        if not self._run:
            return None
        return self._run[-1][1] + (LATE_S if self._is_readers else READER_S)

    @property
    def _is_readers(self) -> bool:
        """Whether the keys of the run are not one key that is held down, and too many for a person."""
        return len(self._run) >= LEAST_KEYS and len({key for key, _ in self._run}) > 1

    def _enter(self, key: str, at: float) -> list[Came]:
        if self._run:
            times = [when for _, when in self._run] + [at]
            text, long = "".join(sent for sent, _ in self._run), self._too_long
            self._run, self._too_long, self._scanned_at = [], False, at
            slowest = max(later - before for before, later in pairwise(times))
            return [Unended(text)] if long else [Scan(text, slowest)]
        if 0.0 <= at - self._scanned_at <= READER_S:  # a reader that ends with carriage return and line feed
            self._scanned_at = at
            return []
        return [TypedKey(key)]

    def _ended(self) -> list[Came]:
        """End the run without Enter: one key, or the same again, is a person's."""
        keys = [key for key, _ in self._run]
        self._run, self._too_long = [], False
        if not keys:
            return []
        if len(set(keys)) == 1:
            return [TypedKey(key) for key in keys]
        return [Unended("".join(keys))]
