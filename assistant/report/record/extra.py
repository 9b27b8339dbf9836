"""Extra work in the record: what was offered or found, who granted or declined it, and what became of it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace

from assistant.facts.correcting import FindingAsBefore, FindingCorrected
from assistant.facts.customer import CustomerDeclined
from assistant.facts.extra import (
    BranchLeft,
    BranchTaken,
    ExtraAsked,
    ExtraDeclined,
    ExtraDone,
    ExtraGranted,
    ExtraMinutes,
    FindingBegun,
    FindingKept,
    FindingLeft,
    GrantWay,
    Severity,
)
from assistant.facts.going import Closed
from assistant.journal.port import Entry
from assistant.report.record.customer import PageAnswers
from assistant.report.record.model import ExtraLine, How, Open, StepLine, StepStatus
from assistant.report.record.printing import Names
from assistant.report.record.times import idle_spans, worked_between
from assistant.report.record.words_of_extra import GRANT_WAYS, SEVERITIES, who_granted
from assistant.session.places import AnyPlace

ASKED, GRANTED, DECLINED, DONE, ADVISED = "NOT ANSWERED", "granted", "declined", "done", "advised"

RECOMMENDED = (DECLINED, ADVISED)
"""What is advice to whoever gets the machine back."""


def branches_taken(entries: Sequence[Entry]) -> set[str]:
    """Return the keys of the branches that opened, and were not shut again."""
    taken: set[str] = set()
    for entry in entries:
        match entry.fact:
            case BranchTaken(branch=key):
                taken.add(key)
            case BranchLeft(branch=key):
                taken.discard(key)
    return taken


def belongs(place: AnyPlace, taken: Collection[str]) -> bool:
    """Return whether a place belonged to the job: every branch around it opened."""
    return all(key in taken for key in place.within)


def extra_rows(
    names: Names, entries: Sequence[Entry], how: Mapping[int, How], steps: Sequence[StepLine]
) -> tuple[ExtraLine, ...]:
    """Return each piece of extra work, in the order in which it came up; what was declined is a recommendation."""
    rows: dict[str, ExtraLine] = {}
    former: dict[str, list[int]] = {}
    """Of each finding, the entries by whose words it counted before, the last one at the end."""
    took = seconds_of_findings(entries)
    answers = PageAnswers(names)
    for entry in entries:
        fact = entry.fact
        on_page = answers.take(fact)
        match fact:
            case FindingKept() if fact.work not in rows:
                rows[fact.work] = ExtraLine(
                    fact.number, "finding", fact.text, fact.step or "", SEVERITIES[fact.severity], _stands(fact), "",
                    entry.seq, entry.at_ms, how[entry.seq],
                )  # fmt: skip
            case FindingKept() | FindingCorrected() if fact.work in rows:
                former.setdefault(fact.work, []).append(rows[fact.work].corrected)
                rows[fact.work] = _in_words(rows[fact.work], fact, entry.seq)
            case FindingAsBefore(work=work) if former.get(work):
                rows[work] = _in_words(rows[work], fact, former[work].pop())
            case ExtraAsked(work=work):
                said = names.why(work)[1]
                row = rows.get(work) or ExtraLine(
                    fact.number, "offer", names.work(work), work.partition(":")[0], "", ASKED, "",
                    minutes="" if said is None else str(said),
                )  # fmt: skip
                rows[work] = _at(replace(row, stands=ASKED), entry, how)
            case ExtraGranted(work=work, way=GrantWay.PAGE) if work in rows:
                rows[work] = _at(replace(rows[work], stands=GRANTED, by=on_page), entry, how, fact.at_ms)
            case CustomerDeclined(work=work) if work in rows:
                rows[work] = _at(replace(rows[work], stands=DECLINED, by=on_page), entry, how, fact.at_ms)
            case ExtraGranted(work=work) if work in rows:
                by = f"{who_granted(fact.role, fact.name)}, {GRANT_WAYS[fact.way]}"
                rows[work] = _at(replace(rows[work], stands=GRANTED, by=by), entry, how)
            case ExtraDeclined(work=work) if work in rows:
                rows[work] = _at(replace(rows[work], stands=DECLINED, by=""), entry, how)
            case ExtraMinutes(work=work, minutes=minutes) if work in rows:
                rows[work] = replace(rows[work], minutes=str(minutes))
            case ExtraDone(work=work) if work in rows:
                rows[work] = replace(rows[work], stands=DONE)
            case BranchLeft(branch=work) if work in rows:
                del rows[work]
    rows = {work: replace(row, seconds=took.get(work, 0)) for work, row in rows.items()}
    done = {row.id: row.status in (StepStatus.DONE, StepStatus.DEVIATION) for row in steps}
    return tuple(_finished(names, work, _with(row, answers.beside(work)), done) for work, row in rows.items())


def seconds_of_findings(entries: Sequence[Entry]) -> dict[str, int]:
    """Return how long extra work without steps was worked on [s], by its key, without pauses and interruptions."""
    idle, found, begun = idle_spans(entries), dict[str, int](), dict[str, int]()
    for entry in entries:
        match entry.fact:
            case FindingBegun(work=work):
                begun[work] = entry.at_ms
            case FindingLeft(work=work) if work in begun:
                found[work] = found.get(work, 0) + worked_between(idle, begun.pop(work), entry.at_ms)
            case Closed():
                break
    for work, since in begun.items():
        found[work] = found.get(work, 0) + worked_between(idle, since, entry.at_ms)
    return {work: round(ms / 1000) for work, ms in found.items()}


def _stands(fact: FindingKept | FindingCorrected | FindingAsBefore) -> str:
    return ASKED if fact.severity is Severity.BEFORE_RUNNING else ADVISED


def _in_words(row: ExtraLine, fact: FindingKept | FindingCorrected | FindingAsBefore, corrected: int) -> ExtraLine:
    """Return a finding in other words; it stays where and when it was found out."""
    return replace(
        row, what=fact.text, step=fact.step or "", severity=SEVERITIES[fact.severity], stands=_stands(fact),
        corrected=corrected,
    )  # fmt: skip


def _at(row: ExtraLine, entry: Entry, how: Mapping[int, How], at_ms: int = 0) -> ExtraLine:
    return replace(row, entry=entry.seq, at_ms=at_ms or entry.at_ms, how=how[entry.seq])


def _with(row: ExtraLine, beside: Sequence[str]) -> ExtraLine:
    """Return ``row`` with what else the customer answered."""
    return replace(row, by="; ".join(filter(None, (row.by, *beside))))


def _finished(names: Names, work: str, row: ExtraLine, done: Mapping[str, bool]) -> ExtraLine:
    """Return granted work as done where all steps of its branch are."""
    ids = names.steps_of(work)
    is_done = row.stands == GRANTED and bool(ids) and all(done.get(one, False) for one in ids)
    return replace(row, stands=DONE) if is_done else row


def extra_left(rows: Sequence[ExtraLine]) -> Iterator[Open]:
    """Yield what of the extra work is open."""
    for row in rows:
        what = f"{row.what} (corrected)" if row.corrected else row.what
        if row.stands == ASKED:
            yield Open(f"extra work {row.number} was not answered: {what}", row.step)
        elif row.stands == GRANTED:
            yield Open(f"extra work {row.number} was granted and is not done: {what}", row.step)
        elif row.stands == DECLINED and row.severity == SEVERITIES[Severity.BEFORE_RUNNING]:
            yield Open(f"TO BE DONE BEFORE IT RUNS, and declined: {what}", row.step)
