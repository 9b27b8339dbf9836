"""What is said of the step beside what every reading says."""

from __future__ import annotations

from assistant.session.telling.core import Telling, tells
from tests.kinds.flush_session import Flushed


@tells(Flushed)
def _flushed(t: Telling, fact: Flushed) -> None:
    t.say(t.language.answers.reading_right(fact.litres, "l"))
