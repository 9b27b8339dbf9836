"""A procedure to the YAML text that the reader makes the same procedure of.

Most keys are named as their attribute and are written by the type of its value; what is written in another way stands
in :func:`_entries`. Comments are not part of the model: give them as ``header``.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from enum import Enum
from typing import Any

from assistant.fastening.units import Angle, Length, Torque, plain
from assistant.procedure.format.bands import written_band
from assistant.procedure.format.keys import TABLES
from assistant.procedure.format.tree import write_tree
from assistant.procedure.format.values import bolts_text
from assistant.procedure.interval import written_interval
from assistant.procedure.model import (
    Approval,
    Chapter,
    Group,
    Hazard,
    HiddenBolt,
    Interval,
    Layout,
    Limits,
    Person,
    Procedure,
    Spot,
    Step,
    Timer,
    Waiver,
)
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import Reach, Run, Stage, StagePurpose, TightenStep
from assistant.procedure.steps.wait import WaitStep

STEP_KINDS: Mapping[type[Step], str] = {
    DoStep: "do",
    CheckStep: "check",
    CountStep: "count",
    TightenStep: "tighten",
    WaitStep: "wait",
    FitStep: "fit",
}
"""The key that makes a step, by the class of the step."""
_TABLES: Mapping[type, str] = {
    Person: "person",
    Hazard: "hazard",
    Group: "group",
    HiddenBolt: "hidden bolt",
    Layout: "layout",
    Spot: "spot",
    Reach: "adapter",
    Timer: "timer",
    Chapter: "chapter",
    Stage: "stage",
    Run: "run",
    Waiver: "waiver",
    Approval: "approval",
    **{kind: f"{name} step" for kind, name in STEP_KINDS.items()},
}


def to_yaml(procedure: Procedure, header: Iterable[str] = ()) -> str:
    """Return ``procedure`` as the text of a file; ``header`` are lines of comment for its beginning."""
    it = procedure
    file: dict[str, Any] = {
        "procedure": thing_mapping("procedure", it),
        "preliminary": _preliminary(it),
        "groups": _value(it.groups),
        "timers": _value(it.timers),
        "chapters": _value(it.chapters),
        "closing": _value(it.closing),
        "waivers": _value(it.waivers),
        "approval": _value(it.approval),
    }
    sections = [write_tree({key: value}) for key, value in file.items() if value]
    return "".join(f"# {line}\n" for line in header) + "\n".join(sections)


def step_mapping(step: Step) -> dict[str, Any]:
    """Return the keys and values of ``step`` as they stand in a file: texts, lists and mappings."""
    return thing_mapping(_TABLES[type(step)], step)


def thing_mapping(table: str, thing: object) -> dict[str, Any]:
    """Return the keys of ``table`` and the values that ``thing`` has for them, as they stand in a file."""
    return _mapping(table, thing, _entries(thing))


def written_duration(seconds: int) -> str:
    """Return a length of time [s] as an author writes it.

    >>> written_duration(5400), written_duration(90), written_duration(86400)
    ('1 h 30 min', '1 min 30 s', '1 d')
    """
    parts = []
    for name, size in (("d", 86400), ("h", 3600), ("min", 60), ("s", 1)):
        count, seconds = divmod(seconds, size)
        if count:
            parts.append(f"{count} {name}")
    return " ".join(parts)


def written_bolts(bolts: Iterable[int]) -> str | list[str]:
    """Return bolt numbers in their order, in short: one range, or a list of ranges.

    >>> written_bolts((1, 2, 3)), written_bolts((3, 4, 2, 5, 6, 7, 1))
    ('1-3', ['3-4', '2', '5-7', '1'])
    """
    ranges = bolts_text(bolts).split(", ")
    return ranges[0] if len(ranges) == 1 else ranges


def written_limits(limits: Limits) -> str:
    """Return limits of a reading as an author writes them."""
    if limits.low is not None and limits.high is not None:
        return f"{plain(limits.low)} to {plain(limits.high)} {limits.unit}"
    if limits.low is not None:
        return f"at least {plain(limits.low)} {limits.unit}"
    return f"at most {plain(limits.high or Decimal(0))} {limits.unit}"


def _mapping(table: str, thing: object, special: Mapping[str, Any]) -> dict[str, Any]:
    """Return the keys of ``table``, its id first: from ``special``, else from the attribute of the same name."""
    made = {}
    for key in sorted(TABLES[table], key=lambda key: key.name != "id"):
        value = special[key.name] if key.name in special else _value(getattr(thing, key.name, None))
        if value not in (None, "", [], {}):
            made[key.name] = value
    return made


def _preliminary(it: Procedure) -> dict[str, Any]:
    """Return all six lists, the empty ones too: they must be written."""
    items = {
        key: [_mapping(table, item, {}) for item in getattr(it, key)]
        for key, table in (("support_equipment", "support equipment"), ("supplies", "supply"), ("spares", "spare"))
    }
    return {"conditions": list(it.conditions), "persons": _value(it.persons), **items, "safety": _value(it.safety)}


def _value(value: Any) -> Any:
    """Return a value of the model as texts, lists and mappings; None when there is nothing to write."""
    for kind, write in _WRITE.items():
        if isinstance(value, kind):
            return write(value)
    return None if value is None else _mapping(_TABLES[type(value)], value, _entries(value))


# In this order, because a member of an enumeration of texts is a text and a bool is an int.
_WRITE: Mapping[type, Callable[[Any], Any]] = {
    Enum: lambda value: str(value.value),
    str: lambda value: value,
    bool: lambda value: "yes" if value else None,
    int: str,
    Decimal: plain,
    Torque: str,
    Angle: str,
    Length: str,
    Limits: written_limits,
    Interval: written_interval,
    tuple: lambda value: [_value(one) for one in value],
}


def _entries(thing: object) -> dict[str, Any]:
    """Return what is written in another way than its attribute."""
    match thing:
        case Procedure(book_time=seconds):
            return {"book_time": None if seconds is None else written_duration(seconds)}
        case Hazard():
            return {thing.word.value: thing.hazard}
        case Group():
            order = "draft" if thing.order_drafted else written_bolts(thing.order)
            return {"bolts": written_bolts(thing.bolts), "class": thing.strength, "order": order}
        case Layout():
            return _layout_entries(thing)
        case Timer():
            return {thing.kind.value: written_duration(thing.seconds)}
        case Chapter():
            return {"chapter": thing.name}
        case Stage():
            shared = _shared(thing)
            key = "angle" if isinstance(shared, Angle) else "torque"
            purpose = None if thing.purpose is StagePurpose.TIGHTEN else thing.purpose.value
            return {"runs": [_run(run, shared) for run in thing.runs], key: _value(shared), "purpose": purpose}
        case Step():
            return _step_entries(thing)
    return {}


def _shared(stage: Stage) -> Torque | Angle | None:
    """Return the target that all runs of ``stage`` have; None when they differ, also in the unit that was written."""
    first = stage.runs[0].target
    return first if all(str(run.target) == str(first) for run in stage.runs) else None


def _run(run: Run, shared: Torque | Angle | None) -> dict[str, Any]:
    key = "angle" if isinstance(run.target, Angle) else "torque"
    limits = written_band(run.low, run.high)
    target = None if shared is not None and not limits else _value(run.target)
    word = "reverse" if run.drafted.endswith("reversed") else "order"
    bolts = word if run.drafted else written_bolts(run.bolts)
    return _mapping("run", run, {"bolts": bolts, key: target, "limits": limits})


def _layout_entries(layout: Layout) -> dict[str, Any]:
    middle = {key: plain(value) if value else None for key, value in (("x", layout.x), ("y", layout.y))}
    rows = [written_bolts(row) for row in layout.rows]
    return {"circle": written_bolts(layout.circle), "rows": rows, **middle}


def _step_entries(step: Step) -> dict[str, Any]:
    entries: dict[str, Any] = {
        STEP_KINDS[type(step)]: step.text,
        "starts": step.starts_timer,
        "before": step.before_timer,
        "turns": None if step.turns is None else "yes" if step.turns else "no",
    }
    match step:
        case CheckStep(expect=False):
            entries["answer"] = "no"
        case CountStep():
            entries[step.direction.value] = step.group
        case FitStep(quantity=1):
            entries["quantity"] = None
    return entries
