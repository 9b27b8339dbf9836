"""Which of the phrases a model cannot hear, told before a job begins."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Protocol

from assistant.session.session import Session


class Hears(Protocol):
    """Whatever has a list of words that it can hear."""

    def unknown_words(self, words: Iterable[str]) -> dict[str, str]:
        """Return the words that it cannot hear, each with a near one that it can (or "")."""


def unheard(ears: Hears, session: Session) -> str:
    """Return a sentence about the phrases that the ears' model cannot hear, or nothing when it can hear all."""
    grammar = session.grammar()
    words = {word for phrase in grammar.phrases for word in phrase.split()}
    words |= {word for slot in grammar.slots for word in (*slot.before.split(), *slot.after.split())}
    missing = ears.unknown_words(words)
    if not missing:
        return ""
    named = ", ".join(f'"{word}" (it knows "{near}")' if near else f'"{word}"' for word, near in missing.items())
    if len(missing) > len(words) / 2:
        return f"This model knows few words of the assistant (not {named}): is it English? Use another, or the keys."
    return f"This model cannot hear {named}: use the other ways to say it (assistant phrases), or a key."
