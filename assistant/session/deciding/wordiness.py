"""How much is said."""

from __future__ import annotations

from collections.abc import Mapping

from assistant.events import Command
from assistant.facts.going import Wordiness, WordsChosen
from assistant.session.deciding.core import Deciding
from assistant.session.table import Act

_HOW: Mapping[str, Wordiness] = {
    "in_full": Wordiness.FULL,
    "in_short": Wordiness.SHORT,
    "as_usual": Wordiness.USUAL,
}
"""By the intent that asks for it."""


def choose_words(d: Deciding, command: Command) -> None:
    """Say more from now on, or less."""
    d.put(WordsChosen(how=_HOW[command.intent]))


def acts() -> dict[str, Act]:
    """Return the acts of a state of the work."""
    return dict.fromkeys(_HOW, choose_words)
