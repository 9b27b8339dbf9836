"""What is said when the job is handed over."""

from __future__ import annotations

from assistant.facts.asking import AskHandOver
from assistant.facts.going import HandingOver
from assistant.language.sentence import Sentence
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells


def who_words(t: Telling) -> list[str]:
    """Return the question who takes over."""
    return t.language.handover.who(t.may_take_over)


def hand_over_words(t: Telling, _: AskHandOver) -> list[str]:
    """Return the question whether the job is handed over."""
    return [t.text(Sentence.HAND_OVER)]


@tells(HandingOver)
def _leaves(t: Telling, _: HandingOver) -> None:
    t.say(*who_words(t))


add_read_back(AskHandOver, ReadBack(hand_over_words))
