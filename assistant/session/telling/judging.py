"""What is said of bolts among their neighbours: what was read off, which strikes, and how they scatter."""

from __future__ import annotations

from decimal import Decimal

from assistant.advice.judge import LEAST_BOLTS
from assistant.facts import Quantity
from assistant.facts.codes import Side
from assistant.facts.kinds.judged import AskDoubtLeft, BoltDoubted, BoltRead, DoubtLeft, JointDoubted
from assistant.facts.kinds.retightened import MovedOnEarly
from assistant.fastening.quantities import Angle, Torque, TorqueUnit, as_decimal
from assistant.language.port import Language
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import Chunk, chunks_in
from assistant.session.here import Here
from assistant.session.joint_allows import allowed
from assistant.session.judging import neighbours
from assistant.session.state import Bolt
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.questions import add_answer
from assistant.session.tools.values import in_unit, value_of


@tells(BoltRead)
def _read(t: Telling, fact: BoltRead) -> None:
    t.say(t.language.judging.bolt_was_read(value_of(fact.reading)))


@tells(BoltDoubted)
def _doubted(t: Telling, fact: BoltDoubted) -> None:
    """Say which bolt strikes; how to leave it as it is with the first one only."""
    say, below = t.language.judging, fact.side is Side.BELOW
    told = any(isinstance(one, JointDoubted | MovedOnEarly) and one.bolt == fact.bolt for one in t.facts)
    if told or (fact.step, fact.turn, fact.run, fact.bolt) in t.before.state.doubts:
        t.say(say.by_neighbours_too(fact.bolt, below=below))
        return
    now = any(isinstance(one, BoltRead) and one.bolt == fact.bolt for one in t.facts)
    t.say(*say.doubted(fact.bolt, None if now else value_of(fact.reading), fact.what, below=below))
    way_out(t, fact.bolt)


@tells(JointDoubted)
def _joint_doubted(t: Telling, fact: JointDoubted) -> None:
    """Say which bolt its joint does not account for, with the end that it is beyond."""
    say, below = t.language.judging, fact.side is Side.BELOW
    end = in_unit(t, value_of(fact.least if below else fact.most))
    t.say(*say.joint_doubted(fact.bolt, end, fact.what, below=below))
    way_out(t, fact.bolt)


def way_out(t: Telling, bolt: int) -> None:
    """Say how a doubted bolt is left as it is, with the first one only."""
    if not (t.before.state.doubts or t.before.state.doubts_left) or t.in_full:
        t.say(t.language.judging.doubt_way(bolt))


@tells(DoubtLeft)
def _left(t: Telling, fact: DoubtLeft) -> None:
    t.say(t.language.judging.left_alone(fact.bolt))


def compared(t: Telling) -> list[str]:
    """Answer how the bolts compare that were read off last, and which are in doubt."""
    say, newest = t.language.judging, next(reversed(list(t.state.read)), None)
    if newest is None:
        return [say.nothing_read()]
    step = next(one for one in t.job.steps_of(TightenStep) if one.id == newest[0])
    chunk = next(
        one for one in chunks_in(t.job, step.id) if (one.turn, one.run) == newest[1:3] and newest[3] in one.bolts
    )
    band = _joint_words(t, step, chunk, newest)
    found = neighbours(t, step, chunk)
    if found is None:
        return band or [say.nothing_read()]
    scatter = found.scatter
    middle = value_of(Quantity(as_decimal(scatter.median), found.unit.value))
    said = say.scatter(scatter.number, in_unit(t, middle), round(scatter.percent))
    if t.state.doubts:
        said.append(say.in_doubt([bolt[3] for bolt in t.state.doubts]))
    elif not scatter.enough:
        said.append(say.too_few(LEAST_BOLTS))
    return [*said, *band]


def _joint_words(t: Telling, step: TightenStep, chunk: Chunk, bolt: Bolt) -> list[str]:
    """Say what the joint of the bolt that was read off last accounts for; nothing where that is not known."""
    allows = allowed(t, step, chunk, bolt[3])
    if allows is None:
        return []
    unit = t.state.read[bolt].unit
    ends = [_of_joint(unit, one) for one in (allows.least, allows.most)]
    return t.language.judging.joint_allows(*(in_unit(t, end) for end in ends))


def _of_joint(unit: str, value: float) -> Torque | Angle:
    """Return an end of a band [N·m or °] in the ``unit`` in which bolts are read off."""
    if unit not in set(TorqueUnit):
        return value_of(Quantity(Decimal(value), unit))
    return Torque(Decimal(value), TorqueUnit.NEWTON_METRE).to(TorqueUnit(unit))


def doubts_shown(here: Here, language: Language) -> list[str]:
    """Return which bolts are in doubt, for a display: a mechanic who has gone on does not lose sight of them."""
    say, doubts = language.judging, here.state.doubts
    if not doubts:
        return []
    said = [say.open_doubts([bolt[3] for bolt in doubts])]
    for bolt, doubt in doubts.items():
        if doubt.least is not None and doubt.most is not None and bolt in here.state.read:
            ends = value_of(doubt.least), value_of(doubt.most)
            said.append(say.joint_ground(bolt[3], value_of(here.state.read[bolt]), *ends))
    return said


add_answer("compare_bolts", compared)
add_read_back(AskDoubtLeft, ReadBack(summary=lambda t, question: t.language.judging.leave_doubt(question.bolt)))
