"""What an answer must be, as lines below what was said; for the talks of the session and the typed talks.

::

    A: Stage two of four.       the answer contains these words, after those of the A: line before it
    A, alone: Forty ...         the answer is these words and nothing else
    A: nothing                  the answer has no words
    never: bolts                the answer does not contain this
    tone: accepted              the answer has this tone
    note: Did you mean          something that the program itself prints contains these words
    fact: counted count=16      the answer puts this into the journal, with these values (low.unit=mm is inside low)
    no fact: counted            the answer puts nothing of this kind into the journal
    no facts                    the answer puts nothing into the journal but what was heard
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from assistant.facts.store import fact_classes

_BESIDES = {kind for kind, cls in fact_classes().items() if cls.IS_INPUT} | {
    "asked_on",
    "dictation_begun",
    "refused",
    "thing_asked",
    "words_taken",
}
"""Kinds of facts that say nothing about the work."""


@dataclass
class Answer:
    """What came out between one thing that was said and the next."""

    said: str = ""
    tones: list[str] = field(default_factory=list)
    records: list[tuple[str, Mapping[str, Any]]] = field(default_factory=list)
    notes: list[str] = field(default_factory=list)
    _found_up_to: int = 0

    @property
    def kinds(self) -> list[str]:
        return [kind for kind, _ in self.records]

    def check(self, line: str) -> None:
        """Check one line; an AssertionError says what there is instead, a ValueError that the line makes no sense."""
        if line == "A: nothing":
            assert self.said == "", self.said
        elif line.startswith("A, alone: "):
            assert self.said == line.removeprefix("A, alone: "), self.said
        elif line.startswith("A: "):
            words = line.removeprefix("A: ")
            found = self.said.find(words, self._found_up_to)
            assert found >= 0, self.said
            self._found_up_to = found + len(words)
        elif line.startswith("never: "):
            assert line.removeprefix("never: ") not in self.said, self.said
        elif line.startswith("note: "):
            assert any(line.removeprefix("note: ") in note for note in self.notes), self.notes
        elif line.startswith("tone: "):
            assert self.tones == [line.removeprefix("tone: ").replace(" ", "_")], self.tones
        elif line == "no facts":
            assert [kind for kind in self.kinds if kind not in _BESIDES] == []
        elif line.startswith("no fact: "):
            assert line.removeprefix("no fact: ") not in self.kinds, self.kinds
        elif line.startswith("fact: "):
            kind, *values = line.removeprefix("fact: ").split(" ", 1)
            self._fact(kind, values[0] if values else "")
        else:
            raise ValueError(f"what does this line mean: {line!r}")

    def _fact(self, kind: str, values: str) -> None:
        wanted = dict(re.findall(r"([\w.]+)=(\"[^\"]*\"|\S+)", values))
        facts: Sequence[Mapping[str, Any]] = [data for one, data in self.records if one == kind]
        shown = [{key: _value(fact, key) for key in wanted} for fact in facts]
        assert {key: value.strip('"') for key, value in wanted.items()} in shown, shown or self.kinds


def _value(fact: Mapping[str, Any], key: str) -> str:
    """Show a field as JSON has it; a dot leads into a field of it."""
    value: Any = json.loads(json.dumps(fact))
    for name in key.split("."):
        value = value.get(name) if isinstance(value, Mapping) else None
    return str(value)
