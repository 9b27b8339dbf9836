"""How long others helped on the job, as whoever asks is told; the record has the time of every entry.

A second person counts from the word that they help to the word that they leave, and from the statement of their name to
their own word where they release a gate or witness a step. Like the time of the job it goes by what was heard.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class Helping:
    """Somebody ("" where no name was given) who helped for ``ms`` so far [ms], and helps since ``since_ms`` (0: not).

    ``away_ms`` is how long nobody had worked on the job until then.
    """

    name: str
    ms: int = 0
    since_ms: int = 0
    away_ms: int = 0

    @property
    def helps(self) -> bool:
        """Whether they are there now."""
        return bool(self.since_ms)

    def until(self, at_ms: int, away_ms: int) -> int:
        """Return how long they helped until ``at_ms`` [ms], when nobody had worked for ``away_ms`` so far."""
        more = at_ms - self.since_ms - (away_ms - self.away_ms) if self.helps else 0
        return self.ms + max(0, more)


Helpers = tuple[Helping, ...]


def comes_to_help(helpers: Helpers, name: str, at_ms: int, away_ms: int) -> Helpers:
    """Return ``helpers`` with ``name`` among those who are there; who is there already stays so."""
    return _with(helpers, name, lambda one: one if one.helps else replace(one, since_ms=at_ms, away_ms=away_ms))


def helps_until(helpers: Helpers, name: str, at_ms: int, away_ms: int) -> Helpers:
    """Return ``helpers`` without ``name`` among those who are there; who was not there stays as they were."""
    if not any(one.name == name for one in helpers):
        return helpers
    return _with(helpers, name, lambda one: replace(one, ms=one.until(at_ms, away_ms), since_ms=0))


def helped_for(helpers: Helpers, name: str, ms: int) -> Helpers:
    """Return ``helpers`` with ``ms`` more for ``name``, who need not be counted twice where they are there anyway."""
    return _with(helpers, name, lambda one: one if one.helps else replace(one, ms=one.ms + max(0, ms)))


def helper_as_before(helpers: Helpers, name: str, was: Helping | None) -> Helpers:
    """Return ``helpers`` with ``name`` as they ``was`` among them; without them for None."""
    if was is None:
        return tuple(one for one in helpers if one.name != name)
    return _with(helpers, name, lambda _: was)


def _with(helpers: Helpers, name: str, change: Callable[[Helping], Helping]) -> Helpers:
    known = helpers if any(one.name == name for one in helpers) else (*helpers, Helping(name))
    return tuple(change(one) if one.name == name else one for one in known)
