"""Shims that were proposed, in the record: beside the shim that was fitted, and beside the one that was left."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from assistant.facts.codes import ShimWay, TakenWhen
from assistant.facts.shims import ShimProposal, ShimsWorkedOut, ShimTold
from assistant.journal.port import Entry
from assistant.procedure.rows import TableColumn
from assistant.report.record.printing import Names, prints
from assistant.report.record.values import amount_text

_WAYS = {ShimWay.KEEP: "kept", ShimWay.BOX: "from the box", ShimWay.BUY: "to buy"}


STAYS = "stays"
"""What is told of a shim that was not read off, since the clearance of its valve is within limits."""
_NO_ANSWER = "-"


def proposal_words(one: ShimProposal) -> str:
    """Return a proposal in words: the new shim, where it comes from, and the clearance to expect."""
    if one.way is ShimWay.NONE:
        off = amount_text(one.off).removeprefix("-")
        side = "above" if one.off.value > 0 else "below"
        return f"no shim reaches: {amount_text(one.shim)} leaves it {off} {side} the limits"
    way = f"from {one.source.row} {one.source.column}" if one.source else _WAYS.get(one.way, "")
    near = ", NEAR A LIMIT" if one.near else ""
    return f"{amount_text(one.shim)} {way}, then {amount_text(one.expected)}{near}"


@prints(ShimsWorkedOut)
def _worked_out(fact: ShimsWorkedOut, _: Names) -> str:
    told = [f"{one.at.row} {one.at.column}: {proposal_words(one)}" for one in fact.proposals]
    told += [f"{one.row} {one.column}: not worked out" for one in fact.without]
    gauge = f"gauge {amount_text(fact.gauge)}{', assumed' if fact.assumed else ''}"
    return f"shims proposed ({gauge}): {'; '.join(told) or 'none'}"


@prints(ShimTold)
def _told(fact: ShimTold, _: Names) -> str:
    return f"told the shim of {fact.at.row} {fact.at.column}" if fact.at else "told that there is no further shim"


def proposals_in(entries: Iterable[Entry]) -> Mapping[tuple[str, str, str], str]:
    """Return what was proposed last, in words, by the step of the table, the row and the column of the clearance."""
    found: dict[tuple[str, str, str], str] = {}
    for entry in entries:
        if isinstance(fact := entry.fact, ShimsWorkedOut):
            found = {key: words for key, words in found.items() if key[0] != fact.step}
            found |= {(fact.step, one.at.row, one.at.column): proposal_words(one) for one in fact.proposals}
            found |= {(fact.step, one.row, one.column): _NO_ANSWER for one in fact.without}
            found[fact.step, "", ""] = STAYS
    return found


def proposed_for(proposals: Mapping[tuple[str, str, str], str], step: str, row: str, column: TableColumn) -> str:
    """Return what was proposed for the shim of ``column`` in the table of ``step``; "" where nothing was."""
    if not column.shim_for:
        return ""
    whens = (None, TakenWhen.FOUND)
    names = {TableColumn(column.shim_for, column.limits, when).id for when in whens}
    if (step, "", "") not in proposals or column.when is TakenWhen.LEFT:
        return ""
    words = next((words for key, words in proposals.items() if key[:2] == (step, row) and key[2] in names), STAYS)
    return words.removeprefix(_NO_ANSWER)
