"""What was worked out, in a form that the desk can print: what was given, the answer, and how it was reached."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any


@dataclass(frozen=True, slots=True)
class Worked:
    """One answer for the desk.

    ``given`` is what it was worked out from, by name; ``head`` and ``rows`` are a table, where the answer has one.
    ``answer`` says it in whole sentences, ``how`` the way to it with the source of each formula, ``doubts`` what
    speaks against it. ``values`` is the answer for programs: numbers as decimal text, units in the names.
    """

    title: str
    given: Mapping[str, str]
    answer: Sequence[str]
    how: Sequence[str]
    head: Sequence[str] = ()
    rows: Sequence[Sequence[str]] = ()
    doubts: Sequence[str] = ()
    values: Mapping[str, Any] = field(default_factory=dict)
