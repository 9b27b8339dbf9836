"""A record as one HTML file, as JSON and as CSV, and the mark by which each of them is checked against the journal."""

from __future__ import annotations

import base64
import csv
import io
import json
import re
from collections.abc import Callable, Mapping
from dataclasses import asdict, dataclass, fields, is_dataclass, replace
from datetime import UTC, datetime, timedelta, timezone
from typing import Any

from markupsafe import Markup

from assistant.journal.names import JOB_NAME
from assistant.journal.port import JobState
from assistant.procedure.wordings import NO_TEXT, OWN_TEXT_HEADING, OwnText
from assistant.report.pages import PAPERS, render
from assistant.report.pdf import html_to_pdf
from assistant.report.record.model import FORMER, RECORD_FORMAT, JobRecord, Tightening
from assistant.report.record.own_text import NOT_PROVED, carried
from assistant.report.record.tables import tables_of
from assistant.visible import cell, in_json

COLUMNS = ("entry", "time", "kind", "step", "words", "by", "heard", "confidence", "data", "hash")
"""Columns of the CSV record; docs/record.md says what stands in them."""

_MARK = re.compile(
    rb"step-assistant-record 1 job=(" + JOB_NAME.encode() + rb") entries=([1-9]\d{0,8}) head=([0-9a-f]{64}) "
    rb"procedure=([0-9a-f]{64}|none) clock=([+-](?:0\d|1[0-4])[0-5]\d) paper=(a4|letter)"
)
_FORMAT = re.compile(rb'^ "format": "([a-z0-9 ]{1,30})"', re.MULTILINE)
_LINK = re.compile(r"</?a\b[^>]*>")
"""Links within the page: on paper they lead nowhere, and they take a second. Text of people never has a bare <."""
_LONGEST = 1500
"""Letters of a text that the job card or a row of a table shows: half a page. The list of entries is not cut."""


PhotoFile = Callable[[str], bytes | None]
"""Gives the file of a photo by its hash; None where it is not there, or another one."""


def no_file(_sha256: str) -> bytes | None:
    """Have no file of any photo."""
    return None


@dataclass(frozen=True, slots=True)
class Mark:
    """What ties a record to the journal, and how it was printed: ``clock`` is the offset from UTC [min]."""

    job: str
    entries: int
    head: str
    procedure: str
    clock: int
    paper: str

    def __str__(self) -> str:
        sign, minutes = "-" if self.clock < 0 else "+", abs(self.clock)
        return (
            f"step-assistant-record 1 job={self.job} entries={self.entries} head={self.head} "
            f"procedure={self.procedure or 'none'} clock={sign}{minutes // 60:02d}{minutes % 60:02d} paper={self.paper}"
        )


def mark_of(record: JobRecord, clock: int, paper: str) -> Mark:
    """Return the mark of ``record``, printed with the time ``clock`` [min from UTC] on ``paper``."""
    trust = record.trust
    return Mark(record.card.job, trust.entries, trust.head, trust.procedure_sha256, clock, paper)


def read_mark(data: bytes) -> Mark | None:
    """Return the mark in a record of any form, or None when there is none."""
    found = _MARK.search(data)
    if found is None:
        return None
    job, entries, head, procedure, clock, paper = (part.decode("ascii") for part in found.groups())
    minutes = int(clock[1:3]) * 60 + int(clock[3:])
    return Mark(
        job,
        int(entries),
        head,
        "" if procedure == "none" else procedure,
        -minutes if clock[0] == "-" else minutes,
        paper,
    )


def as_json(record: JobRecord, mark: Mark, form: str = RECORD_FORMAT) -> str:
    """Return the record as JSON; its schema is record.schema.json. ``form`` may be a former one."""
    fields = {"mark": str(mark), **asdict(record), "format": form}
    for table, lacks in FORMER.get(form, {}).items():
        fields[table] = [{key: value for key, value in row.items() if key not in lacks} for row in fields[table]]
    if not record.extra:  # most jobs have none, and their records stay as they were
        del fields["extra"]
    if not record.photos:
        del fields["photos"]
    return in_json(json.dumps(fields, ensure_ascii=False, indent=1, sort_keys=True)) + "\n"


def form_of_json(data: bytes) -> str:
    """Return which form a JSON record says that it has: a former one that is still made, or else today's."""
    found = _FORMAT.search(data)
    form = found[1].decode() if found else RECORD_FORMAT
    return form if form in FORMER else RECORD_FORMAT


def as_csv(record: JobRecord, mark: Mark) -> str:
    """Return every entry as a line of CSV (RFC 4180), and the mark in the last line."""
    out = io.StringIO()
    write = csv.writer(out, lineterminator="\r\n")
    write.writerow(COLUMNS)
    for entry in record.entries:
        how = entry.how
        at = _local(entry.at_ms, mark.clock).isoformat(timespec="milliseconds")
        data = in_json(json.dumps(entry.data, ensure_ascii=False, sort_keys=True))
        texts = (entry.kind, entry.step, entry.words, how.by, how.heard, how.confidence, data, entry.hash)
        write.writerow((entry.entry, at, *map(cell, texts)))
    write.writerow(("", "", "record", "", str(mark), "", "", "", "", mark.head))
    return out.getvalue()


