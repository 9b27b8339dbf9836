"""What a store holds of one job, and what to make of it: pure, so that the file is free again while it is checked."""

from __future__ import annotations

from dataclasses import dataclass, field, replace

from assistant.journal.personal import GONE, LOST, Kept, unsealed
from assistant.journal.port import Entry, Stored, Verdict, broken, check_chain


@dataclass(slots=True)
class KeptJob:
    """What the file has of one job, as it stands there: entries, what people said, the note of its end; and faults."""

    rows: list[Stored] = field(default_factory=list)
    fault: Exception | None = None
    said: list[Kept] = field(default_factory=list)
    said_fault: Exception | None = None
    is_noted: bool = False
    end: tuple[int, str] | None = None
    end_fault: Exception | None = None


def judged(name: str, found: KeptJob) -> tuple[list[Entry], Verdict]:
    """Return the good entries of the job ``name`` from its first on, and what was found at their end."""
    good, verdict = _opened(name, *check_chain(name, found.rows), found)
    if found.fault is not None:
        damaged = broken(name, good, f"cannot be read ({found.fault})")
        return good, damaged if verdict.good or not found.rows else verdict
    return good, _ended(name, verdict, found) if verdict.good else verdict


def _opened(name: str, good: list[Entry], verdict: Verdict, found: KeptJob) -> tuple[list[Entry], Verdict]:
    """Put what people said back into the entries ``good``; the first that it does not fit ends them."""
    missing = GONE if any(entry.kind == "forgotten" for entry in good) else ""
    if found.said_fault is not None:
        missing = LOST
        if verdict.good:
            sentence = (
                f"All entries of job {name} fit, but not all that was said in them can be read ({found.said_fault})."
            )
            verdict = replace(verdict, good=False, sentence=sentence)
    kept = found.said if verdict.good else [one for one in found.said if one.seq <= len(good)]
    entries, wrong = unsealed(good, kept, missing=missing)
    return entries, broken(name, entries, wrong) if wrong else verdict


def _ended(name: str, verdict: Verdict, found: KeptJob) -> Verdict:
    """Return ``verdict`` on a chain that fits, or the one that the note of its end beside the chain leads to."""
    if not found.is_noted or found.end == (verdict.entries, verdict.head):
        return verdict  # the first: of an older format
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
