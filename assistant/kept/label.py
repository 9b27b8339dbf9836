"""The label of a closed job, as its journal tells it: what was renewed, when, at what reading, when it is due again."""

from __future__ import annotations

from assistant.caution import CAUTION, CAUTION_SHORT
from assistant.clock import SteadyClock
from assistant.journal.opening import open_journal
from assistant.journal.port import JobState, JournalFault
from assistant.kept.due_jobs import due_lines
from assistant.report.label import Label, lay_out
from assistant.report.meters import done_at, local_day
from assistant.report.record.extra import RECOMMENDED
from assistant.report.record.made import make
from assistant.report.record.model import JobRecord
from assistant.report.record.open import CLOSED_OPEN
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal

_OPEN = "OPEN: "
_ADVICE = "Recommended: "
_MACHINE = "Machine: "
USUAL_SIZE = (63.5, 38.1)
"""Width and height of a label [mm]: twenty-one on a sheet of A4, a common one."""


def label_of(job: str, part: str, wide: float, high: float) -> Label:
    """Return the label of ``job`` on ``wide`` by ``high`` [mm]; ``part`` stands in place of the new parts.

    What has no room is left out in this order: the long caution, advice, the machine's name, the open items one by one.

    Raises:
        JournalFault: there is no such job, or it is damaged.
        Refusal: it is not closed, or the label is too small.
    """
    name, texts = label_texts(job, part)
    label = lay_out(name, texts, wide, high)
    if isinstance(label, str):
        texts = [(CAUTION_SHORT if text == CAUTION else text, bold) for text, bold in texts]
        label = lay_out(name, texts, wide, high)
    if isinstance(label, str):  # advice has room, or waits in the record
        texts = [text for text in texts if not text[0].startswith(_ADVICE)]
        label = lay_out(name, texts, wide, high)
    if isinstance(label, str):  # it sticks on the machine: what is open counts for more than its name
        texts = [text for text in texts if not text[0].startswith(_MACHINE)]
        label = lay_out(name, texts, wide, high)
    others = [text for text in texts if not text[0].startswith(_OPEN)]
    if isinstance(label, str) and len(others) < len(texts):  # a small label says how many, and never nothing
        how_many = (f"OPEN ITEMS: {len(texts) - len(others)}, see the record", True)
        label = lay_out(name, [*others, how_many], wide, high)
    if isinstance(label, str):
        raise Refusal(label, Exit.USAGE)
    return label


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
        due = due_lines(journal, local_day(SteadyClock().now()), within_days=0, rehearsals=True, job=name)
    done = due[0].done_on if due else local_day(record.card.ended_ms / 1000)
    at = done_at(entries)
    texts = [("REHEARSAL, no work was done", True)] if record.card.rehearsal else []
    if record.card.asset:
        texts.append((f"{_MACHINE}{record.card.asset}", True))
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
