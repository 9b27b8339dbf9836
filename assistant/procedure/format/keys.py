"""Every key of the file format, in one place: what the reader accepts is what the format page lists."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Key:
    """One key of a mapping: whether it must be there, and what it means."""

    name: str
    means: str
    required: bool = False


def _must(name: str, means: str) -> Key:
    return Key(name, means, required=True)


_FILE = (
    _must("procedure", "What the procedure is and where it comes from."),
    _must("preliminary", "What must be at hand, and known, before the work starts."),
    Key("groups", "The fasteners, by size and place."),
    Key("timers", "Times that must not run out, and times that must."),
    _must("chapters", "The steps, in named runs."),
    _must("closing", "The steps that close the job: checks after the work."),
    Key("waivers", "Warnings of the checker that the author answers for."),
    Key("approval", "Who approved the procedure, and when."),
)
_APPROVAL = (
    _must("by", "Who approved it."),
    _must("on", "The day, as 2026-01-31."),
    _must("content", "Hash of the content that was approved, as assistant approve writes it."),
)
_WAIVER = (
    _must("rule", "Id of the rule."),
    _must("reason", "Why the warning is answered for."),
    Key("at", "Id of the step, group, timer or item that it is about; left out for a warning about the whole file."),
)
_PROCEDURE = (
    _must("id", "Short name of the procedure."),
    _must("title", "What is done, as it is spoken."),
    _must("revision", "Which edition this is."),
    _must("source", "Where the steps and the values come from."),
    _must("machine", "What it is done on."),
    _must("hazard_scheme", "ansi or s1000d: whose sense the signal words have."),
    Key("values", "invented, when no maker gave them: this is said aloud, and stands on the page and in the record."),
    Key("book_time", "How long the whole job takes, such as 2 h 30 min."),
    Key("due", "When the work is due again, whichever comes first: such as 60000 km, 48 months; or 500 h."),
)
_PRELIMINARY = (
    _must("conditions", "What must be so before the work starts: a list of texts."),
    _must("persons", "Who is needed."),
    _must("support_equipment", "Tools and equipment."),
    _must("supplies", "What is used up: sealant, cleaner, oil."),
    _must("spares", "New parts."),
    _must("safety", "Hazards of the whole job."),
)
_PERSON = (_must("kind", "What they are, for example mechanic."), _must("count", "How many of them."))
_ITEM = (
    _must("id", "Name by which steps refer to it."),
    _must("name", "What it is called, as it is spoken."),
    Key("quantity", "How much or how many."),
    Key("unit", "Of what: tubes, litres. Left out for things that are counted."),
    Key("note", "What else must be known of it."),
)
_SUPPLY = (*_ITEM, Key("specification", "The grade or the standard that it must meet."))
_SPARE = (*_ITEM, Key("single_use", "yes when it must never be fitted again once it was removed."))
_HAZARD = (
    Key("danger", "Signal word and the hazard."),
    Key("warning", "Signal word and the hazard."),
    Key("caution", "Signal word and the hazard."),
    Key("notice", "Signal word and the hazard."),
    _must("consequence", "What it does when it is not avoided."),
    _must("avoid", "How to avoid it."),
)
_GROUP = (
    _must("id", "Name by which steps refer to it."),
    _must("name", "What the fasteners are called, as it is spoken."),
    _must("size", "Their size in words, for the ear."),
    _must("bolts", "Their numbers on the bolt map."),
    Key("where", "Where they are."),
    Key("hidden", "Bolts that are easily forgotten."),
    Key("single_use", "yes when new ones must be fitted."),
    Key("spare", "The spare that replaces them."),
    Key("thread", "Their thread: M10, M10x1.25, or an inch thread such as 3/8-24."),
    Key("class", "Their property class, such as 8.8, or the grade of an inch thread."),
    Key("friction", "Coefficient of friction in the thread and under the head, from 0.04 to 0.4."),
    Key("layout", "Where the bolts sit, for the bolt map."),
    Key("order", "Every bolt in the order of tightening; or draft, for a general pattern that is marked as drafted."),
)
_LAYOUT = (
    Key("circle", "The bolts on a circle, clockwise."),
    Key("start", "Where the first one sits, as an angle clockwise from twelve o'clock; at the top when left out."),
    Key("diameter", "Diameter of the circle, in the scale of the drawing."),
    Key("rows", "The bolts in rows: a list, each from left to right, the top row first."),
    Key("width", "From the first to the last bolt of a row, in the scale of the drawing."),
    Key("height", "From the top row to the bottom row, in the scale of the drawing."),
    Key("x", "Where the middle of the circle or of the rows is, to the right; 0 when left out."),
    Key("y", "Where the middle of the circle or of the rows is, upwards; 0 when left out."),
    Key("spots", "Where every single bolt sits: a list."),
)
_SPOT = (
    _must("bolt", "Its number on the bolt map."),
    _must("x", "Where it sits to the right, in the scale of the drawing."),
    _must("y", "Where it sits upwards, in the scale of the drawing."),
)
_HIDDEN = (_must("bolt", "Its number on the bolt map."), _must("where", "Where it hides."))
_TIMER = (
    _must("id", "Name by which steps refer to it."),
    _must("name", "What it is called, as it is spoken."),
    Key("open", "Open time: join the parts before it ends."),
    Key("cure", "Cure time: go on only after it ended."),
    Key("cool", "Time to cool down: go on only after it ended."),
)
_CHAPTER = (_must("chapter", "Name of this run of steps."), _must("steps", "Its steps in order."))
_STEP = (
    Key("id", "Name of the step in the record; left out, it is step- and its number."),
    Key("hazards", "Hazards that are read, and confirmed, before the step."),
    Key("info", "More about the step, spoken when it is asked for."),
    Key("tools", "Ids of the support equipment that it needs."),
    Key("supplies", "Ids of the supplies that it needs."),
    Key("minutes", "How long it takes, in minutes."),
    Key("starts", "The timer that starts when the step is confirmed."),
    Key("before", "The open-time timer that must still run when the step is confirmed; not in a wait step."),
    Key("refits", "Id of the step that took off what this one puts back, where the words do not show it."),
    Key("not_refitted", "Why what this step takes off stays off."),
    Key("lock", "Id of the tool that this step puts in, and that locks the machine from then on."),
    Key("unlock", "Id of the lock that this step takes out."),
    Key("turns", "yes when the step turns the machine; no when it turns nothing that a lock holds."),
    Key("against", "Ids of the locks that are in and may bear the torque of this step."),
)
_ACCESS = (
    Key("drag", "Torque that a self-locking thread takes to turn; it comes on top of the target."),
    Key("adapter", "The crowfoot or lever extension that the place asks for."),
    Key("swing", "How far the handle can move, as an angle; a further angle is split into strokes of at most this."),
)
_STAGE = (
    Key("torque", "Target of the runs that have none of their own."),
    Key("angle", "Target as a further angle, of the runs that have none of their own."),
    _must("runs", "The bolts of the stage, in the order of tightening."),
    Key("purpose", "tighten, loosen or check: what the stage is for; tighten when left out."),
    Key("limits", "Limits of a reading of the stage's target, such as 38 to 42 N·m."),
    Key("to_yield", "yes when the stage stretches the bolts for good."),
    Key("repeat_from", "In a stage that loosens: the number of the stage from which all is done once more."),
    *_ACCESS,
    Key("tool", "Id of the support equipment for the stage."),
    Key("note", "What else must be known for the stage."),
    Key("exception", "Why the stage does not take every bolt of its step exactly once."),
)
_RUN = (
    _must("group", "Id of the group."),
    _must("bolts", "Their numbers in the order of tightening; or all, order or reverse."),
    Key("torque", "Target of this run, instead of that of the stage."),
    Key("angle", "Target of this run as a further angle, instead of that of the stage."),
    Key("limits", "Limits of a reading of this run's own target."),
    *_ACCESS,
)
_ADAPTER = (
    _must("length", "From the centre of the drive to the centre of the bolt, such as 50 mm."),
    Key("angle", "Angle to the wrench: 0° straight on, 90° square, 180° pointing back; straight on when left out."),
    Key("name", "What it is called, as it is spoken."),
)

KINDS: Mapping[str, tuple[Key, ...]] = {
    "do": (_must("do", "Do something: the command, as it is spoken."),),
    "check": (
        _must("check", "Look or measure: the question or command, as it is spoken."),
        Key("answer", "The right answer, yes or no; yes when left out."),
        Key("limits", "Limits of the reading that is asked for, with their unit."),
    ),
    "count": (
        _must("count", "Count fasteners: the command, as it is spoken."),
        Key("out", "Id of the group that comes out."),
        Key("in", "Id of the group that goes back in."),
        Key("place", "Where they are put down, or taken from."),
    ),
    "tighten": (
        _must("tighten", "Tighten bolts: the command, as it is spoken."),
        _must("stages", "The passes, in order."),
    ),
    "wait": (
        _must("wait", "Wait: the command, as it is spoken."),
        _must("timer", "Id of the cure or cool timer that is waited for."),
    ),
    "fit": (
        _must("fit", "Fit new parts: the command, as it is spoken."),
        _must("spare", "Id of the spare."),
        Key("quantity", "How many new ones; one when left out."),
    ),
}
"""The kinds of step by the key that makes them, with the keys that only that kind has."""

TABLES: Mapping[str, tuple[Key, ...]] = {
    "file": _FILE,
    "procedure": _PROCEDURE,
    "preliminary": _PRELIMINARY,
    "person": _PERSON,
    "support equipment": _ITEM,
    "supply": _SUPPLY,
    "spare": _SPARE,
    "hazard": _HAZARD,
    "group": _GROUP,
    "hidden bolt": _HIDDEN,
    "layout": _LAYOUT,
    "spot": _SPOT,
    "timer": _TIMER,
    "chapter": _CHAPTER,
    "step": _STEP,
    **{f"{kind} step": (*keys, *_STEP) for kind, keys in KINDS.items()},
    "stage": _STAGE,
    "run": _RUN,
    "adapter": _ADAPTER,
    "waiver": _WAIVER,
    "approval": _APPROVAL,
}
"""Every mapping of the format by its name in messages."""

OLD_NAMES: Mapping[tuple[str, str], str] = {
    ("file", "parts"): "chapters",
    ("chapter", "part"): "chapter",
    ("procedure", "hours"): "book_time",
}
"""Keys by their table that were called otherwise before: they are still read, with a finding that says the new name."""
