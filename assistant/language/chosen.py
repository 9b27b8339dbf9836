"""The language of this installation: the one place that chooses."""

from __future__ import annotations

from assistant.language.en import ENGLISH
from assistant.language.port import Language

LANGUAGE: Language = ENGLISH
"""What the edges speak and understand; whatever can be handed a language is handed this one by them."""
