"""Writes the record of a job from the journal, and adds to a job what is known later."""

from __future__ import annotations

import re

from assistant.bay.refusing import guarded
from assistant.cli.printing.adding import add_entry, clean
from assistant.cli.printing.options import RecordOptions
from assistant.facts.bay import Corrected, SupplyUsed
from assistant.faults import Fault
from assistant.journal.opening import open_journal
from assistant.journal.port import JobState, JournalFault
from assistant.pictures.store import store_of
from assistant.procedure.format.values import parse_date
from assistant.procedure.wordings import NO_TEXT, OwnPaper
from assistant.report.record.build import opening_of, procedure_of
from assistant.report.record.made import RECORD_FORMS, make
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import STDOUT, check_free, make_folder, put
from assistant.workshop.wordings import own_text


def write_record(job: str, options: RecordOptions) -> Exit:
    """Write the record of ``job``: each form that is wanted to its file, or all forms into a folder."""
    return guarded(lambda: _write(job, options))


def _write(job: str, options: RecordOptions) -> Exit:
    outs = {"html": options.html, "pdf": options.pdf, "json": options.json, "csv": options.csv}
    folder, paper, force = options.out, options.paper.value, options.force
    with_files = {form: path for form, path in outs.items() if path is not None}
    if folder is None and not with_files:
        raise Refusal(
            "Say what to write: --html, --pdf, --json or --csv with a file, or --out with a folder.", Exit.USAGE
        )
    with open_journal(home(), read_only=True) as journal:
        name = journal.resolve(job)
        if folder is not None:
            if folder == STDOUT:
                raise Refusal("Four files cannot go to the standard output (-): name a folder.", Exit.USAGE)
            make_folder(folder)
            with_files = {form: folder / f"job-{name}.{form}" for form in RECORD_FORMS} | with_files
        for form, path in with_files.items():
            check_free(path, force=force, form=form)
        verdict = journal.verify(name)
        made = make(
            name,
            journal.read(name).entries,
            paper=paper,
            damage="" if verdict.good else verdict.sentence,
            photo=store_of(name).data,
            own=own_text(OwnPaper.RECORD) if {"html", "pdf"} & with_files.keys() else NO_TEXT,
        )
    for form, path in with_files.items():
        put(path, made.form(form), force=force, private=True)
    card = made.record.card
    if card.state is not JobState.CLOSED:
        print(f"Job {name} is {card.state}: the record is marked as provisional on every page.")
    if not verdict.good:
        raise JournalFault(verdict.sentence)
    return Exit.OK


def add_correction(job: str, entry: int, text: str, operator: str) -> Exit:
    """Append a correction to ``entry`` of ``job``; the entry itself stays as it is."""

    def work() -> Exit:
        if not text.strip():
            raise Refusal("A correction needs words: say what is right with --text.", Exit.USAGE)
        with open_journal(home(), read_only=True) as journal:
            journal.first(job)
            count = len(journal.read(job).entries)
        if not 1 <= entry <= count:
            raise Refusal(
                f"There is no entry {entry}; the job has entries 1 to {count}: see assistant show {job}", Exit.USAGE
            )
        fact = Corrected(entry=entry, text=clean(text), operator=clean(operator))
        return add_entry(job, fact, f"The correction to entry {entry} is written down.")

    return guarded(work)


def add_supply(job: str, item: str, batch: str, expires: str) -> Exit:
    """Append the batch and the expiry of a supply of ``job``."""

    def work() -> Exit:
        if not batch and not expires:
            raise Refusal("Give the batch with --batch, the last day of use with --expires, or both.", Exit.USAGE)
        if expires and not _is_day(expires):
            raise Refusal(f'"{expires}" is no day of the calendar: write it as 2027-01-31, or 2027-01.', Exit.USAGE)
        _refuse_unknown(job, item)
        fact = SupplyUsed(supply=clean(item), batch=clean(batch), expires=expires)
        return add_entry(job, fact, f"Batch and expiry of {item} are written down.")

    return guarded(work)


def _is_day(text: str) -> bool:
    """Return whether ``text`` is a day, or a month, of the calendar, as 2027-01-31 or 2027-01."""
    if not re.fullmatch(r"\d{4}-\d\d(?:-\d\d)?", text, re.ASCII):
        return False
    return not isinstance(parse_date(text if len(text) > 7 else f"{text}-01"), Fault)


def _refuse_unknown(job: str, item: str) -> None:
    """Refuse a supply or spare that the job's procedure does not have; nothing can be said when it cannot be read.

    Raises:
        Refusal: the procedure has no such supply or spare.
    """
    with open_journal(home(), read_only=True) as journal:
        procedure = procedure_of(opening_of([journal.first(job)]))
    known = [one.id for one in (*procedure.supplies, *procedure.spares)] if procedure else [item]
    if item not in known:
        hint = f"name one of {', '.join(known)}" if known else "it lists none"
        raise Refusal(f'The procedure of the job has no supply or spare "{item}": {hint}.', Exit.USAGE)
