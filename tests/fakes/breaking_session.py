"""A session that breaks on one phrase, as a fault in the code might: everything else is the real session."""

from __future__ import annotations

from assistant.events import Heard
from assistant.session.session import Reply, Session


class BreakingSession(Session):
    """Raises a RuntimeError when it hears "where am i"."""

    def hear(self, heard: Heard, now: float) -> Reply:
        """Answer, or break."""
        if heard.text == "where am i":
            raise RuntimeError("no such place")
        return super().hear(heard, now)
