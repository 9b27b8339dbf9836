"""Which tool to take for each bolt, and what to set on it.

For every single target the tools that can do it are worked out once: wrench, adapter if the place asks for one,
multiplier if the need names one or no wrench reaches far enough. What is taken over a whole stage is in
:mod:`assistant.fastening.tool_plan`.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction

from assistant.facts.codes import Why
from assistant.fastening.faults import Unfit
from assistant.fastening.multiplier import combined_accuracy, input_torque, ratio_unknown, reaction_torque
from assistant.fastening.quantities import Torque, TorqueUnit
from assistant.fastening.tools import Adapter, ToolBox, TorqueMultiplier, TorqueWrench
from assistant.fastening.wrench import final_torque, lever_ratio, mark
from assistant.faults import Fault

# Costs. Ours; only their order matters: a tool that is due is worse than any change, a change worse than a poor place
# in the range, and that worse than another unit or a coarse scale.
_DUE, _MULTIPLIED, CHANGE, _LOW_END, _EDGE, _OTHER_UNIT = 20.0, 4.0, 1.0, 0.6, 0.3, 0.25
LEAST_PART, _BEST = Fraction(1, 5), (Fraction(3, 10), Fraction(9, 10))
"""Wrenches are tested from 20 percent of their range on (ISO 6789:2003, 6.5, from memory); 30 to 90 percent is best
(common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Need:
    """What one bolt wants: ``target`` with ``low`` and ``high`` limits, and the ``drag`` of its nut.

    ``adapter`` is the one that its place asks for, ``multiplier`` the one that must be used (ids of the tool box, or
    None). ``unit`` is the one that values are said in; None for that of the target.
    """

    target: Torque
    low: Torque | None = None
    high: Torque | None = None
    drag: Torque | None = None
    adapter: str | None = None
    multiplier: str | None = None
    unit: TorqueUnit | None = None


@dataclass(frozen=True, slots=True)
class Choice:
    """A way to do it: tools, the marking to set, what then arrives at the bolt, and the accuracy [%] of the chain.

    ``at_bolt`` has the drag in it. ``reaction`` is what the multiplier's arm pushes with.
    """

    wrench: TorqueWrench
    adapter: Adapter | None
    multiplier: TorqueMultiplier | None
    setting: Torque
    at_bolt: Torque
    accuracy: Decimal
    reaction: Torque | None
    cost: float

    @property
    def tools(self) -> tuple[str, str | None, str | None]:
        """Return the ids of wrench, adapter and multiplier."""
        return (
            self.wrench.id,
            self.adapter.id if self.adapter else None,
            self.multiplier.id if self.multiplier else None,
        )


def choices(need: Need, box: ToolBox, today: date) -> tuple[Choice, ...] | Unfit:
    """Return every way to do a ``need`` [torque] with the tools of ``box`` [tools] on ``today`` [date], best first.

    A multiplier is taken where the need names one, or where no wrench reaches far enough without.

    Formula: setting = (target + drag) / (multiplier ratio x lever ratio), to the nearest marking within the limits.

    Source: see :mod:`assistant.fastening.wrench` and :mod:`assistant.fastening.multiplier`.

    >>> from assistant.fastening.tools import TorqueWrench
    >>> from assistant.fastening.units import parse_torque
    >>> scale = [parse_torque(text) for text in ("5 N·m", "50 N·m", "0.5 N·m")]
    >>> box = ToolBox((TorqueWrench("w", "small wrench", "II A", *scale, calibrated=date(2026, 1, 10)),))
    >>> best = choices(Need(parse_torque("35.5 N·m")), box, date(2026, 3, 1))[0]
    >>> best.wrench.id, str(best.setting), best.accuracy
    ('w', '35.5 N·m', Decimal('4'))
    """
    adapter = None
    if need.adapter is not None:
        adapter = next((tool for tool in box.adapters if tool.id == need.adapter), None)
        if adapter is None:
            return Unfit(
                f"There is no adapter {need.adapter} in the tool box",
                "add it to the tools, or use another",
                Why.NO_ADAPTER,
                need.adapter,
                name=need.adapter,
            )
    if not box.wrenches:
        return Unfit(
            "There is no torque wrench in the tool box", "add one to the tools before you begin", Why.NO_WRENCH
        )
    multipliers: tuple[TorqueMultiplier | None, ...] = (None, *box.multipliers)
    if need.multiplier is not None:
        multipliers = tuple(tool for tool in box.multipliers if tool.id == need.multiplier)
        if not multipliers:
            return Unfit(
                f"There is no multiplier {need.multiplier} in the tool box", "add it to the tools",
                Why.NOT_IN_FILE, need.multiplier, name=need.multiplier,
            )  # fmt: skip
    found: list[Choice] = []
    refused: list[Unfit] = []
    for multiplier in multipliers:
        for wrench in box.wrenches:
            choice = _try(need, wrench, adapter, multiplier, today)
            if isinstance(choice, Choice):
                found.append(choice)
            else:
                refused.append(choice)
        if found and multiplier is None:
            break
    if found:
        return tuple(sorted(found, key=lambda choice: (choice.cost, str(choice.tools))))
    return Unfit(
        f"No tool here gives {need.target}",
        "; ".join(dict.fromkeys(fault.sentence for fault in refused)),
        Why.NOTHING,
        reasons=tuple(dict.fromkeys(refused)),
        value=need.target,
    )


def _try(
    need: Need, wrench: TorqueWrench, adapter: Adapter | None, multiplier: TorqueMultiplier | None, today: date
) -> Choice | Unfit:
    """Return how this chain would do it, or why it cannot."""
    drag = need.drag or need.target * 0
    parts: list[Torque | None] = []
    ratio = Fraction(1)
    if adapter is not None:
        if wrench.lever is None:
            return Unfit(
                f"The lever of the {wrench.name} is not known",
                "measure it and add it to the tools",
                Why.LEVER,
                wrench.id,
                name=wrench.name,
            )
        lever = lever_ratio(wrench.lever, adapter.length, adapter.angle)
        if isinstance(lever, Fault):
            return Unfit(lever.reason, lever.advice, Why.REACH, wrench.id, name=wrench.name)
        ratio = lever
    for wanted in (need.target, need.low, need.high):
        final = None if wanted is None else final_torque(wanted, drag)
        if isinstance(final, Fault):
            return Unfit(final.reason, final.advice, Why.DRAG)
        if final is not None and multiplier is not None:
            if final > multiplier.rated_output:
                return Unfit(
                    f"{final} is over the rating of the {multiplier.name}",
                    f"its most is {multiplier.rated_output}",
                    Why.RATING,
                    multiplier.id,
                    name=multiplier.name,
                    value=final,
                    edge=multiplier.rated_output,
                )
            if multiplier.torque_ratio is None:
                return ratio_unknown(multiplier, "torque")
            final = input_torque(final, multiplier.torque_ratio)
            if isinstance(final, Fault):
                return Unfit(final.reason, final.advice, Why.RATIO, multiplier.id, name=multiplier.name)
        parts.append(None if final is None else final / ratio)
    exact, low, high = parts
    assert exact is not None
    outside = _outside(exact, wrench)
    if outside is not None:
        return outside
    setting = mark(exact, wrench.graduation, low, high)
    if isinstance(setting, Fault):
        return Unfit(
            f"The {wrench.name} cannot be set: {setting.reason}",
            setting.advice,
            Why.TOO_COARSE,
            wrench.id,
            name=wrench.name,
            value=exact.to(wrench.graduation.unit).rounded(wrench.graduation.value / 100),
        )
    outside = _outside(setting, wrench)
    if outside is not None:
        return outside
    unit = need.unit or need.target.unit
    put_in = setting.to(unit) * ratio
    at_bolt = put_in if multiplier is None else put_in * (multiplier.torque_ratio or 1)
    accuracy = wrench.accuracy
    if multiplier is not None:
        accuracy = combined_accuracy((accuracy, multiplier.accuracy))
    cost = _cost(exact, setting, wrench, unit) + (_DUE if wrench.due(today).why else 0.0)
    return Choice(
        wrench=wrench,
        adapter=adapter,
        multiplier=multiplier,
        setting=setting,
        at_bolt=at_bolt,
        accuracy=accuracy,
        reaction=None if multiplier is None else reaction_torque(at_bolt, put_in),
        cost=cost + (_MULTIPLIED if multiplier is not None else 0.0),
    )


def _outside(setting: Torque, wrench: TorqueWrench) -> Unfit | None:
    """Say if a setting lies outside the scale; a wrench is never set below its lowest marking."""
    shown = setting.to(wrench.unit).rounded(wrench.graduation.value / 10)
    if setting < wrench.low:
        reason, edge, code = f"{shown} is below the lowest marking of the {wrench.name}", wrench.low, Why.BELOW_SCALE
        return Unfit(reason, f"its scale begins at {edge}", code, wrench.id, name=wrench.name, value=shown, edge=edge)
    if setting > wrench.high:
        reason, edge, code = f"{shown} is above the scale of the {wrench.name}", wrench.high, Why.ABOVE_SCALE
        return Unfit(reason, f"its scale ends at {edge}", code, wrench.id, name=wrench.name, value=shown, edge=edge)
    return None


def _cost(exact: Torque, setting: Torque, wrench: TorqueWrench, unit: TorqueUnit) -> float:
    part = setting / wrench.high
    cost = 0.05 * abs(float(part) - 0.6)
    if part < LEAST_PART:
        cost += _LOW_END
    elif not _BEST[0] <= part <= _BEST[1]:
        cost += _EDGE
    if wrench.unit is not unit:
        cost += _OTHER_UNIT
    return cost + 10 * abs(float(setting / exact) - 1)
