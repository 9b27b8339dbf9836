"""Talks as text: what the mechanic says, and what must be heard back, word for word, in this order.

A talk is a text file. ``procedure:`` names one of the example procedures, ``tools: yes`` gives it the example
tool file, ``operator:`` names who works on the job, ``at:`` is the step that a careful mechanic first comes to (hazards
and all). Then, line by line::

    M: next                     the mechanic says it
    (key) next                  the same by a key; (mumbles), (background) next, (dictates) free words
    A: Stage two of four.       the answer contains these words, after those of the A: line before it
    A, alone: Forty ...         the answer is these words and nothing else
    A: nothing                  the answer has no words
    never: bolts                the answer does not contain this
    tone: accepted              the answer has this tone
    fact: counted count=16      the answer puts this into the journal, with these values
    no facts                    the answer puts nothing into the journal but what was heard
    (20 seconds)                time passes; what is said by itself meanwhile is the answer

Lines that begin with # are remarks.
"""

from __future__ import annotations

import re
from pathlib import Path

from assistant.events import Clarity, Source
from tests.session.bench import Bench
from tests.session.examples import TOOLS, bolts_only, every_kind, measured
from tests.session.ledger import INPUTS

_HEAD = ("procedure: ", "operator: ", "at: ")
PROCEDURES = {"bolts only": bolts_only, "every kind": every_kind, "measured": measured}
_MANNERS = {
    "key": {"source": Source.KEY},
    "background": {"clarity": Clarity.SPEECH},
    "mumbles": {"clarity": Clarity.UNCLEAR},
    "dictates": {"clarity": Clarity.DICTATION},
}


class Talk:
    """One talk being played."""

    def __init__(self, path: Path) -> None:
        self.lines = [line.strip() for line in path.read_text("utf-8").splitlines()]
        head = dict(line.split(": ", 1) for line in self.lines if line.startswith(_HEAD))
        names = {"operator": head["operator"]} if "operator" in head else {}
        self.bench = Bench(PROCEDURES[head["procedure"]](), tools=TOOLS if "tools: yes" in self.lines else "", **names)
        self.said = self.bench.lead_to(head["at"]) if "at" in head else self.bench.spoken[-1]
        self.heard_up_to = 0

    def play(self) -> None:
        """Play all lines; an AssertionError says which one was not kept."""
        for number, line in enumerate(self.lines, 1):
            if not line or line.startswith(("#", "tools: ", *_HEAD)):
                continue
            try:
                self._line(line)
            except AssertionError as fault:
                raise AssertionError(f"line {number}: {line!r}: {fault or self.said!r}") from fault

    def _line(self, line: str) -> None:
        if spoken := re.fullmatch(r"(?:M:|\((key|background|mumbles|dictates)\)) ?(.*)", line):
            self._hear(self.bench.hear(spoken[2], **_MANNERS.get(spoken[1], {})))
        elif passed := re.fullmatch(r"\((\d+) seconds\)", line):
            self.bench.last = []
            self._hear(self.bench.wait(float(passed[1])))
        elif line == "A: nothing":
            assert self.said == ""
        elif line.startswith("A, alone: "):
            assert self.said == line.removeprefix("A, alone: "), self.said
        elif line.startswith("A: "):
            words = line.removeprefix("A: ")
            found = self.said.find(words, self.heard_up_to)
            assert found >= 0, self.said
            self.heard_up_to = found + len(words)
        elif line.startswith("never: "):
            assert line.removeprefix("never: ") not in self.said, self.said
        elif line.startswith("tone: "):
            tones = [tone.value for tone in self.bench.tones()]
            assert tones == [line.removeprefix("tone: ").replace(" ", "_")], tones
        elif line == "no facts":
            assert [kind for kind in self.bench.kinds() if kind not in INPUTS] == []
        elif line.startswith("fact: "):
            kind, *values = line.removeprefix("fact: ").split(" ", 1)
            self._fact(kind, values[0] if values else "")
        else:
            raise ValueError(f"what does this line mean: {line!r}")

    def _hear(self, said: str) -> None:
        self.said, self.heard_up_to = said, 0

    def _fact(self, kind: str, values: str) -> None:
        wanted = dict(re.findall(r"(\w+)=(\"[^\"]*\"|\S+)", values))
        facts = [record.data for record in self.bench.records() if record.kind == kind]
        shown = [{key: str(fact[key]) for key in wanted} for fact in facts]
        assert {key: value.strip('"') for key, value in wanted.items()} in shown, shown or self.bench.kinds()
