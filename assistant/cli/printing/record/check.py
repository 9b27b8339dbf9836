"""Checks a job in the journal, or a record file against its job, and names the first entry that does not fit."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from assistant.bay.refusing import guarded
from assistant.cli.printing.record.compare import difference
from assistant.facts.bay import Forgotten
from assistant.facts.going import Closed
from assistant.facts.inputs import ClockSet
from assistant.files import FileFault, read_file
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry, Journal
from assistant.journal.summary import STATES
from assistant.pictures.checking import photos_wrong
from assistant.pictures.store import store_of
from assistant.procedure.wordings import NO_TEXT, OWN_TEXT_HEADING
from assistant.report.record.forms import read_mark
from assistant.report.record.made import RECORD_FORMS, make
from assistant.report.record.own_text import NOT_PROVED, own_text_in
from assistant.report.record.words import clock_words
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import FORMS

_MOST_BYTES = 200 * 2**20


def verify_record(what: str) -> Exit:
    """Check a job, or a record file against its job; print what was found.

    The exit code tells a job or a record that was changed (11) from one that cannot be read or is not known (6).
    """
    return guarded(lambda: _verify(what))


def _verify(what: str) -> Exit:
    path = Path(what)
    is_file = path.is_file()
    endings = {ending for form in RECORD_FORMS for ending in FORMS[form]}
    if not is_file and ("/" in what or path.suffix.lower() in endings):
        there = "is no file" if path.exists() else "is not there"
        raise Refusal(f"{path} {there}: name the file that assistant record wrote, or a job.", Exit.JOURNAL)
    with open_journal(home(), read_only=True) as journal:
        if is_file:
            print(_verify_file(path, journal))
            return Exit.OK
        verdict = journal.verify(what)
        if not verdict.good:
            raise _unfit(verdict.sentence)
        name = journal.resolve(what)
        entries = journal.read(name).entries
    print(f"{verdict.sentence} Chain head: {verdict.head}")
    print(_ending(name, entries))
    for line in _clocks(entries):
        print(line)
    wrong, more = photos_wrong(name, entries)
    for line in more:
        print(line)
    if wrong:
        raise _unfit(" ".join(wrong))
    return Exit.OK


def _unfit(sentence: str) -> Refusal:
    return Refusal(sentence, Exit.DIFFERENT)


def _ending(job: str, entries: Sequence[Entry]) -> str:
    """Return what can be said about the end of a chain that fits: entries that are cut off leave no gap in it."""
    turn = next((entry for entry in reversed(entries) if entry.kind in STATES), entries[0])
    if not isinstance(turn.fact, Closed):
        return (
            f"Job {job} is not closed. It ends where the journal noted its end; only a record that was made "
            "before shows whether somebody changed both: assistant verify FILE."
        )
    later = len(entries) - turn.seq
    more = f"; {later} more since then" if later else ""
    return (
        f"The job was closed with entry {turn.seq}{more}. It ends where the journal noted its end; only a "
        "record that was made before shows whether somebody changed both: assistant verify FILE."
    )


def _clocks(entries: Sequence[Entry]) -> list[str]:
    """Return a line for each time the computer's clock was set while the job ran, or before it was resumed."""
    return [
        f"Entry {entry.seq}: the computer's clock was set {clock_words(fact)}. The job's own time went on; "
        "compare the times of day around this entry with another clock."
        for entry in entries
        if isinstance(fact := entry.fact, ClockSet)
    ]


def _verify_file(path: Path, journal: Journal) -> str:
    data = read_file(path, _MOST_BYTES, "a file that assistant record wrote")
    if isinstance(data, FileFault):
        raise Refusal(f"{data.sentence}.", Exit.JOURNAL)
    mark = read_mark(data)
    if mark is None:
        raise Refusal(
            f"{path} is no job record, or its mark was changed: make it anew with: assistant record JOB --html FILE",
            Exit.JOURNAL,
        )
    name = journal.resolve(mark.job)
    verdict = journal.verify(name)
    entries = journal.read(name).entries
    if mark.entries > len(entries):
        raise _unfit(
            f"{path} was made of {mark.entries} entries of job {name}, but entry {len(entries) + 1} does not fit. "
            + ("The journal ends before it: its end was cut off." if verdict.good else verdict.sentence)
        )
    head = entries[mark.entries - 1].hash
    if head != mark.head:
        raise _unfit(
            f"Entry {mark.entries} of job {name} in the journal is not the one that {path} ends with: either the "
            "journal or the record was changed. Compare it with a record that was kept elsewhere."
        )
    later = len(entries) - mark.entries
    more = (
        f" Since then {later} {'entry was' if later == 1 else 'entries were'} added to the job; "
        f"make a new record with: assistant record {name} --html FILE"
        if later
        else ""
    )
    if any(isinstance(entry.fact, Forgotten) for entry in entries[mark.entries :]):
        return (
            f"{path} ends with entry {mark.entries} of job {name}, and the chain fits. Personal data of the job was "
            f"removed since then, so its words cannot be compared.{more}"
        )
    form = _form_of(data)
    own = own_text_in(data) if form in ("html", "pdf") else NO_TEXT
    damage = "" if verdict.good else verdict.sentence
    made = make(
        name, entries[: mark.entries], paper=mark.paper, clock=mark.clock, damage=damage, photo=store_of(name).data,
        own=own,
    )  # fmt: skip
    expected = made.form(form, data)
    if data != expected:
        raise _unfit(difference(path, form, data, expected, made))
    if not verdict.good:
        raise _unfit(verdict.sentence)
    beside = f" {OWN_TEXT_HEADING} stands on it too. {NOT_PROVED}" if own else ""
    return f"{path} fits the journal: all {mark.entries} entries of job {name}, to the letter.{beside}{more}"


def _form_of(data: bytes) -> str:
    starts = {b"%PDF": "pdf", b"<!DOCTYPE": "html", b"{": "json"}
    return next((form for start, form in starts.items() if data.startswith(start)), "csv")
