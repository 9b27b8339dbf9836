"""What is said of bolts among their neighbours: what was read off, which strikes, and how they scatter."""

from __future__ import annotations

from assistant.advice.judge import LEAST_BOLTS
from assistant.facts import Quantity
from assistant.facts.codes import Side
from assistant.facts.kinds.judged import AskDoubtLeft, BoltDoubted, BoltRead, DoubtLeft
from assistant.fastening.quantities import as_decimal
from assistant.language.port import Language
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.chunks import chunks_in
from assistant.session.here import Here
from assistant.session.judging import neighbours
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
    now = any(isinstance(one, BoltRead) and one.bolt == fact.bolt for one in t.facts)
    t.say(*say.doubted(fact.bolt, None if now else value_of(fact.reading), fact.what, below=below))
    if not (t.before.state.doubts or t.before.state.doubts_left) or t.in_full:
        t.say(say.doubt_way(fact.bolt))


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
    found = neighbours(t, step, chunk)
    if found is None:
        return [say.nothing_read()]
    scatter = found.scatter
    middle = value_of(Quantity(as_decimal(scatter.median), found.unit.value))
    said = say.scatter(scatter.number, in_unit(t, middle), round(scatter.percent))
    if t.state.doubts:
        said.append(say.in_doubt([bolt[3] for bolt in t.state.doubts]))
    elif not scatter.enough:
        said.append(say.too_few(LEAST_BOLTS))
    return said


def doubts_shown(here: Here, language: Language) -> list[str]:
    """Return which bolts are in doubt, for a display: a mechanic who has gone on does not lose sight of them."""
    doubted = [bolt[3] for bolt in here.state.doubts]
    return [language.judging.open_doubts(doubted)] if doubted else []


add_answer("compare_bolts", compared)
add_read_back(AskDoubtLeft, ReadBack(summary=lambda t, question: t.language.judging.leave_doubt(question.bolt)))
