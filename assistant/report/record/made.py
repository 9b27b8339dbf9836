"""The record of a job from its entries, in each of its forms."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.journal.port import Entry, JournalFault
from assistant.procedure.wordings import NO_TEXT, OwnText
from assistant.report.meters import clock_of
from assistant.report.record.build import build_record, opening_of, procedure_of
from assistant.report.record.forms import (
    Mark,
    PhotoFile,
    as_csv,
    as_html,
    as_json,
    as_pdf,
    form_of_json,
    mark_of,
    no_file,
)
from assistant.report.record.model import JobRecord
from assistant.report.record.part import record_maps

RECORD_FORMS = ("html", "pdf", "json", "csv")


@dataclass(frozen=True, slots=True)
class Made:
    """A record, its mark, its bolt maps and the workshop's own text: all that its forms are made of."""

    record: JobRecord
    mark: Mark
    maps: dict[str, str]
    photo: PhotoFile = no_file
    own: OwnText = NO_TEXT

    def form(self, name: str, like: bytes = b"") -> bytes:
        """Return the record in one of :data:`RECORD_FORMS`, as JSON in a former form where ``like`` has one."""
        match name:
            case "json":
                return as_json(self.record, self.mark, form_of_json(like)).encode()
            case "csv":
                return as_csv(self.record, self.mark).encode()
        html = as_html(self.record, self.mark, self.maps, self.photo, self.own)
        return as_pdf(html, self.mark, self.own) if name == "pdf" else html.encode()


def make(
    job: str,
    entries: Sequence[Entry],
    *,
    paper: str,
    clock: int | None = None,
    damage: str = "",
    photo: PhotoFile = no_file,
    own: OwnText = NO_TEXT,
) -> Made:
    """Return the record of ``job`` from ``entries``, with times by ``clock`` [min from UTC] or by this computer's.

    ``photo`` gives the files of its photos; ``own`` is the workshop's own text, for a page or a PDF.
    """
    if not entries:
        raise JournalFault(damage or f"Job {job} has no entry that can be read.")
    record = build_record(job, entries, damage=damage)
    minutes = clock_of(entries[0].at_ms) if clock is None else clock
    maps = record_maps(procedure_of(opening_of(entries)), record)
    return Made(record, mark_of(record, minutes, paper), maps, photo, own)
