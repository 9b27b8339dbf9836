"""What may be said in a state of the work, by the table alone."""

from __future__ import annotations

from assistant.events import Grammar, Slot
from assistant.language.en import ENGLISH
from assistant.session.deciding import decide  # enters every state into the table
from assistant.session.intents import BY_NAME
from assistant.session.table import row_of
from assistant.session.understanding import alike_phrases

__all__ = ["decide", "grammar_at"]


def grammar_at(state: str) -> Grammar:
    """Return what may be said in ``state``, in English."""
    said = [(BY_NAME[name], phrase) for name in row_of(state).acts for phrase in ENGLISH.phrases.phrases(name)]
    return Grammar(
        tuple(phrase for intent, phrase in said if intent.slot is None),
        tuple(Slot.of(phrase, intent.slot) for intent, phrase in said if intent.slot is not None),
        alike=alike_phrases(row_of(state).acts, ENGLISH),
    )
