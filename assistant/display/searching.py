"""A search through a list of the desk, and the way back to that list from what it led to."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from html import escape
from urllib.parse import urlencode

from assistant.display.guard import HEADERS
from assistant.visible import one_line

_MOST_LETTERS = 80
"""So many letters of a search count: more would only make addresses that the page refuses."""
SEARCH_HEADERS = {
    "content-security-policy": HEADERS["content-security-policy"].replace("form-action 'none'", "form-action 'self'")
}
"""Headers of a page with a search: its form may ask this server, and nobody else."""
_STYLE = (
    b"<style>.way-back a { display: inline-flex; align-items: center; min-height: 44px; font-size: 12pt; }\n"
    b"@media print { .way-back { display: none; } }</style>\n"
)


def asked(query: Mapping[str, str]) -> str:
    """Return the words that are searched for, of the values in an address."""
    return " ".join(query.get("q", "").split())[:_MOST_LETTERS].strip()


def fits(words: str, *texts: str) -> bool:
    """Return whether each of ``words`` stands somewhere in ``texts``, as in the search of the page between jobs."""
    there = " ".join(texts).casefold()
    return all(word in there for word in words.casefold().split())


@dataclass(frozen=True, slots=True)
class Search:
    """What the page of a list tells of its search: ``found`` of ``total`` fit the words, at ``path``."""

    path: str
    label: str
    words: str
    found: int
    total: int


def address(path: str, **values: str) -> str:
    """Return the address of ``path`` with those of ``values`` that are not empty."""
    given = urlencode({name: value for name, value in values.items() if value})
    return f"{path}?{given}" if given else path


@dataclass(frozen=True, slots=True)
class WayBack:
    """Where a link back leads, always on this server, and what stands on it."""

    address: str
    name: str


def way_back(query: Mapping[str, str]) -> WayBack:
    """Return the way back from a record to the list that led to it, of the values in the record's address."""
    words, machine = asked(query), query.get("machine", "")
    if machine:
        return WayBack(address("/machines", name=machine, q=words), f"Back to {machine}")
    match query.get("list", ""):
        case "due":
            return WayBack("/due", "Back to what is due")
        case "search":
            return WayBack(
                address("/search", q=words), f"Back to what was found for “{words}”" if words else "Back to the search"
            )
        case "display":
            return WayBack("/", "Back to the display")
    return WayBack(address("/jobs", q=words), f"Back to the jobs found for “{words}”" if words else "Back to all jobs")


def with_way_back(document: bytes, back: WayBack) -> bytes:
    """Return a record, a whole HTML document, with the way back above it, which no paper shows."""
    link = f'<a href="{escape(back.address)}">{escape(one_line(back.name))}</a>'
    nav = f'<nav class="way-back" aria-label="Way back">{link}</nav>\n'.encode()
    head, _, rest = document.partition(b"</head>\n<body>\n")
    return head + _STYLE + b"</head>\n<body>\n" + nav + rest if rest else document
