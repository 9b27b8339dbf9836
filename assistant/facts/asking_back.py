"""A command that was expected and not heard surely: asked back in a word or two, and what was answered."""

from __future__ import annotations

from assistant.facts.base import Fact


class AskedBack(Fact, frozen=True, kw_only=True):
    """Whoever works was asked whether ``intent`` was meant, at the ``place`` (key)."""

    KIND = "asked_back"
    intent: str
    place: str
    at_ms: int


class AnsweredBack(Fact, frozen=True, kw_only=True):
    """They answered: it was meant, and is done by the facts behind this one; or else nothing comes of it."""

    KIND = "answered_back"
    intent: str
    is_meant: bool