def as_html(
    record: JobRecord,
    mark: Mark,
    maps: Mapping[str, str],
    photo: PhotoFile = no_file,
    own: OwnText = NO_TEXT,
) -> str:
    """Return the record as one HTML file; ``maps`` are the bolt maps by step, as SVG of our own.

    ``photo`` gives the file of a photo by its hash, a JPEG; None where it is not there, or another one. ``own`` is the
    workshop's own text, which stands apart.
    """
    record = replace(_brief(replace(record, entries=())), entries=record.entries)
    card, flags = record.card, flags_of(record)
    tightened: dict[str, list[Tightening]] = {}
    for one in record.tightenings:
        tightened.setdefault(one.step, []).append(one)
    longest = max((max(row.seconds or 0, row.book_seconds or 0) for row in record.steps), default=0) or 1
    return render(
        "record.html",
        r=record,
        c=card,
        mark=mark,
        flags=flags,
        top=top_of(record),
        bottom=f"Job {card.job}, entries 1 to {mark.entries}, chain head {mark.head[:16]}, "
        f"procedure {mark.procedure[:16]}",
        paper=PAPERS[mark.paper],
        maps={step: Markup(svg) for step, svg in maps.items()},  # noqa: S704 - drawn and escaped by the bolt map
        step_names={row.id: f"{row.number} {row.text.rstrip('.')}" for row in record.steps},
        longest=longest,
        tightened=tightened,
        tables=tables_of(record.readings),
        shown={one.number: _address(photo(one.sha256)) for one in record.photos if not one.dropped},
        referred=_referred(record),
        at=lambda ms: _local(ms, mark.clock).strftime("%Y-%m-%d %H:%M:%S") if ms is not None else "",
        clock=lambda ms: _clock(ms, card.opened_ms, mark.clock) if ms is not None else "",
        time=lambda ms: _local(ms, mark.clock).strftime("%H:%M:%S"),
        day=lambda ms: _local(ms, mark.clock).strftime("%Y-%m-%d"),
        took=took,
        zone=_local(0, mark.clock).strftime("UTC%z"),
        own=own,
        carried=Markup(carried(own)),  # noqa: S704 - Base64
        apart=f"{OWN_TEXT_HEADING}. {NOT_PROVED}",
    )


def _address(data: bytes | None) -> Markup:
    """Return a photo as an address that holds it all (RFC 2397); "" where there is none."""
    held = "" if data is None else base64.b64encode(data).decode("ascii")
    return Markup(f"data:image/jpeg;base64,{held}" if held else "")  # noqa: S704 - letters and digits of our own


def flags_of(record: JobRecord) -> list[str]:
    """Return what must stand on every page, because this is no record of a whole job that is closed."""
    flags = []
    if record.card.state is not JobState.CLOSED:
        flags.append(f"PROVISIONAL: this job is {record.card.state}")
    if record.card.rehearsal:
        flags.append("REHEARSAL: no work was done")
    if record.trust.damage:
        flags.append("INCOMPLETE: the journal is damaged")
    if record.card.values == "invented":
        flags.append("PRACTICE: the values of the procedure are invented")
    return flags


def top_of(record: JobRecord) -> str:
    """Return what stands above every printed page."""
    return "; ".join(flags_of(record)) or f"Job record {record.card.job}"


def as_pdf(html: str, mark: Mark, own: OwnText = NO_TEXT) -> bytes:
    """Return the HTML record as a PDF, with the mark, and the workshop's ``own`` text, in comments behind its end."""
    end = f"%{mark}\n" + (f"%{carried(own)}\n" if own else "")
    return html_to_pdf(_LINK.sub("", html).replace("<wbr>", "\u200b")) + end.encode()


def _referred(record: JobRecord) -> set[int]:
    """Return the numbers of the entries that a table of the record leads to."""
    tables = (
        record.preparation, record.steps, record.tightenings, record.readings, record.notes, record.deviations,
        record.corrections, record.course, record.gaps, record.troubles, record.photos,
    )  # fmt: skip
    return {row.entry for table in tables for row in table if row.entry is not None}


def _brief(value: Any) -> Any:
    """Return ``value`` (a text, or a table of a record) with every text of people cut to what a table can show."""
    if isinstance(value, str):
        return value if len(value) <= _LONGEST else f"{value[:_LONGEST]} … (goes on; whole in the JSON record)"
    if isinstance(value, tuple):
        return tuple(map(_brief, value))
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{field.name: _brief(getattr(value, field.name)) for field in fields(value)})
    return value


def took(seconds: int | None) -> str:
    """Return a length of time [s] as it is printed, with its units: 1 h 05 min, 24 min, 5 min 09 s, 45 s, or a dash.

    Without units 24:00 is read as hours, or as a time of day. From an hour on, seconds are left out.
    """
    if seconds is None:
        return "–"
    minutes, rest = divmod(seconds, 60)
    if minutes >= 60:
        return f"{minutes // 60} h {minutes % 60:02d} min"
    if minutes and rest:
        return f"{minutes} min {rest:02d} s"
    return f"{minutes} min" if minutes else f"{rest} s"


def _clock(at_ms: int, opened_ms: int, clock: int) -> str:
    """Return the time of day, with the day before it where that is not the one on which the job was opened."""
    at, opened = _local(at_ms, clock), _local(opened_ms, clock)
    return at.strftime("%H:%M:%S" if at.date() == opened.date() else "%Y-%m-%d %H:%M:%S")


def _local(at_ms: int, clock: int) -> datetime:
    zone = timezone(timedelta(minutes=clock)) if clock else UTC
    return datetime.fromtimestamp(at_ms / 1000, zone)
