"""What happened in a job: one frozen class for each kind of entry, without a word of any language."""

from assistant.facts.base import PERSONAL, Bounds, Fact, FactFault, Quantity, Unreadable
from assistant.facts.store import dump, kinds, load, personal_fields, read, register

__all__ = [
    "PERSONAL",
    "Bounds",
    "Fact",
    "FactFault",
    "Quantity",
    "Unreadable",
    "dump",
    "kinds",
    "load",
    "personal_fields",
    "read",
    "register",
]
