"""The words of what is asked about bolts."""

from __future__ import annotations

from assistant.facts.kinds.tighten import AskBoltReading, AskLoosened, AskReplace, AskSkipBolts
from assistant.procedure.steps.tighten import TightenStep
from assistant.session.stage_at import stage_named, turn_at
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling
from assistant.session.tools.values import value_of


def skip_bolts_summary(t: Telling, question: AskSkipBolts) -> str:
    """Say what leaving bolts out means."""
    step = next(one for one in t.job.steps_of(TightenStep) if one.id == question.step)
    at = turn_at(t.job, step, question.turn) or stage_named(step, question.stage)
    return t.language.bolts.skip_bolts(question.bolts, at)


def accept_summary(t: Telling, question: AskBoltReading) -> str:
    """Say what accepting a reading at a bolt means."""
    return t.language.bolts.accept_bolt(question.bolt, value_of(question.reading))


def loosened_words(t: Telling, question: AskLoosened) -> list[str]:
    """Ask for the word that bolts which got their further angle are loose again."""
    return [t.language.bolts.loosened_ask(question.bolts)]


def replace_words(t: Telling, question: AskReplace) -> list[str]:
    """Ask whether a bolt is to be replaced."""
    return [t.language.bolts.replace_ask(question.bolt)]


add_read_back(AskSkipBolts, ReadBack(summary=skip_bolts_summary))
add_read_back(AskBoltReading, ReadBack(summary=accept_summary))
add_read_back(AskLoosened, ReadBack(loosened_words))
add_read_back(AskReplace, ReadBack(replace_words))
