"""What an author answers in one line each when a new procedure is drafted: bolts, readings, gates, waits, amounts."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field

from assistant.authoring.skeleton import DraftHead
from assistant.authoring.tables.values import NO_VALUE, Size, TableTarget, parse_bolt_size, parse_targets
from assistant.faults import Fault, quoted
from assistant.procedure.amounts import Amount
from assistant.procedure.format.values import (
    MOST_BOLTS,
    parse_amount,
    parse_duration,
    parse_limits,
    written_duration,
    written_limits,
)

Stages = tuple[tuple[TableTarget, ...], ...]
"""The targets of each stage in their order; one with more than one has as many passes."""
_PASSES = re.compile(r"(?:^|,)\s*\(([^()]*)\)\s*(?=,|$)")
_COLUMN = re.compile(r"([A-Za-z][A-Za-z' -]*?)\s+((?:at\s|-?\d).*)", re.DOTALL)
_BETWEEN_COLUMNS = re.compile(r",(?!\d)")
_KEYS = ("gate", "witness")
_MADE = {"cure": "cure", "cures": "cure", "cool": "cool", "cools": "cool"}


@dataclass(frozen=True, slots=True)
class BoltsWanted:
    """A group that the person named, with its stages in their order, and whether new ones are fitted."""

    name: str
    size: Size
    count: int
    stages: Stages
    new: bool

    @property
    def targets(self) -> tuple[TableTarget, ...]:
        """Return the targets of all passes of all stages, in their order."""
        return tuple(target for stage in self.stages for target in stage)


@dataclass(frozen=True, slots=True)
class ReadingsWanted:
    """A table of readings: what is measured, at ``each`` ``of`` what, and name and limits of every reading."""

    name: str
    each: str
    of: str
    columns: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class CheckWanted:
    """A question that is a gate, that a second person witnesses, or both."""

    question: str
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WaitWanted:
    """Something that cures or cools (``how``), and how ``long``, as it stands in a file."""

    name: str
    how: str
    long: str


@dataclass(frozen=True, slots=True)
class AmountWanted:
    """What is filled in, and how much of it."""

    name: str
    amount: Amount


@dataclass(frozen=True, slots=True)
class Wanted:
    """All answers about one procedure."""

    head: DraftHead
    bolts: Sequence[BoltsWanted] = ()
    spares: Sequence[str] = ()
    """Names of other parts that are fitted new."""
    readings: Sequence[ReadingsWanted] = field(default_factory=list)
    checks: Sequence[CheckWanted] = field(default_factory=list)
    waits: Sequence[WaitWanted] = field(default_factory=list)
    amounts: Sequence[AmountWanted] = field(default_factory=list)


def parse_bolts_wanted(text: str) -> BoltsWanted | Fault:
    """Read the answer about one group: name; size; count; stages; and "new" when new ones are fitted.

    >>> parse_bolts_wanted("cover bolts; M8; 4; 5 Nm, 16 Nm, 45°").count
    4
    >>> parse_bolts_wanted("cover bolts; M8; four").sentence
    'The third entry "four" is not a number of bolts: write one from 1 to 99'
    """
    entries = _entries(text)
    new = entries[-1].lower() == "new"
    entries = entries[:-1] if new else entries
    if not 3 <= len(entries) <= 4 or not entries[0]:
        return Fault(
            "There are not three or four entries",
            "write name; size; count; stages, such as cover bolts; M8; 4; 5 Nm, 16 Nm, 45°",
        )
    size = Size("") if entries[1] in NO_VALUE else parse_bolt_size(entries[1])
    if isinstance(size, Fault):
        return size
    if not (entries[2].isascii() and entries[2].isdecimal() and 1 <= int(entries[2][:4]) <= MOST_BOLTS):
        return Fault(
            f'The third entry "{entries[2][:40]}" is not a number of bolts', f"write one from 1 to {MOST_BOLTS}"
        )
    stages = parse_stages(entries[3]) if len(entries) == 4 else ()
    return stages if isinstance(stages, Fault) else BoltsWanted(entries[0], size, int(entries[2]), stages, new)


def parse_stages(text: str) -> Stages | Fault:
    """Read targets in their order; those in brackets are the passes of one stage.

    >>> [len(stage) for stage in parse_stages("5 Nm, (16 Nm, 45°), 90°")]
    [1, 2, 1]
    """
    if text in NO_VALUE:
        return ()
    made: list[tuple[TableTarget, ...]] = []
    for place, piece in enumerate(_PASSES.split(text)):
        inside = place % 2 == 1
        if not inside and not piece.strip(", "):
            continue
        targets = parse_targets(piece.strip(", "), None)
        if isinstance(targets, Fault):
            return targets
        made.extend([targets] if inside else [(target,) for target in targets])
    return tuple(made)


def parse_readings(text: str) -> ReadingsWanted | Fault:
    """Read the answer about a table: name; each; which; the readings with their limits.

    >>> parse_readings("valve clearances; cylinder; 1-6; intake 0.15 to 0.25 mm, exhaust at most 0.35 mm").columns
    (('intake', '0.15 to 0.25 mm'), ('exhaust', 'at most 0.35 mm'))
    >>> parse_readings("brake pads; wheel; front left, front right; inner 3").sentence
    '"3" is not a pair of limits with a unit: write for example 0.20 to 0.30 mm, at least 2 bar or at most 0.05 mm'
    """
    entries = _entries(text)
    if len(entries) != 4 or not all(entries):
        hint = "write name; each; which; readings, such as valve clearances; cylinder; 1-6; intake 0.15 to 0.25 mm"
        return Fault("There are not four entries", hint)
    columns = []
    for piece in _BETWEEN_COLUMNS.split(entries[3]):
        found = _COLUMN.fullmatch(piece.strip())
        if found is None:
            return Fault(
                f"{quoted(piece.strip())} is not a name and its limits", "write such as intake 0.15 to 0.25 mm"
            )
        limits = parse_limits(re.sub(r"(?<=\d),(?=\d)", ".", found[2]))
        if isinstance(limits, Fault):
            return limits
        columns.append((found[1], written_limits(limits)))
    return ReadingsWanted(entries[0], entries[1], entries[2], tuple(columns))


def parse_check(text: str) -> CheckWanted | Fault:
    """Read the answer about a check that must hold: the question, then gate, witness or both; alone it is a gate.

    >>> parse_check("Do the marks line up?; witness")
    CheckWanted(question='Do the marks line up?', keys=('witness',))
    """
    question, *keys = _entries(text)
    wrong = [key for key in keys if key.lower() not in _KEYS]
    if wrong or not question:
        what = f"{quoted(wrong[0])} is neither gate nor witness" if wrong else "There is no question"
        return Fault(what, "write such as Do the marks line up; gate; witness")
    asked = {key.lower() for key in keys} or {"gate"}
    return CheckWanted(f"{question.rstrip('?. ')}?", tuple(key for key in _KEYS if key in asked))


def parse_wait(text: str) -> WaitWanted | Fault:
    """Read the answer about something that cures or cools: its name; cure or cool; how long.

    >>> parse_wait("sealant; cure; 90 min")
    WaitWanted(name='sealant', how='cure', long='1 h 30 min')
    """
    entries = _entries(text)
    if len(entries) != 3 or not entries[0] or entries[1].lower() not in _MADE:
        return Fault("That is not a name, cure or cool, and a time", "write such as sealant; cure; 30 min")
    seconds = parse_duration(entries[2])
    if isinstance(seconds, Fault):
        return seconds
    return WaitWanted(entries[0], _MADE[entries[1].lower()], written_duration(seconds))


def parse_amount_wanted(text: str) -> AmountWanted | Fault:
    """Read the answer about something that is filled in: its name; how much.

    >>> parse_amount_wanted("gear oil; 11 l").amount.unit
    'l'
    """
    entries = _entries(text)
    if len(entries) != 2 or not entries[0]:
        return Fault("There are not two entries", "write name; amount, such as gear oil; 11 l")
    amount = parse_amount(re.sub(r"(?<=\d),(?=\d)", ".", entries[1]))
    return amount if isinstance(amount, Fault) else AmountWanted(entries[0], amount)


def _entries(text: str) -> list[str]:
    return [" ".join(entry.split()) for entry in text.split(";")]
