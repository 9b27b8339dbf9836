"""Makes the record of a job in the central store, in a process of its own: address, token file, form, job."""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.central.place import CentralFault, read_place
from assistant.desk.record_page import LOWEST
from assistant.journal.names import bay_of
from assistant.journal.opening import open_central
from assistant.journal.port import JournalFault
from assistant.workshop.photo_store import stored_photo


def print_central_page(address: str, token_file: str, form: str, job: str) -> int:
    """Write the record to the standard output, or one sentence to the other one."""
    try:
        place = read_place(address, Path(token_file))
        with open_central(place) as journal:
            name = journal.resolve(job)
            entries, verdict = journal.read(name)
        os.nice(LOWEST)
        from assistant.procedure.wordings import OwnPaper  # noqa: PLC0415 - only the process that makes a page loads it
        from assistant.report.record.made import make  # noqa: PLC0415
        from assistant.workshop.wordings import own_text  # noqa: PLC0415
        from assistant.workshop.wordings_store import wordings_for  # noqa: PLC0415

        with contextlib.closing(CentralLink(place, program="office record")) as link:
            own = own_text(OwnPaper.RECORD, wordings_for(link, bay_of(name)))
            made = make(
                name, entries, paper="a4", damage="" if verdict.good else verdict.sentence,
                photo=lambda sha256: stored_photo(link, name, sha256), own=own,
            )  # fmt: skip
            page = made.form(form)
    except (JournalFault, CentralFault) as fault:
        sys.stderr.write(fault.sentence)
        return 1
    sys.stdout.buffer.write(page)
    return 0


if __name__ == "__main__":
    sys.exit(print_central_page(*sys.argv[1:]))
