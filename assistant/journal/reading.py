"""What a store holds of one job, and what to make of it: pure, so that the store is free again while it is checked."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from assistant.facts.bay import Forgotten
from assistant.journal.chain import Head, Stored, broken, check_chain
from assistant.journal.personal import GONE, LOST, Kept, unsealed
from assistant.journal.port import Damaged, Entry, Judged, Verdict


@dataclass(slots=True)
class KeptJob:
    """What a store has of one job, as it stands there: entries, what people said, the note of its end; and faults."""

    rows: list[Stored] = field(default_factory=list)
    fault: Exception | None = None
    said: list[Kept] = field(default_factory=list)
    said_fault: Exception | None = None
    end: tuple[int, str] | None = None
    end_fault: Exception | None = None


def judged(name: str, found: KeptJob) -> Judged:
    """Return the good entries of the job ``name`` from its first on, and what was found at their end."""
    fitting, chain = check_chain(name, found.rows)
    good, verdict = _opened(name, fitting, chain, found)
    if found.fault is not None and len(good) == len(found.rows):  # all that could be read is good, and it is not all
        return Judged(good, broken(name, good, f"cannot be read ({found.fault})"))
    return Judged(good, _ended(name, verdict, found) if verdict.good else verdict)


def _opened(name: str, good: list[Entry], verdict: Verdict, found: KeptJob) -> Judged:
    """Put what people said back into the entries ``good``; the first that it does not fit ends them."""
    missing = GONE if any(entry.kind == Forgotten.KIND for entry in good) else ""
    if found.said_fault is not None:
        missing = LOST
        if verdict.good:
            sentence = (
                f"All entries of job {name} fit, but not all that was said in them can be read ({found.said_fault})."
            )
            verdict = replace(verdict, good=False, sentence=sentence)
    kept = found.said if verdict.good else [one for one in found.said if one.seq <= len(good)]
    entries, wrong = unsealed(good, kept, missing=missing)
    return Judged(entries, broken(name, entries, wrong) if wrong else verdict)


def _ended(name: str, verdict: Verdict, found: KeptJob) -> Verdict:
    """Return ``verdict`` on a chain that fits, or the one that the note of its end beside the chain leads to."""
    if found.end == (verdict.entries, verdict.head):
        return verdict
    why = f"cannot be read ({found.end_fault})" if found.end_fault else "is missing"
    if found.end is not None:
        count = found.end[0]
        more = isinstance(count, int) and count > verdict.entries
        why = f"is another one; there were {count} entries, so its end was cut off" if more else "is another one"
    sentence = (
        f"All {verdict.entries} entries of job {name} fit, but the note of its end beside them {why}. "
        f"Read what is there with: assistant show {name}"
    )
    return replace(verdict, good=False, sentence=sentence)


def first_of(name: str, rows: Sequence[Stored], said: Sequence[Kept]) -> Entry:
    """Return the first entry of the job ``name``, which is all that ``rows`` have of it, with what was said in it.

    Raises:
        Damaged: it does not fit, or there is none.
    """
    good, verdict = check_chain(name, rows)
    entries, wrong = unsealed(good, said, missing=GONE)
    if not entries:
        raise Damaged(broken(name, entries, wrong).sentence if wrong else verdict.sentence)
    return entries[0]


def followed(name: str, after: int, rows: Sequence[Stored], said: Sequence[Kept]) -> list[Entry]:
    """Return the entries of the job ``name`` behind the number ``after``.

    ``rows`` begin with that one (with the first when ``after`` is 0), ``said`` with what was said behind it.

    Raises:
        Damaged: they do not go on from there.
    """
    head = Head()
    if after > 0:
        if not rows or rows[0].seq != after:
            raise Damaged(
                f"Job {name} has no entry {after} to go on from: it has fewer, or its end is gone. "
                f"See which with: assistant verify {name}"
            )
        head, rows = Head(after, rows[0].hash), rows[1:]
    good, verdict = check_chain(name, rows, head)
    if not verdict.good:
        raise Damaged(verdict.sentence)
    entries, wrong = unsealed(good, said, missing=GONE)
    if wrong:
        raise Damaged(broken(name, entries, wrong, head).sentence)
    return entries
