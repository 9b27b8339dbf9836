"""Which tools to take over a whole stage.

The chain of choices with the least cost is taken, where a change of tool costs too, so that the mechanic does not swap
wrenches for a little gain.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import groupby, pairwise

from assistant.facts.codes import Why
from assistant.fastening.choice import CHANGE, LEAST_PART, Choice, Need, choices
from assistant.fastening.faults import Unfit
from assistant.fastening.tools import ToolBox, TorqueWrench


@dataclass(frozen=True, slots=True)
class Plan:
    """Choices for needs one after another, what must be said before the stage begins, and how often tools change.

    A place in ``choices`` is None where nothing suits; ``faults`` says why. ``warnings`` do not stop the work.
    """

    choices: tuple[Choice | None, ...]
    faults: tuple[Unfit, ...]
    warnings: tuple[Unfit, ...]
    changes: int


def plan(needs: Sequence[Need], box: ToolBox, today: date) -> Plan:
    """Choose tools for ``needs`` [torques in the order of the bolts] from ``box`` [tools] on ``today`` [date].

    Formula: least sum of the costs of the choices and of the changes between them (dynamic programming).

    Source: the suitable range follows ISO 6789:2003, 6.5 (from memory); the costs are ours.

    >>> from assistant.fastening.tools import TorqueWrench
    >>> from assistant.fastening.units import parse_torque
    >>> scale = [parse_torque(text) for text in ("5 N·m", "50 N·m", "0.5 N·m")]
    >>> box = ToolBox((TorqueWrench("w", "small wrench", "II A", *scale, calibrated=date(2026, 1, 10)),))
    >>> found = plan([Need(parse_torque("20 N·m")), Need(parse_torque("60 N·m"))], box, date(2026, 3, 1))
    >>> [choice and str(choice.setting) for choice in found.choices], len(found.faults)
    (['20.0 N·m', None], 1)
    """
    options: dict[Need, tuple[Choice, ...]] = {}
    faults: dict[Need, Unfit] = {}
    for need in dict.fromkeys(need for need, _ in groupby(needs)):
        found = choices(need, box, today)
        if isinstance(found, Unfit):
            faults[need] = found
        else:
            options[need] = found
    runs = [(need, len(list(same))) for need, same in groupby(needs)]
    path = iter(_cheapest([(options[need], count) for need, count in runs if need in options]))
    taken: list[Choice | None] = []
    for need, count in runs:
        taken += [next(path) if need in options else None] * count
    used = [choice for choice in taken if choice is not None]
    changes = sum(first.tools != second.tools for first, second in pairwise(used))
    return Plan(tuple(taken), tuple(dict.fromkeys(faults.values())), warnings_of(used, today), changes)


def _cheapest(ladder: Sequence[tuple[tuple[Choice, ...], int]]) -> list[Choice]:
    """Return the cheapest choice for each run of equal needs, given its options and its length.

    A change inside a run is never cheaper than one at its end, because each bolt of the run costs the same.
    """
    costs: list[float] = []
    back: list[list[int]] = []
    before: tuple[Choice, ...] = ()
    for here, count in ladder:
        same = {choice.tools: place for place, choice in enumerate(before)}
        cheapest = min(range(len(before)), key=costs.__getitem__, default=0)
        moves, sums = [], []
        for choice in here:
            stay = same.get(choice.tools, cheapest)
            move = stay if before and costs[stay] <= costs[cheapest] + CHANGE else cheapest
            changed = bool(before) and before[move].tools != choice.tools
            moves.append(move)
            sums.append((costs[move] if before else 0.0) + (CHANGE if changed else 0.0) + count * choice.cost)
        costs, before = sums, here
        back.append(moves)
    path: list[Choice] = []
    place = min(range(len(costs)), key=costs.__getitem__, default=0)
    for (here, _), moves in zip(reversed(ladder), reversed(back), strict=True):
        path.append(here[place])
        place = moves[place]
    return path[::-1]


def warnings_of(used: Sequence[Choice], today: date) -> tuple[Unfit, ...]:
    """Return what must be known about the tools of ``used`` [choices] on ``today`` [date], without stopping the work.

    Formula: a wrench is low on its scale where setting / end of the scale is less than a fifth.

    Source: ISO 6789:2003, 6.5 (from memory).

    >>> from assistant.fastening.tools import TorqueWrench
    >>> from assistant.fastening.units import parse_torque
    >>> scale = [parse_torque(text) for text in ("5 N·m", "50 N·m", "0.5 N·m")]
    >>> box = ToolBox((TorqueWrench("w", "small wrench", "II A", *scale, calibrated=date(2026, 1, 10)),))
    >>> used = choices(Need(parse_torque("8 N·m")), box, date(2026, 3, 1))
    >>> [one.reason for one in warnings_of(used, date(2026, 3, 1))]
    ['8.0 N·m is in the lowest fifth of the small wrench']
    """
    warnings: dict[str, Unfit] = {}
    for choice in {id(choice): choice for choice in used}.values():
        tool = choice.wrench
        if (due := due_fault(tool, today)) is not None:
            warnings[f"due {tool.id}"] = due
        if choice.setting / tool.high < LEAST_PART:
            warnings[f"low {tool.id}"] = Unfit(
                f"{choice.setting} is in the lowest fifth of the {tool.name}", "a smaller wrench is more exact",
                Why.LOWEST_FIFTH, tool.id, name=tool.name, value=choice.setting,
            )  # fmt: skip
        if choice.reaction is not None and choice.multiplier is not None:
            arm = choice.reaction.rounded(Decimal(1))
            warnings[f"arm {choice.multiplier.id} {arm}"] = Unfit(
                f"The arm of the {choice.multiplier.name} pushes back with {arm}",
                "rest it on a solid stop and keep hands away before you load it",
                Why.ARM, choice.multiplier.id, name=choice.multiplier.name, value=arm,
            )  # fmt: skip
    return tuple(warnings.values())


def due_fault(tool: TorqueWrench, today: date) -> Unfit | None:
    """Return that the wrench ``tool`` [tool] is due for calibration on ``today`` [date]; None where it is not.

    Formula: that of :func:`assistant.fastening.calibration.calibration_due`.

    Source: ISO 6789-1:2017, 5.3 (from memory).

    >>> from assistant.fastening.units import parse_torque
    >>> scale = [parse_torque(text) for text in ("5 N·m", "50 N·m", "0.5 N·m")]
    >>> wrench = TorqueWrench("w", "small wrench", "II A", *scale, calibrated=date(2025, 1, 10))
    >>> due_fault(wrench, date(2026, 3, 1)).reason, due_fault(wrench, date(2025, 3, 1))
    ('The small wrench is not to be trusted', None)
    """
    due = tool.due(today)
    if not due.why:
        return None
    reason, advice = f"The {tool.name} is not to be trusted", f"{due.why}, so have it checked"
    return Unfit(reason, advice, Why.DUE, tool.id, name=tool.name, due=due)
