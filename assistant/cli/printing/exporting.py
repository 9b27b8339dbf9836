"""``assistant export``: tables over all bays, written to a file."""

from __future__ import annotations

import contextlib
from pathlib import Path

from assistant.bay.refusing import guarded
from assistant.central.link import CentralLink
from assistant.central.place import read_place
from assistant.cli.printing.sending import STANDS_ALONE
from assistant.office.exporting import EXPORT_FORMS, exported
from assistant.office.options import ExportOptions
from assistant.office.tables import TABLE_FORMS
from assistant.settings import load_settings, settings_path
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_free, put
from assistant.workshop.line import token_path

_ANSWER_S = 300.0


def export_table(file: Path, options: ExportOptions) -> Exit:
    """Write a table of the workshop to ``file``."""
    return guarded(lambda: _export(file, options))


def _export(file: Path, options: ExportOptions) -> Exit:
    if options.what not in TABLE_FORMS:
        raise Refusal(f'There is no table "{options.what}"; give --what {", ".join(TABLE_FORMS)}.', Exit.USAGE)
    if options.form not in EXPORT_FORMS:
        raise Refusal(f'"{options.form}" is no form of a table; give --form {" or ".join(EXPORT_FORMS)}.', Exit.USAGE)
    central = options.central or load_settings(settings_path()).central
    if not central:
        raise Refusal(f"{STANDS_ALONE} Name it with --central.", Exit.USAGE)
    check_free(file, force=options.force, form=options.form)
    place = read_place(central, options.token or token_path())
    with contextlib.closing(CentralLink(place, program="office export", answer_s=_ANSWER_S)) as link:
        data = exported(link, options.what, options.form)
    put(file, data, force=options.force, private=True)
    return Exit.OK
