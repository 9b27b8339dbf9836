"""What a kind of step brings on the page, by the key under which it stands in the session's view."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

Values = Mapping[str, Any]
MapSpot = tuple[float, float]


@dataclass(frozen=True, slots=True)
class PageKind:
    """One kind of step on the page; each function gets the view, in which the kind has put what may be shown of it.

    ``headline`` and ``following`` are the words that stand large without a value, and what comes next inside the step,
    or "". ``values`` are put into the picture as they are; a "value" among them stands large. ``announced`` is told to
    a screen reader behind the place, of the picture.
    """

    headline: Callable[[Values], str] = lambda _view: ""
    following: Callable[[Values], str] = lambda _view: ""
    values: Callable[[Values, Mapping[int, MapSpot]], dict[str, Any]] = lambda _view, _spots: {}
    announced: Callable[[Values], Sequence[str]] = lambda _picture: ()


PAGES: dict[str, PageKind] = {}
"""What each kind brings that has more to show than what it asks for, by its key in the view."""
_PLAIN = PageKind()


def add_page(key: str, page: PageKind) -> None:
    """Make a kind of step known to the page, by its ``key`` in the view."""
    PAGES[key] = page


def page_of(shown: Values) -> PageKind:
    """Return what the kind brings that stands in a view, or in a picture; nothing for one without a key of its own."""
    return next((page for key, page in PAGES.items() if shown.get(key)), _PLAIN)
