"""What is said when the job is handed over."""

from __future__ import annotations

from assistant.facts.asking import AskHandOver
from assistant.facts.going import HandingOver
from assistant.facts.people import HelperCame, HelperLeft
from assistant.language.sentence import Sentence
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells

_MOST_TOLD = 2
"""Beside the two sentences about the job itself."""


def who_words(t: Telling) -> list[str]:
    """Return the question who takes over."""
    return t.language.handover.who(t.may_take_over)


def hand_over_words(t: Telling, _: AskHandOver) -> list[str]:
    """Return the question whether the job is handed over."""
    return [t.text(Sentence.HAND_OVER)]


@tells(HandingOver)
def _leaves(t: Telling, _: HandingOver) -> None:
    t.say(*who_words(t))


@tells(HelperCame)
def _helps(t: Telling, fact: HelperCame) -> None:
    t.say(t.language.handover.helps(fact.name))


@tells(HelperLeft)
def _helps_no_more(t: Telling, fact: HelperLeft) -> None:
    found = next((one.ms for one in t.state.helping if one.name == fact.name), 0)
    t.say(t.language.handover.helps_no_more(fact.name, round(found / 1000)))


def helping_words(t: Telling) -> list[str]:
    """Return who counts as helping just now, for whoever goes on with the job."""
    return [t.language.handover.helps(one.name) for one in t.state.helping if one.helps]


def helped_words(t: Telling) -> list[str]:
    """Return for about how long others helped, those who helped longest first."""
    spent = t.state.spent
    found = [(one.until(spent.last_ms, spent.away_ms), one.name) for one in t.state.helping]
    longest = sorted(found, reverse=True)[:_MOST_TOLD]
    return [t.language.handover.helped(name, round(ms / 1000)) for ms, name in longest if ms]


add_read_back(AskHandOver, ReadBack(hand_over_words))
