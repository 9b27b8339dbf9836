"""Writes the label of a job: what was renewed, when, at what reading, and when it is due again."""

from __future__ import annotations

import time

from assistant.bay.job import guarded
from assistant.caution import CAUTION, CAUTION_SHORT
from assistant.cli.printing.due_list import due_lines
from assistant.cli.printing.options import LabelOptions
from assistant.journal.opening import open_journal
from assistant.journal.port import JobState, JournalFault
from assistant.report.label import DPI, as_png, label_html, lay_out, parse_label_size
from assistant.report.meters import done_at, local_day
from assistant.report.pdf import html_to_pdf
from assistant.report.record.extra import RECOMMENDED
from assistant.report.record.made import make
from assistant.report.record.model import JobRecord
from assistant.report.record.open import CLOSED_OPEN
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal
from assistant.terminal.output import check_free, put

_OPEN = "OPEN: "
_ADVICE = "Recommended: "


def write_label(job: str, options: LabelOptions) -> Exit:
    """Write the label of ``job`` as a page, as a picture, or as both."""
    return guarded(lambda: _label(job, options))


def _label(job: str, options: LabelOptions) -> Exit:
    pdf, png, dpi, force = options.pdf, options.png, options.dpi, options.force
    if pdf is None and png is None:
        raise Refusal("Say what to write: --pdf or --png with a file.", Exit.USAGE)
    if dpi not in DPI:
        raise Refusal(f"--dpi {dpi} is not known; give {', '.join(map(str, DPI))}.", Exit.USAGE)
    measured = parse_label_size(options.size)
    if isinstance(measured, str):
        raise Refusal(measured, Exit.USAGE)
    for path, form in ((pdf, "pdf"), (png, "png")):
        if path is not None:
            check_free(path, force=force, form=form)
    name, texts = label_texts(job, options.part)
    label = lay_out(name, texts, *measured)
    if isinstance(label, str):
        texts = [(CAUTION_SHORT if text == CAUTION else text, bold) for text, bold in texts]
        label = lay_out(name, texts, *measured)
    if isinstance(label, str):  # advice has room, or waits in the record
        texts = [text for text in texts if not text[0].startswith(_ADVICE)]
        label = lay_out(name, texts, *measured)
    others = [text for text in texts if not text[0].startswith(_OPEN)]
    if isinstance(label, str) and len(others) < len(texts):  # a small label says how many, and never nothing
        how_many = (f"OPEN ITEMS: {len(texts) - len(others)}, see the record", True)
        label = lay_out(name, [*others, how_many], *measured)
    if isinstance(label, str):
        raise Refusal(label, Exit.USAGE)
    forms = [(pdf, html_to_pdf(label_html(label)))] if pdf is not None else []
    forms += [(png, as_png(label, dpi))] if png is not None else []
    for path, data in forms:
        put(path, data, force=force, private=True)
    return Exit.OK


def label_texts(job: str, part: str) -> tuple[str, list[tuple[str, bool]]]:
    """Return the name of ``job`` and the lines of its label, each with whether it is bold; what is open comes last.

    Raises:
        JournalFault: there is no such job, or it is damaged.
        Refusal: it is not closed.
    """
    with open_journal(home(), read_only=True) as journal:
        name = journal.resolve(job)
        verdict = journal.verify(name)
        if not verdict.good:
            raise JournalFault(verdict.sentence)
        entries = journal.read(name).entries
        record = make(name, entries, paper="a4").record
        if record.card.state is not JobState.CLOSED or record.card.ended_ms is None:
            going_on = f"Go on with: assistant resume {name}"
            sentence = f"Job {name} is {record.card.state}: a label is for work that is closed. {going_on}"
            raise Refusal(sentence, Exit.USAGE)
        due = due_lines(journal, local_day(time.time()), within_days=0, rehearsals=True, job=name)
    done = due[0].done_on if due else local_day(record.card.ended_ms / 1000)
    at = done_at(entries)
    texts = [("REHEARSAL, no work was done", True)] if record.card.rehearsal else []
    texts.append((part or _renewed(record), True))
    texts.append((f"Done {done.isoformat()}" + (f" at {at}" if at else ""), False))
    if due:
        ends = [day.isoformat() for day in [due[0].next.by_time] if day] + (
            [str(due[0].next.at)] if due[0].next.at else []
        )
        texts.append((f"Next {' or '.join(ends)}" if ends else "Next: not known", False))
    texts.append((f"Job {name}", False))
    if record.card.values == "invented":
        texts.append(("PRACTICE: values invented", True))
    texts.append((CAUTION, False))
    texts += [(f"{_ADVICE}{one.what}", False) for one in record.extra if one.stands in RECOMMENDED]
    texts += [(f"{_OPEN}{one.what}", True) for one in record.open if one.what != CLOSED_OPEN]
    return name, texts


def _renewed(record: JobRecord) -> str:
    """Return what was renewed: the new parts that were fitted, or else the title of the work."""
    parts = [one.name for one in record.supplies if one.kind == "spare" and one.fitted not in ("", "0")]
    return f"New: {', '.join(parts)}" if parts else record.card.title
