"""``assistant desk``: the pages for the office, served until Control-C."""

from __future__ import annotations

import threading
from pathlib import Path

from assistant.bay.refusing import guarded
from assistant.customer.customers import CustomerPages
from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions, ServeOptions
from assistant.settings import load_settings, settings_path
from assistant.terminal.exits import Exit

_LOOK_S = 5.0
"""So often is looked whether answers still wait for whoever worked on a job [s]."""


def serve_desk(procedures: Path, options: ServeOptions) -> Exit:
    """Serve the pages for the desk until Control-C."""

    def work() -> Exit:
        where = DisplayOptions(options.display_host, options.display_port)
        customers, settings = CustomerPages(), load_settings(settings_path())
        display = Display(
            where,
            procedures=procedures,
            job=False,
            customers=customers,
            outside=settings.customer_address,
            https=settings.https,
        )
        try:
            print(f"{display.invitation()}\nControl-C ends it.", flush=True)
            while not threading.Event().wait(_LOOK_S):
                customers.collect_all()
        except KeyboardInterrupt:
            return Exit.OK
        finally:
            display.close()
        return Exit.OK

    return guarded(work)
