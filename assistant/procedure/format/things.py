"""What stands before the steps and behind them: persons, items, hazards, timers, waivers and the approval."""

from __future__ import annotations

from assistant.facts.codes import SignalWord
from assistant.faults import Fault
from assistant.procedure.answering import Approval, Waiver
from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Alternatives, Key
from assistant.procedure.format.codecs import Ident, ListOf
from assistant.procedure.format.forms import COMMAND, DATE, ID, QUANTITY, TEXT, TIME, TOLD, YES_NO, whole
from assistant.procedure.format.records import KeyTable, chosen, makes, must
from assistant.procedure.model import Hazard, Item, Person, Timer, TimerKind

PERSON = KeyTable(
    "person",
    (
        must("kind", TEXT, "What they are, for example mechanic."),
        must("count", whole(99, 1), "How many of them."),
    ),
    makes(Person),
    example="kind: mechanic, count: 1",
)

_ITEM = (
    must("id", ID, "Name by which steps refer to it."),
    must("name", TOLD, "What it is called, as it is spoken."),
    Key("quantity", QUANTITY, "How much or how many."),
    Key("unit", TEXT, "Of what: tubes, litres. Left out for things that are counted."),
    Key("note", TEXT, "What else must be known of it."),
    Key("part_number", TEXT, "What stands on it as a bar code or QR code: a scan of that ticks it off."),
)
_NAMED = "id: ..., name: ..."
EQUIPMENT = KeyTable("support equipment", _ITEM, makes(Item), example=_NAMED)
SUPPLY = KeyTable(
    "supply",
    (*_ITEM, Key("specification", TEXT, "The grade or the standard that it must meet.")),
    makes(Item),
    example=_NAMED,
)
SPARE = KeyTable(
    "spare",
    (*_ITEM, Key("single_use", YES_NO, "yes when it must never be fitted again once it was removed.")),
    makes(Item),
    example=_NAMED,
)

_SIGNALS = Alternatives(
    "word",
    {word.value: word for word in SignalWord},
    Fault("A hazard has exactly one signal word", "write danger:, warning:, caution: or notice: and the hazard"),
    "hazard",
    ReadingRule.SIGNAL_WORD,
)
HAZARD = KeyTable(
    "hazard",
    (
        *(Key(word.value, TOLD, "Signal word and the hazard.", "hazard") for word in SignalWord),
        must("consequence", TOLD, "What it does when it is not avoided."),
        must("avoid", COMMAND, "How to avoid it."),
    ),
    makes(Hazard),
    chosen(_SIGNALS),
    _SIGNALS,
    "warning: ..., consequence: ..., avoid: ...",
)
_SEVERITY = list(SignalWord)
HAZARDS = ListOf(HAZARD, order=lambda hazard: _SEVERITY.index(hazard.word))
"""The most severe first, as they are read aloud; equal ones stay in the order of the file."""

_TIMERS = Alternatives(
    "kind",
    {kind.value: kind for kind in TimerKind},
    Fault("A timer has exactly one of open:, cure: and cool:, with its length", "write for example open: 10 min"),
    "seconds",
)
TIMER = KeyTable(
    "timer",
    (
        must("id", ID, "Name by which steps refer to it."),
        must("name", TOLD, "What it is called, as it is spoken."),
        Key("open", TIME, "Open time: join the parts before it ends.", "seconds", default=1),
        Key("cure", TIME, "Cure time: go on only after it ended.", "seconds", default=1),
        Key("cool", TIME, "Time to cool down: go on only after it ended.", "seconds", default=1),
    ),
    makes(Timer),
    chosen(_TIMERS),
    _TIMERS,
    "id: sealant, name: sealant time, open: 10 min",
)

WAIVER = KeyTable(
    "waiver",
    (
        must("rule", Ident(name="rule"), "Id of the rule."),
        must("reason", TEXT, "Why the warning is answered for."),
        Key("at", ID, "Id of the step, group, timer or item that it is about; left out for a warning about the whole "
            "file.", default=None),
    ),
    makes(Waiver),
    example="rule: ..., reason: ...",
)  # fmt: skip
APPROVAL = KeyTable(
    "approval",
    (
        must("by", TEXT, "Who approved it."),
        must("on", DATE, "The day, as 2026-01-31."),
        must("content", TEXT, "Hash of the content that was approved, as assistant approve writes it."),
    ),
    makes(Approval),
)
