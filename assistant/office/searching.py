"""Searches what people wrote down in all bays: notes, findings, reasons, machines, and what jobs are called."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from typing import Any

from assistant.central.link import CentralLink
from assistant.display.office import Hit, Hits
from assistant.facts.inputs import Opened
from assistant.office.cards import OfficeJobs
from assistant.office.links import Links
from assistant.procedure.format.reader import read_kept
from assistant.report.history_words import shortened

MOST_HITS = 50
"""So many hits stand on the page, the newest."""
_BEGIN, _END = "\ue000", "\ue001"
_KINDS = {
    "job": "job", "opened": "job", "note": "note", "problem": "problem", "finding": "finding", "meter": "meter",
    "corrected": "correction", "note_corrected": "correction", "note_as_before": "correction",
    "finding_corrected": "correction", "finding_as_before": "correction",
}  # fmt: skip
_KEYS = {"asset": "machine", "customer": "customer", "order": "order", "reason": "reason"}


def search(links: Links, words: str, jobs: OfficeJobs) -> Hits:
    """Return the newest places in which ``words`` are found; ``jobs`` tell what steps are called.

    Raises:
        CentralFault: the store cannot be reached, or the login may not search.
    """
    clean = words.replace("\0", " ").encode("utf-8", "replace").decode()

    def ask(link: CentralLink) -> list[tuple[Any, ...]]:
        return link.ask("SELECT * FROM shop.search(%s, %s)", (clean, MOST_HITS))

    rows = links.read(ask)
    hits = []
    for job, bay, title, _seq, key, kind, step, at_ms, said, _total in rows:
        what = _KEYS.get(key) or _KINDS.get(kind, "reason")
        hits.append(Hit(job, bay, title, _step(jobs, job, step), what, at_ms, _parts(said)))
    return Hits(tuple(hits), rows[0][-1] if rows else 0)


def _parts(said: str) -> tuple[tuple[str, bool], ...]:
    """Return pieces of a text, and whether each of them is what was searched for."""
    parts: list[tuple[str, bool]] = []
    for piece in said.split(_BEGIN):
        found, end, rest = piece.partition(_END)
        parts += [(found, True), (rest, False)] if end else [(piece, False)]
    return tuple(one for one in parts if one[0])


def _step(jobs: OfficeJobs, job: str, step: str) -> str:
    card = jobs.cards.get(job)
    opened = card.entries[0].fact if step and card and card.entries else None
    if not isinstance(opened, Opened):
        return step
    return dict(_steps(opened.procedure_yaml, opened.procedure_file)).get(step, step)


@lru_cache(maxsize=128)
def _steps(yaml: str, file: str) -> Sequence[tuple[str, str]]:
    """Return the words of the steps of a procedure by their ids; many jobs keep a copy of the same one."""
    procedure = read_kept(yaml.encode(), file).procedure
    return tuple((step.id, shortened(step.text)) for step in procedure.every_step) if procedure else ()
