"""How far a hazard had been read out when something was said; whoever acknowledges may not have heard all of it."""

from __future__ import annotations

from assistant.facts.detours import AskGoTo
from assistant.facts.inputs import HeardFar
from assistant.language.port import Language
from assistant.language.sentence import Sentence
from assistant.procedure.model import Hazard
from assistant.session.here import Here


def heard_of(hazard: Hazard, unsaid: str, language: Language) -> HeardFar:
    """Return how far ``hazard`` was heard, given the sentences ``unsaid`` that were not yet spoken to their end."""
    parts = [text for text in (hazard.hazard, hazard.consequence, hazard.avoid) if text]
    last = language.talk.sentences(language.steps.instruction(parts[-1]))[-1]
    if last in unsaid:
        return HeardFar.PART
    return HeardFar.AVOID if language.talk.text(Sentence.SAY_CONFIRMED) in unsaid else HeardFar.ALL


def heard_now(here: Here, unsaid: str, language: Language) -> HeardFar | None:
    """Return how far the hazard that waits here was heard when something was said; None when none waits.

    Of hazards on the way, which wait together, it is that of the one of which the least was heard.
    """
    waiting = here.state.waiting
    if waiting is not None and isinstance(waiting.question, AskGoTo):
        places = here.job.places
        on_the_way = [places[here.job.index[key]].hazards[number - 1] for key, number in waiting.question.hazards]
        far = {heard_of(hazard, unsaid, language) for hazard in on_the_way}
        return HeardFar.PART if HeardFar.PART in far else HeardFar.ALL
    return None if here.unread is None else heard_of(here.place.hazards[here.unread], unsaid, language)
