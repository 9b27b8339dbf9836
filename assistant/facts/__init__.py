"""What happened in a job: one frozen class for each kind of entry, without a word of any language.

This is the way in for whoever writes or reads entries of any kind; each class is imported from its own module.
"""

from assistant.facts.base import Bounds, Fact, Quantity, Unreadable
from assistant.facts.store import dump, load, personal_fields, read, with_fields

__all__ = ["Bounds", "Fact", "Quantity", "Unreadable", "dump", "load", "personal_fields", "read", "with_fields"]
