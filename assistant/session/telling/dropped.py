"""What is said when a bolt was dropped, and when it is out of the machine again."""

from __future__ import annotations

from assistant.facts.codes import TroubleWhat
from assistant.facts.kinds.trouble import Dropped, DroppedFound
from assistant.language.sentence import Sentence
from assistant.session.telling import going
from assistant.session.telling.core import Telling, tells
from assistant.session.telling.troubles import came_out_words, out_again_words


@tells(Dropped)
def _dropped(t: Telling, fact: Dropped) -> None:
    """Say that it is written down; of a lost bolt in whose place another one came, that it may still lie there."""
    if fact.group:
        t.say(*came_out_words(t, [fact.number]))
    else:
        t.say(t.language.troubles.dropped_kept())
    if not t.before.state.cautioned & {TroubleWhat.LOST, "dropped"}:
        t.fixed(Sentence.TURN_NOTHING)


@tells(DroppedFound)
def _found(t: Telling, fact: DroppedFound) -> None:
    t.say(*out_again_words(t, fact))
    going.asked_where(t)
