"""``assistant meter``: writes down a reading of the machine's meter with a job, open or closed."""

from __future__ import annotations

import time

from assistant.bay.refusing import guarded
from assistant.cli.printing.adding import add_entry, clean
from assistant.facts.going import Closed
from assistant.facts.inputs import Opened
from assistant.journal.opening import open_journal
from assistant.kept.job_card import checked_meter
from assistant.report.meters import done_at
from assistant.settings import home
from assistant.terminal.exits import Exit


def add_meter(job: str, text: str, note: str, *, done: bool) -> Exit:
    """Append a reading to ``job``; ``done`` says that a closed job was done at it."""

    def work() -> Exit:
        with open_journal(home(), read_only=True) as journal:
            name = journal.resolve(job)
            opened, entries = journal.first(name), journal.read(name).entries
        closed = next((entry.at_ms for entry in entries if isinstance(entry.fact, Closed)), None)
        was_then = done and closed is not None
        asset = opened.fact.asset if isinstance(opened.fact, Opened) else ""
        at = closed / 1000 if was_then and closed is not None else time.time()
        read = checked_meter(text, asset, at, clean(note), name if was_then else "", done=was_then)
        end = add_entry(name, read, "The reading is written down.")
        if closed is not None and not was_then and done_at(entries) is None:
            print("The job has no reading of when it was done; if this is the one, say it again with --done.")
        return end

    return guarded(work)
