"""Tells words that were heard from those that the assistant was saying itself at that moment. Pure."""

from __future__ import annotations

import re

from assistant.voice.speaking.rendering import breath_groups

OWN_WORDS_S = 1.0
"""What ended so long before somebody spoke over the voice may still be heard of it [s]."""
_SENTENCES = 2
"""The sentence that sounded then, and the one before: of what was to come nothing was heard."""
_WORD = re.compile(r"[a-z']+")


def are_own_words(heard: str, unsaid: str) -> bool:
    """Return whether ``heard`` stands word for word in the first sentences of ``unsaid``, what it had not yet said."""
    said = " ".join(breath_groups(unsaid)[:_SENTENCES])
    return f" {' '.join(heard.lower().split())} " in f" {' '.join(_WORD.findall(said.lower()))} "
