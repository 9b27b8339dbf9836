"""The answers about what was: the last torque, and what was read off last."""

from __future__ import annotations

from assistant.facts import Quantity
from assistant.fastening.quantities import Angle, AngleUnit, Torque, TorqueUnit
from assistant.language.values import StageAt, StepAt
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.part import part_of
from assistant.session.places import StepPlace
from assistant.session.stage_at import stage_named
from assistant.session.telling.core import Telling


def last_torque(t: Telling) -> list[str]:
    """Say the last torque with the value that was confirmed, and where and when that was."""
    last, say = t.state.last_torque, t.language.questions
    if last is None:
        return [say.no_torque_yet()]
    value = _value(last.target)
    setting = None if last.setting is None or last.setting == last.target else _value(last.setting)
    reading = None if last.reading is None else _value(last.reading)
    place = _place(t, last.step)
    group = t.job.groups.get(last.group)
    words = [*say.torque_was(value, setting, reading), say.last_bolts(group.name if group else "", last.bolts)]
    if place is not None:
        words.append(say.last_place(place, _stage(t, last.step, last.stage)))
    return [*words, say.ago(max(0, t.now_ms - last.at_ms) // 1000)]


def last_reading(t: Telling) -> list[str]:
    """Say what was read off last, and where."""
    last, say = t.state.last_reading, t.language.questions
    place = None if last is None else _place(t, last.step)
    if last is None or place is None:
        return [say.no_reading_yet()]
    step = t.job.places[t.job.index[last.step]]
    where = part_of(step.step).answers.get("last_reading") if isinstance(step, StepPlace) else None
    at = where(t, step.step) if where is not None and isinstance(step, StepPlace) else ()
    return [*say.reading_was(last.reading.value, last.reading.unit, place, last.bolt), *at]


def _stage(t: Telling, step: str, stage: int | None) -> StageAt | None:
    """Return how the stage is called, if its step has several."""
    known = next((one for one in t.job.steps_of(TightenStep) if one.id == step), None)
    return None if known is None or stage is None or stage > len(known.stages) else stage_named(known, stage)


def _value(quantity: Quantity) -> Torque | Angle:
    if quantity.unit == AngleUnit.DEGREE.value:
        return Angle(quantity.value, AngleUnit.DEGREE)
    return Torque(quantity.value, TorqueUnit(quantity.unit))


def _place(t: Telling, step: str) -> StepAt | None:
    """Return how the step with the id ``step`` is called."""
    place = t.job.places[t.job.index.get(step, 0)]
    return place.called if isinstance(place, StepPlace) and place.key == step else None
