"""``assistant desk``: the pages for the office, served until Control-C."""

from __future__ import annotations

import threading
from pathlib import Path

from assistant.bay.job import guarded
from assistant.customer.customers import CustomerPages
from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions, ServeOptions
from assistant.terminal.exits import Exit


def serve_desk(procedures: Path, options: ServeOptions) -> Exit:
    """Serve the pages for the desk until Control-C."""

    def work() -> Exit:
        where = DisplayOptions(options.display_host, options.display_port)
        display = Display(where, procedures=procedures, job=False, customers=CustomerPages())
        try:
            print(f"{display.invitation()}\nControl-C ends it.", flush=True)
            threading.Event().wait()
        except KeyboardInterrupt:
            return Exit.OK
        finally:
            display.close()
        return Exit.OK

    return guarded(work)
