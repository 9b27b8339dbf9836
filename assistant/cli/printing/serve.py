"""``assistant serve``: the pages of the office, over all bays of a workshop, served until Control-C."""

from __future__ import annotations

import threading
from pathlib import Path

from assistant.bay.refusing import guarded
from assistant.cli.printing.sending import STANDS_ALONE
from assistant.desk.options import DisplayOptions
from assistant.office.options import OfficeOptions
from assistant.office.serving import OfficeServer
from assistant.settings import load_settings, settings_path
from assistant.terminal.exits import Exit, Refusal
from assistant.workshop.line import token_path


def serve_office(procedures: Path, options: OfficeOptions) -> Exit:
    """Serve the pages of the office until Control-C."""

    def work() -> Exit:
        settings = load_settings(settings_path())
        central = options.central or settings.central
        if not central:
            raise Refusal(
                f"{STANDS_ALONE} Name it with --central, or serve this bay alone with: assistant desk", Exit.USAGE
            )
        where = DisplayOptions(options.display_host, options.display_port)
        token = options.token or token_path()
        office = OfficeServer(where, central, token, procedures=procedures, https=settings.https)
        try:
            print(f"{office.invitation()}\nControl-C ends it.", flush=True)
            threading.Event().wait()
        except KeyboardInterrupt:
            return Exit.OK
        finally:
            office.close()
        return Exit.OK

    return guarded(work)
