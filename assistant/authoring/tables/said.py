"""What a row of a table says of its pass: number, purpose, repetitions, tool; each as a value, or as a Fault."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from assistant.authoring.tables.head import Role
from assistant.authoring.tables.model import RowSaid, TablePass
from assistant.authoring.tables.stages import parse_stage
from assistant.authoring.tables.values import TableTarget
from assistant.fastening.chunks import MOST_THINGS
from assistant.fastening.quantities import Angle
from assistant.faults import Fault, quoted
from assistant.procedure.steps.tighten import StagePurpose
from assistant.procedure.steps.tighten_keys import MOST_REPEATS

_PURPOSES = {
    StagePurpose.TIGHTEN: r"tighten|torque|turn|angle|further turn|tightening",
    StagePurpose.LOOSEN: r"loosen|slacken|back off|undo|loosening",
    StagePurpose.CHECK: r"check|re-?check|verify|check torque",
}
_YES_NO = {"yes": True, "y": True, "x": True, "✓": True, "together": True, "no": False, "n": False}

Wrong = tuple[Role, Fault]


def parse_said(cells: dict[Role, str]) -> tuple[RowSaid, list[Wrong]]:
    """Read the cells of one row by their role; "" where nothing stands."""
    given: dict[str, Any] = {}
    wrong: list[Wrong] = []
    for role, parse in _CELLS.items():
        text = cells.get(role, "")
        found = parse(text) if text else {}
        if isinstance(found, Fault):
            wrong.append((role, found))
        else:
            given |= found
    return RowSaid(**given), wrong


def misfits(said: RowSaid, targets: dict[TablePass, TableTarget], bolts: tuple[int, ...]) -> list[Wrong]:
    """Return what cannot be done as one row says it."""
    found: list[Wrong] = []
    angles = {isinstance(target, Angle) for target in targets.values()}
    if said.purpose is StagePurpose.LOOSEN and False in angles:
        found.append(
            (Role.PURPOSE, Fault("it loosens and has a torque", "write how far it is turned back, as an angle"))
        )
    if said.purpose is StagePurpose.CHECK and True in angles:
        found.append((Role.PURPOSE, Fault("it checks and has an angle", "write the torque that it is checked at")))
    if said.repeat > 1 and said.purpose in (StagePurpose.LOOSEN, StagePurpose.CHECK):
        what = "loosens" if said.purpose is StagePurpose.LOOSEN else "checks"
        found.append((Role.REPEAT, Fault(f"a pass that {what} is repeated here", "take the number out, or write rows")))
    if said.reseat and said.purpose is not StagePurpose.LOOSEN:
        found.append(
            (Role.RESEAT, Fault("only a stage that loosens is followed by others again", "say that it loosens"))
        )
    if said.together and (len(bolts) == 1 or len(bolts) > MOST_THINGS):
        many = "one bolt alone" if len(bolts) == 1 else f"{len(bolts)} bolts"
        why = f"{many} cannot be turned together"
        found.append((Role.TOGETHER, Fault(why, f"write rows of two to {MOST_THINGS} bolts")))
    if len(targets) > 1 and (said.part or said.repeat > 1 or said.purpose or said.together):
        which = Role.PASSES if said.part else Role.REPEAT if said.repeat > 1 else Role.PURPOSE
        found.append((which, Fault(f"this row is one pass and has {len(targets)} values", "give each value a row")))
    return found


def _part(text: str) -> dict[str, Any] | Fault:
    found = re.fullmatch(r"(?:pass )?(\d{1,2})(?: ?(?:of|/) ?(\d{1,2}))?", text.lower(), re.ASCII)
    if not found or int(found[1]) == 0 or (found[2] and int(found[2]) < int(found[1])):
        return Fault(f"{quoted(text)} is not the number of a pass", "write 1, 2, 3, or 1 of 3")
    return {"part": int(found[1]), "of": int(found[2] or 0)}


def _purpose(text: str) -> dict[str, Any] | Fault:
    for purpose, words in _PURPOSES.items():
        if re.fullmatch(words, text.lower()):
            return {"purpose": purpose}
    return Fault(f"{quoted(text)} is not known", "write tighten, loosen or check")


def _repeat(text: str) -> dict[str, Any] | Fault:
    found = re.fullmatch(r"[x×]? ?(\d{1,2})(?: ?[x×]| times)?", text.lower(), re.ASCII)
    if found and 1 <= int(found[1]) <= MOST_REPEATS:
        return {"repeat": int(found[1])}
    return Fault(f"{quoted(text)} is not how often a pass is done", f"write a number from 1 to {MOST_REPEATS}")


def _together(text: str) -> dict[str, Any] | Fault:
    if text.lower() in _YES_NO:
        return {"together": _YES_NO[text.lower()]}
    return Fault(f"{quoted(text)} does not say whether they are turned together", "write yes or no")


def _reseat(text: str) -> dict[str, Any] | Fault:
    label = parse_stage(re.sub(r"^from\s+", "", text.lower()))
    if label is None:
        return Fault(f"{quoted(text)} is not the number of a stage", "write the one from which all is done once more")
    return {"reseat": label.name}


_CELLS: dict[Role, Callable[[str], dict[str, Any] | Fault]] = {
    Role.PASSES: _part,
    Role.LABEL: lambda text: {"label": text},
    Role.PURPOSE: _purpose,
    Role.REPEAT: _repeat,
    Role.TOGETHER: _together,
    Role.TOOL: lambda text: {"tool": text},
    Role.RESEAT: _reseat,
}
