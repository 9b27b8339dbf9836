"""How findings can be printed; apart from what prints them, because the command line names it before anything runs."""

from __future__ import annotations

from enum import StrEnum


class Format(StrEnum):
    """How findings are printed."""

    TEXT = "text"
    """For people, and for editors that jump to file, line and column."""
    JSON = "json"
    SARIF = "sarif"
    """SARIF 2.1.0, which review pages and editors read."""
    GITHUB = "github"
    """Workflow commands, which mark the lines of a change."""
