"""The names that may stand in a phrase: chapters, groups, whatever a job has names for, as they are spoken."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from assistant.language.port import Language
from assistant.session.here import Here

SpokenNames = Callable[[Here, Language], Mapping[str, str]]
"""Returns ids by the words that are spoken for them: lower case, as a recogniser spells them."""

_NAMES: dict[str, SpokenNames] = {}


def add_names(intent: str, names: SpokenNames) -> None:
    """Let the phrases of ``intent`` hold ``names``; it has a slot for a name.

    Raises:
        ValueError: it has others.
    """
    if intent in _NAMES:
        raise ValueError(f'Two functions give names to "{intent}".')
    _NAMES[intent] = names


def spoken_names(intent: str, here: Here, language: Language) -> Mapping[str, str]:
    """Return the ids that may stand in a phrase of ``intent`` now, by what is spoken for them."""
    names = _NAMES.get(intent)
    return {} if names is None else names(here, language)
