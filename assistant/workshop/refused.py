"""What the central store refused and keeps aside, with the reason as a sentence."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from assistant.central.link import CentralLink

REASONS = {
    "bay": "it opens a job in the name of another bay, and each opens its own only: look at bay in its settings",
    "held": "another bay holds the job; what was done here meanwhile is in this bay's journal, for a person to look at",
    "fork": "another entry with this number is here already, and stays: the bay's journal was put back, or is a copy",
    "chain": "it does not follow the one before it, or its hash is not its own: look with assistant verify in the bay",
    "newer": "the store does not know this kind of entry, or this version of it: assistant workshop init updates it, "
    "and the bay sends it again",
    "large": "it is larger than one mebibyte, which no entry of the program is",
    "form": "it is no entry: a number, a time or its data is not one",
    "unreadable": "it holds values that the store cannot: look with assistant verify in the bay",
    "away": "the month of its job was put away in the store: the administrator attaches that again",
    "said": "what was said in it is not what it was sealed with: look with assistant verify in the bay",
}
"""Why an entry was refused, by the word that ``shop.receive`` gives, and what to do."""

_ASKED = """
SELECT sent_by, job, seq, min(at), why, count(*) OVER () FROM shop.aside
 WHERE workshop = %(workshop)s AND (%(bay)s = '' OR sent_by = %(bay)s) AND (%(job)s = '' OR job = %(job)s)
 GROUP BY sent_by, job, seq, why ORDER BY min(at) DESC, job, seq LIMIT %(most)s
"""


@dataclass(frozen=True, slots=True)
class SetAside:
    """One entry that was refused: who sent it, of which job, its number, when first, and why."""

    bay: str
    job: str
    seq: int
    at: datetime
    why: str

    @property
    def reason(self) -> str:
        """Why, as the end of a sentence."""
        return reason_of(self.why)


def reason_of(why: str) -> str:
    """Return the end of a sentence for the word ``why``; a word that is not known stands for itself."""
    return REASONS.get(why, f"the store says {why}")


def set_aside(
    link: CentralLink, workshop: str, bay: str = "", job: str = "", most: int = 100
) -> tuple[list[SetAside], int]:
    """Return what was refused of ``workshop``, newest first and ``most`` of them, and how many there are.

    Only what ``bay`` sent, and only of ``job``, where they are given.
    """
    rows = link.ask(_ASKED, {"workshop": workshop, "bay": bay, "job": job, "most": most})
    return [SetAside(*row[:5]) for row in rows], int(rows[0][5]) if rows else 0


def gathered(found: list[SetAside]) -> Iterator[tuple[SetAside, int]]:
    """Yield the first of what was refused of one job for one reason, and how many entries that were."""
    by_job: dict[tuple[str, str, str], list[SetAside]] = {}
    for one in found:
        by_job.setdefault((one.bay, one.job, one.why), []).append(one)
    for group in by_job.values():
        yield min(group, key=lambda one: one.seq), len(group)
