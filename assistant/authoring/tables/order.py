"""The order that a table means: by its stages, or row by row, cut into passes that one tool can make."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from assistant.authoring.tables.model import PassRead, TableAction, TableBolts, TablePass, TableRow, Turn
from assistant.authoring.tables.values import TableTarget
from assistant.fastening.quantities import Angle


def in_stages(actions: Sequence[TableAction], *, named: bool) -> tuple[list[PassRead], TableRow | None]:
    """Return the passes that ``actions``, in the order of the table, make; and a row about which a person must decide.

    ``named`` says that the table names its stages. Otherwise, where bolts stand in several rows, the rows may be
    stages: they are taken as such when the columns alone would put them in another order, or give a bolt two values.
    """
    by_stage = _cut(sorted(actions, key=lambda action: action.place), by_pass=True)
    if named:
        return by_stage, None
    by_row = _cut(actions, by_pass=False)
    repeated = _repeated(actions, by_pass=_flat(by_row) == _flat(by_stage))
    return (by_stage if repeated is None else by_row), repeated


def _repeated(actions: Sequence[TableAction], *, by_pass: bool) -> TableRow | None:
    """Return the first row with a bolt that an earlier row has too; with ``by_pass``, has in the same pass."""
    seen: dict[tuple[int, int, TablePass | None], TableRow] = {}
    for place, row, turn, _ in actions:
        for bolt in turn.bolts:
            if seen.setdefault((id(turn.group), bolt, place if by_pass else None), row) is not row:
                return row
    return None


def _cut(actions: Sequence[TableAction], *, by_pass: bool) -> list[PassRead]:
    """Cut actions, in their order, into passes: none takes a bolt twice, or has both torques and angles."""
    passes: list[PassRead] = []
    last: TablePass | None = None
    taken: set[tuple[int, int]] = set()
    for place, _, turn, stage in actions:
        bolts = {(id(turn.group), bolt) for bolt in turn.bolts}
        angle = _kind(turn.target)
        same = not by_pass or place == last
        turns = passes[-1].turns if passes else []
        if turns and same and _kind(turns[-1].target) == angle and not bolts & taken:
            before = turns[-1]
            if before.group is turn.group and str(before.target) == str(turn.target):
                turns[-1] = Turn(turn.group, before.bolts + turn.bolts, turn.target)
            else:
                turns.append(turn)
        else:
            passes.append(PassRead([turn], stage))
            taken = set()
        taken |= bolts
        last = place
    return passes


def _flat(passes: list[PassRead]) -> list[tuple[int, int, str]]:
    return [(id(turn.group), bolt, str(turn.target)) for one in passes for turn in one.turns for bolt in turn.bolts]


def _kind(target: TableTarget) -> bool:
    """Return whether a target is an angle."""
    return isinstance(target, Angle)


def behind_in_pass(
    targets: dict[TablePass, TableTarget], done: Sequence[tuple[TablePass, TableTarget]]
) -> dict[TablePass, TableTarget]:
    """Return ``targets`` with a torque behind the angle, and an angle behind the torque, that ``done`` has in its pass.

    The torque and the angle of one stage may stand in two rows; two torques of one stage are a slip.
    """
    made: dict[TablePass, TableTarget] = {}
    for place, target in targets.items():
        at = place
        while at in made or any(one == at and _kind(other) != _kind(target) for one, other in done):
            at = at._replace(part=at.part + 1)
        made[at] = target
    return made


def joints(groups: Sequence[TableBolts]) -> Iterator[list[TableBolts]]:
    """Yield groups that are tightened in one step: no number stands twice in it, and one joint is numbered through."""
    found: list[list[TableBolts]] = []
    for group in groups:
        one = next((one for one in found if not any(set(group.bolts) & set(other.bolts) for other in one)), None)
        if one is None:
            found.append([group])
        else:
            one.append(group)
    yield from found
