"""What a file or a person can get wrong, as a value: what is wrong, and what to do or to write instead."""

from __future__ import annotations

from dataclasses import dataclass

LONGEST = 60
"""Characters of a text that are looked at or shown."""


@dataclass(frozen=True, slots=True)
class Fault:
    """Why something cannot be used or done, and what to write or to do instead; neither has a full stop.

    Where it stands, and which rule it breaks, a :class:`~assistant.procedure.findings.Finding` adds.
    """

    reason: str
    advice: str

    @property
    def sentence(self) -> str:
        """Return both as one line for a person."""
        return f"{self.reason}: {self.advice}"


def quoted(text: str) -> str:
    r"""Show a ``text`` [characters] that may be long or hold control characters in quotes on one short line.

    Source: ours.

    >>> quoted("a\tb")
    '"a b"'
    """
    line = "".join(letter if letter.isprintable() else " " for letter in text[: LONGEST + 1]).strip()
    return f'"{line[:LONGEST]}{"..." if len(text) > LONGEST else ""}"'
