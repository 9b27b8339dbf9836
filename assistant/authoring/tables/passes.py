"""A table whose rows are the passes of its stages, as makers print them: they stay in their order, row by row.

Nothing is sorted or guessed here. What a row says and the rows around it contradict is told, with row and column.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import groupby, pairwise
from typing import NamedTuple

from assistant.authoring.tables.head import Role
from assistant.authoring.tables.model import PassRead, TableAction, TableRow, Turn
from assistant.fastening.quantities import Angle
from assistant.faults import Fault
from assistant.procedure.steps.tighten import StagePurpose


class Clash(NamedTuple):
    """Why a row does not fit to those above it, and the column that says so."""

    row: TableRow
    role: Role
    fault: Fault


def in_passes(actions: Sequence[TableAction]) -> tuple[list[PassRead], list[Clash]]:
    """Return the passes that ``actions``, in the order of the table, make, and what does not fit together."""
    reader = _Passes()
    for _, stage in groupby(actions, key=lambda action: action.stage):
        reader.stage(list(stage))
    return reader.passes, reader.clashes


class _Passes:
    def __init__(self) -> None:
        self.passes: list[PassRead] = []
        self.clashes: list[Clash] = []
        self._seen: dict[str, str] = {}
        """The first row of each stage, by its name."""
        self._labels: dict[str, str] = {}

    def stage(self, actions: list[TableAction]) -> None:
        """Read the rows of one stage, which follow each other."""
        name, first = actions[0].stage, actions[0].row
        if name in self._seen:
            why = f"stage {name} begins in {self._seen[name]} already, and another stage stands between"
            hint = "give two stages two numbers, or put the rows of one together"
            self._clash(first, Role.STAGE, why, hint)
        label = next((one.row.said.label for one in actions if one.row.said.label), "")
        self._label(actions, name, label)
        reseat = next((one.row.said.reseat for one in actions if one.row.said.reseat), "")
        made: list[PassRead] = []
        part = 0
        for at, (row, some) in enumerate((row, list(some)) for row, some in groupby(actions, key=lambda one: one.row)):
            new = self._new(row, part, name, started=at > 0)
            if row.said.together and len(some) > 1:
                why = "the bolts of this row are of two groups, and are turned together"
                self._clash(row, Role.TOGETHER, why, "give each group a row")
            for action in some:
                if made and not new and (row.said.part or _joins(made[-1], action)):
                    self._add(made[-1], action, name)
                else:
                    said = replace(row.said, label=label, reseat=reseat)
                    made.append(PassRead([_turn(action)], name, said))
                new = False
            part = row.said.part
        self._whole(actions, made, name, reseat)
        self._seen.setdefault(name, first.place)
        self.passes += made

    def _label(self, actions: list[TableAction], name: str, label: str) -> None:
        other = next((one.row for one in actions if one.row.said.label not in ("", label)), None)
        if other is not None:
            why = f'stage {name} is called "{label}" above, and "{other.said.label}" here'
            self._clash(other, Role.LABEL, why, "keep one name")
        owner = self._labels.setdefault(label.lower(), name)
        if label and owner != name:
            why = f'stage {name} is called "{label}", as stage {owner} is'
            self._clash(actions[0].row, Role.LABEL, why, "give each stage a name of its own")

    def _new(self, row: TableRow, part: int, name: str, *, started: bool) -> bool:
        """Return whether a row begins a pass by its number; ``part`` is that of the row above, in the same stage."""
        mine = row.said.part
        if started and bool(mine) != bool(part):
            lacks = "it names no pass" if part else f"it is pass {mine}, and the row above names none"
            self._clash(row, Role.PASSES, f"{lacks}, in stage {name}", "number all passes of a stage, or none")
        elif mine and mine != part and mine != part + 1:
            before = f"comes after pass {part}" if part else "comes first"
            self._clash(
                row, Role.PASSES, f"pass {mine} of stage {name} {before}", "number them 1, 2, 3, in their order"
            )
        return mine != part

    def _add(self, one: PassRead, action: TableAction, name: str) -> None:
        """Add a row to the pass that it names, or goes on with."""
        said, row = one.said, action.row
        where = f"pass {said.part} of stage {name}" if said.part else f"stage {name}"
        for role, mine, theirs in (
            (Role.PURPOSE, row.said.purpose or said.purpose, said.purpose),
            (Role.REPEAT, row.said.repeat or said.repeat, said.repeat),
            (Role.TOGETHER, said.together if row.said.together is None else row.said.together, said.together),
        ):
            if mine != theirs:
                self._clash(row, role, f"it differs from the row above, and both are {where}", "make them agree")
        if isinstance(action.turn.target, Angle) != isinstance(one.turns[0].target, Angle):
            self._clash(row, Role.PASSES, f"{where} has a torque and an angle", "give each a pass of its own")
        taken = {(id(turn.group), bolt) for turn in one.turns for bolt in turn.bolts}
        twice = [bolt for bolt in action.turn.bolts if (id(action.turn.group), bolt) in taken]
        if twice:
            self._clash(row, Role.PASSES, f"bolt {twice[0]} stands twice in {where}", "give it a pass of its own")
        last, turn = one.turns[-1], _turn(action)
        single = len(turn.bolts) == 1 and not said.together and last.group is turn.group
        if single and (last.tool, str(last.target)) == (turn.tool, str(turn.target)):
            one.turns[-1] = Turn(turn.group, last.bolts + turn.bolts, turn.target, turn.tool)
        else:
            one.turns.append(turn)

    def _whole(self, actions: list[TableAction], made: list[PassRead], name: str, reseat: str) -> None:
        """Look at a whole stage: whether all of its passes are there, and where it leads back to."""
        last = actions[-1].row
        for of in {one.row.said.of for one in actions} - {0, len(made)}:
            why = f"stage {name} is said to have {of} passes, and has {len(made)} here"
            self._clash(last, Role.PASSES, why, "add the rows that are missing, or mend the number")
        if not reseat:
            return
        row = next(one.row for one in actions if one.row.said.reseat)
        if reseat not in self._seen:
            why = f"all is done once more from stage {reseat}, which does not come before stage {name}"
            self._clash(row, Role.RESEAT, why, "name an earlier stage")
        if any(one.said.purpose is not StagePurpose.LOOSEN for one in made) or any(
            one.row.said.reseat not in ("", reseat) for one in actions
        ):
            why = f"stage {name} leads back, and not all of its passes loosen, or not to one stage"
            self._clash(row, Role.RESEAT, why, "give what loosens a stage of its own")

    def _clash(self, row: TableRow, role: Role, why: str, hint: str) -> None:
        self.clashes.append(Clash(row, role, Fault(why, hint)))


def _turn(action: TableAction) -> Turn:
    return action.turn if not action.row.said.tool else replace(action.turn, tool=action.row.said.tool)


def _joins(one: PassRead, action: TableAction) -> bool:
    """Return whether a row without the number of a pass goes on with the pass above: like it, with other bolts."""
    said, mine, turn = one.said, action.row.said, action.turn
    like = (said.purpose, bool(said.together)) == (mine.purpose, bool(mine.together))
    once = said.repeat <= 1 and mine.repeat <= 1
    kind = isinstance(turn.target, Angle) == isinstance(one.turns[0].target, Angle)
    taken = {(id(other.group), bolt) for other in one.turns for bolt in other.bolts}
    return like and once and kind and not taken & {(id(turn.group), bolt) for bolt in turn.bolts}


def falling(rows: Sequence[TableRow]) -> Iterator[Clash]:
    """Yield the first row of each stage whose number is less than that of the stage before it."""
    for before, row in pairwise(rows):
        if before.stage and row.stage and row.stage[:2] < before.stage[:2]:
            why = f"stage {row.stage.name} stands behind stage {before.stage.name}, and is drafted as it stands"
            yield Clash(row, Role.STAGE, Fault(why, "put the rows in the order of the work"))
