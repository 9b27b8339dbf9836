"""What is said of the step beside what every reading says."""

from __future__ import annotations

from decimal import Decimal

from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells
from tests.kinds.flush_session import AskMuch, Flushed


@tells(Flushed)
def _flushed(t: Telling, fact: Flushed) -> None:
    t.say(t.language.answers.reading_right(fact.litres, "l"))


def _much(t: Telling, question: AskMuch) -> list[str]:
    return t.language.answers.reading_wrong(question.litres, Decimal(80), "l", below=False)


add_read_back(AskMuch, ReadBack(_much))
