"""Asks back what was expected and not heard surely, and takes the answer."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.asking_back import AnsweredBack, AskedBack
from assistant.facts.going import RefusedWhy
from assistant.facts.inputs import HeardFar, Understood, UnsureOf
from assistant.session import table
from assistant.session.asked_back import ANSWERED_WITHIN_MS, ASKED_CRITICAL, MOST_ASKED, YES_OR_NO, in_a_row
from assistant.session.deciding.core import Deciding


def ask_back(d: Deciding, given: UnsureOf) -> None:
    """Ask whether it was meant; not for ever, where talk or a machine sounds like it.

    What cut a hazard short, or began before what it answers was told, is no answer, and nothing to ask about.
    """
    is_early = d.state.silence_ms > 0 and given.started_ms <= d.state.silence_ms
    if given.intent in ASKED_CRITICAL and (is_early or given.hazard is HeardFar.PART):
        return
    if in_a_row(d.state.misheard) <= MOST_ASKED:
        d.put(AskedBack(intent=given.intent, place=d.place.key, at_ms=d.now_ms))


def take_answer_back(d: Deciding, asked: AskedBack, given: Understood, command: Command) -> Command | None:
    """Return what is to be done at ``command``, when ``asked`` was open; None when nothing is.

    "Yes" and the phrase itself do it; "no", and anything else, drop it.
    """
    is_answer = command.intent in YES_OR_NO and command.intent not in table.row_of(d.phase).acts
    if is_answer and given.started_ms > asked.at_ms + ANSWERED_WITHIN_MS:
        d.refuse(RefusedWhy.TOO_LATE)
        return None
    is_meant = command.intent == asked.intent or (is_answer and command.intent == YES_OR_NO[0])
    d.put(AnsweredBack(intent=asked.intent, is_meant=is_meant))
    if not is_answer:
        return command
    return Command(asked.intent) if is_meant else None
