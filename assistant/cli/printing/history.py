"""What many jobs tell together: printed, as CSV, and as a picture."""

from __future__ import annotations

import time
from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby

from assistant.bay.refusing import guarded
from assistant.cli.printing.options import HistoryOptions
from assistant.facts.inputs import Opened
from assistant.fastening.calibration import calibration_day
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry, Journal, JournalFault
from assistant.kept.tool_facts import clicks_since, tools_path
from assistant.procedure.format.tool_file import read_tool_file
from assistant.report.history import HISTORY_FACTS, History, Spread, ToolUse, history_csv, history_of
from assistant.report.history_words import Words, shortened, work_words
from assistant.report.picture import steps_picture
from assistant.report.record.forms import took
from assistant.settings import home, load_settings, settings_path
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_free, put
from assistant.terminal.tables import objects, print_json, table

_MOST_LINES = 15
_FORMS = {".png": "png", ".svg": "svg", ".pdf": "pdf"}


def print_history(options: HistoryOptions) -> Exit:
    """Print the history of all jobs, or of those of one procedure, and write it to the files that are wanted."""
    return guarded(lambda: _history(options))


def _history(options: HistoryOptions) -> Exit:
    csv, picture, procedure, rehearsals = options.csv, options.picture, options.procedure, options.rehearsals
    if picture is not None and picture.suffix.lower() not in _FORMS:
        raise Refusal(f"{picture} is no picture that can be drawn; name it .png, .svg or .pdf.", Exit.USAGE)
    for path, form in ((csv, "csv"), (picture, "")):
        if path is not None:
            check_free(path, force=options.force, form=form)
    with open_journal(home(), read_only=True) as journal:
        found = history_of(_jobs(journal, procedure, rehearsals))
        found.tools = _tools(journal)
    if not found.jobs:
        which = f' of the procedure "{procedure}"' if procedure else ""
        counted = "" if rehearsals else "; rehearsals count only with --rehearsals"
        raise JournalFault(f"There is no job{which} to tell of{counted}. See what there is with: assistant jobs")
    if options.as_json:
        tables = [objects(head, rows) for head, rows in _tables(found, Words())]
        print_json({"jobs": found.jobs, "closed": found.closed, "tables": tables})
    else:
        _print(found)
    outs = [(csv, history_csv(found).encode())] if csv is not None else []
    if picture is not None:
        outs.append((picture, _picture(found, procedure, _FORMS[picture.suffix.lower()])))
    for path, data in outs:
        put(path, data, force=options.force, private=True)
    return Exit.OK


def _jobs(journal: Journal, procedure: str, rehearsals: bool) -> Iterator[list[Entry]]:
    for _, entries in groupby(journal.find(HISTORY_FACTS), key=lambda one: one[0]):
        job = [entry for _, entry in entries]
        opened = job[0].fact
        if not isinstance(opened, Opened) or (opened.rehearsal and not rehearsals):
            continue
        if procedure in ("", opened.procedure_id):
            yield job


def _tools(journal: Journal) -> tuple[ToolUse, ...]:
    path = tools_path(load_settings(settings_path()).tools)
    box = read_tool_file(path).box if path is not None else None
    if box is None:
        return ()
    today = calibration_day(round(time.time() * 1000))
    found = []
    for wrench in box.with_clicks(clicks_since(box, journal)).wrenches:
        due = wrench.due(today)
        found.append(ToolUse(wrench.name, wrench.uses, wrench.most_uses, due.why or f"due {due.on}"))
    return tuple(found)


def _print(found: History) -> None:
    jobs = "1 job" if found.jobs == 1 else f"{found.jobs} jobs"
    print(f"{jobs}, {found.closed} of them closed. Times are median (middle half), without pauses.")
    for head, rows in _tables(found, work_words(found.openings.values())):
        if rows:
            print(f"\n{table(head, rows)}")


def _tables(found: History, words: Words) -> Sequence[tuple[Sequence[str], Sequence[Sequence[str]]]]:
    """Return head and rows of each table, empty ones as well, with ``words`` for ids; a step's words are cut."""

    def counted(counts: Counter[tuple[str, str]]) -> list[tuple[str, str, str]]:
        most = counts.most_common(_MOST_LINES)
        return [(shortened(words.title(name)), words.what(name, what), str(count)) for (name, what), count in most]

    return (
        (
            ("procedure", "closed", "time"),
            [(shortened(words.title(name)), str(one.count), _words(one)) for name, one in found.whole.items()],
        ),
        (
            ("procedure", "step", "times", "time"),
            [
                (shortened(words.title(name)), words.what(name, step), str(one.count), _words(one))
                for (name, step), one in found.steps.items()
            ],
        ),
        (("interrupted in", "step", "times"), counted(found.stops)),
        (("trouble in", "step", "times"), counted(found.trouble)),
        (("not understood", "times"), [(word, str(count)) for word, count in found.unclear.most_common(_MOST_LINES)]),
        (
            ("read back and cancelled", "times"),
            [(word, str(count)) for word, count in found.cancelled.most_common(_MOST_LINES)],
        ),
        (
            ("wrench", "clicks", "of", "calibration"),
            [(one.name, str(one.clicks), str(one.most), one.due) for one in found.tools],
        ),
    )


def _words(one: Spread) -> str:
    return f"{took(round(one.median))} ({took(round(one.low))} to {took(round(one.high))})"


def _picture(found: History, procedure: str, form: str) -> bytes:
    """Draw the steps of ``procedure``, or of the one with the most times."""
    counts: dict[str, int] = {}
    for (name, _), one in found.steps.items():
        counts[name] = counts.get(name, 0) + one.count
    if not counts:
        raise Refusal("No step was done yet, so there is nothing to draw.", Exit.OUTPUT)
    name = procedure or max(counts, key=lambda key: counts[key])
    words = work_words(found.openings.values())
    steps = [(words.what(name, step), one) for (of, step), one in found.steps.items() if of == name]
    return steps_picture(words.title(name), steps, form)
