"""The answer to why: why a step is done, why a hazard waits, why something is read back, why something was refused."""

from __future__ import annotations

from assistant.session.telling import going
from assistant.session.telling.core import Telling


def why_words(t: Telling) -> list[str]:
    """Say why: of what was refused last, of what waits for the word, of the hazard, or of the step."""
    say, state = t.language.questions, t.state
    if state.refused is not None:
        told = say.why_refused(state.refused.value)
        if told:
            return [told]
        going.tell_refused(t, state.refused)
        return []
    if state.waiting is not None:
        return [say.why_waits()]
    if t.unread is not None:
        return [say.why_hazard(t.place.hazards[t.unread].consequence)]
    if t.step is not None and t.step.why:
        return [say.why_step(t.step.why)]
    return [say.no_why()]
