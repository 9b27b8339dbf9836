"""What is told of one thing that a bay needs: how it is, what was found, and what to do next."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.terminal.exits import Exit

GOOD, LOOK, FAULT = "good", "look", "fault"


@dataclass(frozen=True, slots=True)
class Part:
    """One thing that a bay needs: ``state`` is good, look (a job can run without it) or fault, with its exit code."""

    part: str
    state: str
    found: str
    code: Exit = Exit.OK
