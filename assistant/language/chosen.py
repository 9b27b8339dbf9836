"""The languages of this installation: the one place that chooses."""

from __future__ import annotations

from assistant.language.en import ENGLISH, WRITTEN_ENGLISH
from assistant.language.port import Language, WrittenLanguage

LANGUAGE: Language = ENGLISH
"""What the edges speak and understand; whatever can be handed a language is handed this one by them."""
WRITTEN: WrittenLanguage = WRITTEN_ENGLISH
"""What procedures are written in; no file says another one yet."""
