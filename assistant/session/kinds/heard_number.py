"""A number that sounds like another which can be here: it is read back, and taken when it is confirmed."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.going import RefusedWhy
from assistant.facts.kinds.reading import AskHeardNumber
from assistant.session.alike import alike_of
from assistant.session.deciding import asking
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.table import row_of


def read_back_alike(d: Deciding, command: Command, unit: str = "") -> bool:
    """Read the number of ``command`` [``unit``] back where it may have been another; return whether that was so."""
    step = d.step
    if step is None or command.number is None or not alike_of(d.given):
        return False
    asking.ask(d, AskHeardNumber(step=step.id, intent=command.intent, number=command.number, unit=unit))
    return True


def _heard_right(d: Deciding, question: AskHeardNumber, _: str) -> None:
    """Do what was said, now that it is sure; "confirmed" sounds like no other number."""
    does = row_of(d.phase).acts.get(question.intent)
    if does is None:
        d.refuse(RefusedWhy.TOO_LATE)
    else:
        does(d, Command(question.intent, question.number))


add_grant(AskHeardNumber, _heard_right, anew=("count", "filled"))
