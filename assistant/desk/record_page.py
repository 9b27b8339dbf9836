"""Makes what is made of whole jobs, in a process of its own with the lowest priority: ``python -m``, the form, a name.

The form is "html" or "pdf" for the record of a job, or one of :data:`assistant.desk.shop.LISTS`. Whoever looks at it
takes no time and no memory from the process that listens and speaks.
"""

from __future__ import annotations

import os
import sys

from assistant.journal.opening import open_journal
from assistant.journal.port import JournalFault
from assistant.pictures.store import store_of
from assistant.settings import home

LOWEST = 19
"""Niceness (nice(2)): everything else that wants the processor comes first."""


def print_page(form: str, job: str) -> int:
    """Write what is asked for to the standard output, or one sentence to the other one."""
    try:
        with open_journal(home(), read_only=True) as journal:
            if form not in ("html", "pdf"):  # it reads until its end, so its priority stays: see below
                from assistant.desk.shop import shop_list  # noqa: PLC0415 - see below

                sys.stdout.buffer.write(shop_list(journal, form, job))
                return 0
            name = journal.resolve(job)
            # A job that writes waits for who reads; whoever is put off again and again while he reads would hold it up.
            entries, verdict = journal.read(name)
        os.nice(LOWEST)
        # The bay only starts this module: what makes pages is loaded by the process that makes one.
        from assistant.procedure.wordings import OwnPaper  # noqa: PLC0415
        from assistant.report.record.made import make  # noqa: PLC0415
        from assistant.workshop.wordings import own_text  # noqa: PLC0415

        made = make(
            name, entries, paper="a4", damage="" if verdict.good else verdict.sentence, photo=store_of(name).data,
            own=own_text(OwnPaper.RECORD),
        )  # fmt: skip
    except JournalFault as fault:
        sys.stderr.write(fault.sentence)
        return 1
    sys.stdout.buffer.write(made.form(form))
    return 0


if __name__ == "__main__":
    sys.exit(print_page(sys.argv[1], sys.argv[2]))
