"""What a job is opened with: machine, customer, and what the machine's meter shows."""

from __future__ import annotations

import time
from typing import Any

from assistant.facts import Quantity
from assistant.facts.bay import MeterRead
from assistant.journal.opening import journal_is_there, open_journal
from assistant.kept.options import CardOptions
from assistant.report.due import Meter, Seen, parse_meter
from assistant.report.meters import local_day, readings, same
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal


def card_facts(card: CardOptions) -> dict[str, Any]:
    """Return what goes into the first entry of a job that is opened with ``card``.

    Raises:
        Refusal: a reading cannot be read, or is lower than before and nobody said why.
    """
    given: dict[str, Any] = {"asset": card.asset, "customer": card.customer}
    if card.meter:
        read = checked_meter(card.meter, card.asset, time.time(), card.meter_note)
        given |= {"meter": read.meter, "meter_restart": read.restart, "meter_note": read.note}
    return given


def checked_meter(text: str, asset: str, now: float, note: str, but: str = "", *, done: bool = False) -> MeterRead:
    """Return the reading ``text`` of the machine ``asset`` as a fact, at ``now`` [s since the epoch].

    ``but`` is a job whose own readings do not count.

    Raises:
        Refusal: it is no reading, or lower than before and there is no ``note`` that says why.
    """
    meter = parse_meter(text)
    if isinstance(meter, str):
        raise Refusal(meter, Exit.USAGE)
    restart = False
    last = _last_before(asset, meter, now, but)
    if last is not None and last.meter.size > meter.size:
        if not note.strip():
            sentence = (
                f"{meter} is lower than {last.meter} on {last.on.isoformat()}. Is it a slip, another unit, or a new "
                "instrument? Correct it, or say why with --meter-note."
            )
            raise Refusal(sentence, Exit.USAGE)
        restart = True
    return MeterRead(meter=Quantity(meter.value, meter.unit), restart=restart, done=done, note=note.strip())


def _last_before(asset: str, meter: Meter, now: float, but: str) -> Seen | None:
    if not same(asset) or not journal_is_there(home()):
        return None
    with open_journal(home(), read_only=True) as journal:
        seen = readings(journal, but=but).get(same(asset), [])
    kept = [one for one in seen if one.meter.is_hours == meter.is_hours and one.on <= local_day(now)]
    return kept[-1] if kept else None
