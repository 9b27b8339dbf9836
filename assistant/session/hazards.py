"""Hazards: read out, acknowledged, and how far each was heard before that."""

from __future__ import annotations

import re

from assistant.events import Hush
from assistant.language.en.talk import breaths
from assistant.procedure.model import Hazard, SignalWord
from assistant.session import moving, replies, sentences
from assistant.session.engine import Engine
from assistant.session.places import Safety

ALL, AVOID, PART = "all", "avoid", "part"
"""How far a hazard was heard: to the end of its reading, with how to avoid it but not to the end, or not so far."""
_GRAVE = (SignalWord.DANGER, SignalWord.WARNING)
_SENTENCE_END = re.compile(r"(?<=[.!?;:])\s+")


def heard_of(hazard: Hazard, unsaid: str) -> str:
    """Return how far ``hazard`` was heard (ALL, AVOID or PART), given the sentences that were not yet said."""
    parts = [text for text in (hazard.hazard, hazard.consequence, hazard.avoid) if text]
    last = _SENTENCE_END.split(breaths(replies.ear(parts[-1])))[-1]
    if last in unsaid:
        return PART
    return AVOID if sentences.SAY_CONFIRMED in unsaid else ALL


def heard_now(e: Engine, unsaid: str) -> str:
    """Return how far the hazard that waits here was heard when something was said; "" when none waits."""
    return "" if e.unread is None else heard_of(e.place.hazards[e.unread], unsaid)


def follow(e: Engine, waiting: tuple[str, int] | None) -> None:
    """Remember, after an answer, whether it cut the reading of the hazard that was ``waiting`` before it."""
    if waiting is None or e.unread is None or (e.place.key, e.unread) != waiting:
        e.state.cut_hazard = None
        return
    if breaths(replies.hazard_again(e.place.hazards[e.unread])) in breaths(" ".join(e.words)):
        e.state.cut_hazard = None  # it is read again
    elif e.heard_of_hazard == PART and (e.words or any(isinstance(effect, Hush) for effect in e.others)):
        e.state.cut_hazard = waiting


def acknowledge(e: Engine) -> None:
    """Take "confirmed" for the hazard that waits here, and go on.

    From rules 3 on, a danger or a warning that was not heard as far as how to avoid it is read again the first time.
    """
    number = e.unread
    if number is None:
        raise RuntimeError("There is no hazard to acknowledge.")
    place = e.place
    key = (place.key, number)
    hazard = place.hazards[number]
    heard = PART if e.state.cut_hazard == key else e.heard_of_hazard
    if e.rules >= 3 and heard == PART and hazard.word in _GRAVE and key not in e.state.hurried:
        e.state.hurried.add(key)
        e.say(sentences.HEAR_HAZARD, replies.hazard(hazard))
        return
    e.state.acknowledged.add(key)
    more = {"heard": heard} if e.rules >= 3 else {}
    e.record(
        "hazard_acknowledged", place=place.key, number=number + 1, word=hazard.word.value, hazard=hazard.hazard, **more
    )
    e.settle()
    if isinstance(place, Safety):
        moving.advance(e)
    else:
        moving.announce(e)
