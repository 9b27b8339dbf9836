"""What is said and shown of the shims that are proposed: how many in short, and one valve at a time on request."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from assistant.facts.codes import ShimWay
from assistant.facts.inputs import UnderstoodOf
from assistant.facts.kinds.measure import CellAt, CellRead
from assistant.facts.shims import ShimProposal, ShimsWorkedOut, ShimTold
from assistant.fastening.quantities import plain
from assistant.language.port import Language
from assistant.language.topics.tables import Called
from assistant.procedure.rows import TableColumn, slug
from assistant.procedure.steps.do import DoStep
from assistant.procedure.steps.measure import MeasureStep
from assistant.session.cells import CellSpot, at_of
from assistant.session.here import Here
from assistant.session.kinds.packs_words import packs_to_put_in, packs_told
from assistant.session.named import add_names
from assistant.session.packs import pack_steps
from assistant.session.shims import proposal_for, proposals, spot_at
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.questions import add_answer
from assistant.session.valves import stays_unread, valves_of

_ALL, _PACK = "all", "pack"
_ID = "{}/{}/{}"


def _called(here: Here, table: str, at: CellAt) -> Called:
    """Return how a valve is called: by its clearance, as found or not."""
    spot = spot_at(here, table, at)
    step = next((one for one in here.job.steps_of(MeasureStep) if one.id == table), None)
    each = "" if step is None else step.each
    return Called(at.row, at.column, each) if spot is None else Called(spot[0].name, spot[1].name, each)


# What can be asked


def _has_shims(here: Here) -> bool:
    return any(step.shims is not None for step in here.job.steps_of(MeasureStep))


def _which(here: Here, language: Language) -> Mapping[str, str]:
    packs = {language.shims.pack_word(): _PACK} if pack_steps(here) else {}
    return ({language.shims.shims_word(many=True): _ALL} if _has_shims(here) else {}) | packs


def _next(here: Here, language: Language) -> Mapping[str, str]:
    return {language.shims.shims_word(many=False): _ALL} if here.state.shims else {}


def _names(here: Here, language: Language) -> Mapping[str, str]:
    return {
        name: _ID.format(table, at.row, at.column)
        for table in here.state.shims
        for at in _valves_at(here, table)
        for name in language.tables.cell_names(_called(here, table, at))
    }


def _valves_at(here: Here, table: str) -> list[CellAt]:
    """Return the places of the clearances whose shims are those of a table."""
    steps = [step for step in here.job.steps_of(MeasureStep) if step.id == table]
    return [at_of(valve.clearance) for step in steps for valve in valves_of(here, step)]


def _which_told(t: Telling) -> list[str]:
    if isinstance(given := t.facts[0], UnderstoodOf) and given.name == _PACK:
        return packs_told(t)
    worked = list(t.state.shims.values())
    if not worked:
        return t.language.shims.not_worked_out()
    return [words for one in worked for words in _summary(t, one, in_full=True)]


def _one_told(t: Telling) -> list[str]:
    """Say what is proposed for one valve, and the clearance to expect."""
    given = t.facts[0]
    name = given.name if isinstance(given, UnderstoodOf) else ""
    for table, one in proposals(t):
        if _ID.format(table, one.at.row, one.at.column) == name:
            left = [] if one.way is ShimWay.NONE else [t.language.shims.expected(one.expected.value, near=one.near)]
            return [*_proposal(t, table, one), *left]
    return _kept_told(t, name)


def _kept_told(t: Telling, name: str) -> list[str]:
    """Say that a valve keeps its shim, which nobody took out to measure it; or that it was not worked out."""
    for table, worked in t.state.shims.items():
        for at in _valves_at(t, table):
            if _ID.format(table, at.row, at.column) == name and at not in worked.without:
                return t.language.shims.one(_called(t, table, at), ShimWay.KEEP, Decimal(0), None)
    return t.language.shims.not_worked_out()


# What is told


def _proposal(t: Telling, table: str, one: ShimProposal) -> list[str]:
    source = None if one.source is None else _called(t, table, one.source)
    value = one.off if one.way is ShimWay.NONE else one.shim
    return t.language.shims.one(_called(t, table, one.at), one.way, value.value, source)


def _summary(t: Telling, worked: ShimsWorkedOut, *, in_full: bool = False) -> list[str]:
    ways = [one.way for one in worked.proposals]
    unreached = [_called(t, worked.step, one.at) for one in worked.proposals if one.way is ShimWay.NONE]
    changed = sum(way not in (ShimWay.KEEP, ShimWay.NONE) for way in ways)
    buy = sorted(one.shim.value for one in worked.proposals if one.way is ShimWay.BUY)
    near = sum(one.near for one in worked.proposals)
    return t.language.shims.worked_out(changed, buy, unreached, near=near, without=len(worked.without), in_full=in_full)


@tells(ShimsWorkedOut)
def _worked_out(t: Telling, fact: ShimsWorkedOut) -> None:
    if fact.proposals or fact.without:  # else it was said when the table was come to that nothing is to read off
        t.say(*_summary(t, fact))


def put_in_words(t: Telling, step: DoStep) -> list[str]:
    """Say behind a step that puts shims in what is proposed for it, unless the same answer has just said it."""
    if any(isinstance(fact, ShimsWorkedOut) for fact in t.facts):
        return packs_to_put_in(t, step)
    names = set(map(slug, step.shim_for))
    valves = [(table, one) for table, one in proposals(t) if slug(_clearance_name(t, table, one.at)) in names]
    ways = [one.way for _, one in valves if one.way is not ShimWay.NONE]
    changed = sum(way is not ShimWay.KEEP for way in ways)
    told = t.language.shims.worked_out(changed, (), (), near=0, without=0, in_full=False) if ways else []
    return [*told, *packs_to_put_in(t, step)]


def _clearance_name(here: Here, table: str, at: CellAt) -> str:
    spot = spot_at(here, table, at)
    return "" if spot is None else spot[1].name


@tells(ShimTold)
def _told(t: Telling, fact: ShimTold) -> None:
    if fact.at is None:
        t.say(t.language.shims.last())
        return
    for table, one in proposals(t):
        if (table, one.at) == (fact.step, fact.at):
            t.say(*_proposal(t, table, one))


def unlike(t: Telling, step: MeasureStep, fact: CellRead) -> list[str]:
    """Say which shim was proposed, where another one is read off as it is left."""
    proposed = _proposed_left(t, step, fact.row, fact.column)
    if proposed is None or proposed.shim == fact.reading:
        return []
    return [t.language.shims.was_proposed(proposed.shim.value)]


def _proposed_left(here: Here, step: MeasureStep, row: str, column: str) -> ShimProposal | None:
    of = next((one for one in step.columns if one.id == column), None)
    if of is None or not of.shim_for or _is_own(here, step, of):
        return None
    return proposal_for(here, row, of.shim_for)


def _is_own(here: Here, step: MeasureStep, column: TableColumn) -> bool:
    """Return whether a column is of the shims as they were found, from which the proposals come."""
    return any(one.shim[1] is column for one in valves_of(here, step))


def proposed_shown(here: Here, step: MeasureStep, spot: CellSpot) -> Mapping[str, Any]:
    """Return the shim that is proposed at a place where one is read off, as a display may show it: JSON values."""
    row, column = spot
    one = proposal_for(here, row.id, column.shim_for) if column.shim_for else None
    if one is None:
        return {"shim": {"size": "", "way": ShimWay.KEEP.value, "source": ""}} if stays_unread(here, step, spot) else {}
    source = "" if one.source is None else _source_name(here, one.source)
    return {"shim": {"size": plain(one.shim.value), "way": one.way.value, "source": source}}


def _source_name(here: Here, source: CellAt) -> str:
    called = next((_called(here, table, source) for table in here.state.shims if spot_at(here, table, source)), None)
    return f"{source.row} {source.column}" if called is None else f"{called.row} {called.column}"


add_names("which_shims", _which)
add_names("next_shim", _next)
add_names("shim_of", _names)
add_answer("which_shims", _which_told)
add_answer("shim_of", _one_told)
