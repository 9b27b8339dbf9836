"""What may be said, the state table, and every sentence that is spoken. Pure."""

from assistant.session.facts import FACTS, INPUT_KINDS
from assistant.session.session import Session

__all__ = ["FACTS", "INPUT_KINDS", "Session"]
