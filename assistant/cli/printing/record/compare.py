"""Finds where a record file differs from what the journal gives, and the first entry that does not fit."""

from __future__ import annotations

import csv
import html
import itertools
import re
from collections.abc import Iterator, Sequence
from pathlib import Path

from assistant.report.pdf_text import page_texts
from assistant.report.record.forms import top_of
from assistant.report.record.made import Made

_LIST = "Every entry of the journal"
_BEGINS = re.compile(r"\d+\d\d:\d\d:\d\d[0-9a-f]{8}")
_FOOT = re.compile(r"Job[\d-]+,entries1to\d+,chainhead[0-9a-f]{16},procedure[0-9a-f]*Page\d+of\d+$")


def difference(path: Path, form: str, data: bytes, expected: bytes, made: Made) -> str:
    """Return a sentence about the first entry of which ``data`` says something else than the journal.

    The list of all entries is compared first, since the tables above it are worked out from several.
    """
    command = f"assistant record {made.mark.job} --{form} FILE"
    again = f"It was changed, or made by another version; make it anew with: {command}"
    if form == "pdf":
        return f"{path}{_pdf_difference(data, expected, made)} {again}"
    ours, theirs = (text.decode("utf-8", "replace").split("\n") for text in (expected, data))
    at, there = _first(ours, theirs, f"<h2>{_LIST}</h2>")
    given, found = (lines[n] if n < len(lines) else "the end of the file" for lines, n in ((ours, at), (theirs, there)))
    entry = next(itertools.islice(_OWNERS[form](ours), at, None), 0)
    return f"{path}, line {there + 1}: {_unfit(entry)}. {_both(given, found)} {again}"


def _first(ours: Sequence[str], theirs: Sequence[str], heading: str) -> tuple[int, int]:
    """Return where two lists of lines differ for the first time, in what follows ``heading`` if they do there."""
    if heading in ours and heading in theirs:
        one, other = ours.index(heading), theirs.index(heading)
        apart = _parting(ours[one:], theirs[other:])
        if one + apart < len(ours) or other + apart < len(theirs):
            return one + apart, other + apart
    return (_parting(ours, theirs),) * 2


def _pdf_difference(data: bytes, expected: bytes, made: Made) -> str:
    """Return the same for a PDF: what is compared is the words on its pages."""
    found = page_texts(data)
    if found is None:
        return " cannot be read as a PDF."
    given = page_texts(expected) or []
    page = made.form("html").decode()
    top = "".join(top_of(made.record).split())
    (ours, _), (theirs, starts) = _listed(given, top), _listed(found, top)
    place = start = _parting(ours, theirs)
    if start < max(len(ours), len(theirs)):
        number = sum(first <= start for first in starts)
        if _BEGINS.match(ours, start) and not _BEGINS.match(theirs, start):
            place -= 1  # something was added to the end of the entry before
    else:
        at = _parting(given, found)
        if at == max(len(given), len(found)):
            return " has the right words on all pages, but a picture or what is not seen is not as it was made."
        if at >= min(len(given), len(found)):
            return f" has {len(found)} pages in place of {len(given)}."
        ours, theirs, number = given[at], found[at], at + 1
        place = _parting(ours, theirs)
    return f", page {number}: {_unfit(_entry_of(ours, place, page))}. {_both(ours, theirs)}"


def _listed(pages: Sequence[str], top: str) -> tuple[str, list[int]]:
    """Return the list of all entries on ``pages``, without what stands in their margins, and where each page begins."""
    text, starts, heading = "", [], "".join(_LIST.split())
    for page in pages:
        inner = _FOOT.sub("", page).removesuffix(top)
        if text:
            starts.append(len(text))
            text += inner
        else:
            starts.append(0)
            text = inner[inner.index(heading) :] if heading in inner else ""
    return text, starts


def _unfit(entry: int) -> str:
    return f"entry {entry} does not fit" if entry else "what stands there, outside of the single entries, does not fit"


def _both(given: str, found: str, around: int = 24) -> str:
    """Return what should stand there and what does, cut to where they begin to differ."""
    start = _parting(given, found)
    since = max(0, start - around)
    was, now = given[since : start + around], found[since : start + around]
    return f"The journal gives {was!r}, the record says {now!r}."


def _parting(one: Sequence[str], other: Sequence[str]) -> int:
    """Return the first place where two texts, or two lists of lines, differ; their common length when they do not."""
    shorter = min(len(one), len(other))
    return next((n for n, (a, b) in enumerate(zip(one, other, strict=False)) if a != b), shorter)


# Which entry a line of a record belongs to: one number for each line of the text, 0 for those of none.


def _csv_owners(lines: Sequence[str]) -> Iterator[int]:
    rows = csv.reader(f"{line}\n" for line in lines)
    known = 0
    for row in rows:
        yield from itertools.repeat(int(row[0]) if row and row[0].isdecimal() else 0, rows.line_num - known)
        known = rows.line_num


_JSON_ENTRY = re.compile(r'   "entry": (\d+)')


def _json_owners(lines: Sequence[str]) -> Iterator[int]:
    row: list[str] = []
    for line in lines:  # a row of a table begins with two spaces and a brace, its values with three
        row.append(line)
        if row[0] == "  {" and not line.startswith("  }"):
            continue
        entry = next((int(seen[1]) for one in row if (seen := _JSON_ENTRY.match(one))), 0)
        yield from itertools.repeat(entry, len(row))
        row = []
    yield from itertools.repeat(0, len(row))


_LISTED = r'(?:</pre>)?(?:<pre>)?(?:<b id="e\d+">)? *(\d+)  \d\d:\d\d:\d\d'
_HTML_BEGINS = re.compile(r"</?(?:tr|tbody|h[1-6]|li|dt|p|div|table|pre)\b|" + _LISTED)
_HTML_ENTRY = re.compile(rf'href="#e(\d+)"|^{_LISTED}')


def _html_owners(lines: Sequence[str]) -> Iterator[int]:
    block: list[str] = []
    for line in lines:  # a row of a table, or an entry in the list, may go over several lines
        if block and _HTML_BEGINS.match(line):
            yield from itertools.repeat(_owner_of(block), len(block))
            block = []
        block.append(line)
    yield from itertools.repeat(_owner_of(block), len(block))


def _owner_of(block: Sequence[str]) -> int:
    return next((int(seen[1] or seen[2]) for line in block if (seen := _HTML_ENTRY.search(line))), 0)


_OWNERS = {"csv": _csv_owners, "json": _json_owners, "html": _html_owners}
_TAG = re.compile(r"<[^>]*>")


def _entry_of(text: str, at: int, page: str) -> int:
    """Return the entry of ``page`` (HTML) to which the place ``at`` of a page's ``text`` belongs, 0 for none.

    The place is found by what stands around it: as much as there is in both, before it, or else behind it.
    """
    lines = page[page.index("<body>") :].split("\n")
    plain = ["".join(html.unescape(_TAG.sub("", line)).split()) for line in lines]
    whole = "".join(plain)
    for size in (200, 100, 50, 25, 12):
        for first, last in ((max(0, at - size), at + 1), (at, at + size)):
            place = whole.find(text[first:last])
            if place >= 0 and last - first > size // 2:
                return _owner_at(place + at - first, plain, _html_owners(lines))
    return 0


def _owner_at(place: int, plain: Sequence[str], owners: Iterator[int]) -> int:
    for line, entry in zip(plain, owners, strict=True):
        place -= len(line)
        if place < 0:
            return entry
    return 0
