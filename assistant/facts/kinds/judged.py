"""What values that were read off tell of bolts: that one is too long to be used again, or strikes among the others."""

from __future__ import annotations

from assistant.facts.base import Fact, Quantity


class LengthsJudged(Fact, frozen=True, kw_only=True):
    """The free lengths of ``bolts`` of a group were read off in ``step``, and compared with the longest that is used.

    Those ``beyond`` the ``limit`` are not used again: new ones must come. Those ``close`` are within it by less than
    the ``uncertainty`` of a length.
    """

    KIND = "lengths_judged"
    step: str
    group: str
    bolts: tuple[int, ...]
    limit: Quantity
    uncertainty: Quantity
    beyond: tuple[int, ...] = ()
    close: tuple[int, ...] = ()
