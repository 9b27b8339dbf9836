"""Talks as text: what the mechanic says, and what must be heard back, word for word, in this order.

A talk is a text file. ``procedure:`` names one of the example procedures, ``tools: yes`` gives it the example
tool file, ``operator:`` names who works on the job, ``at:`` is the step that a careful mechanic first comes to (hazards
and all). Then, line by line, with the answers of :mod:`tests.answers`::

    M: next                     the mechanic says it
    (key) next                  the same by a key; (mumbles), (background) next, (dictates) free words
    (20 seconds)                time passes; what is said by itself meanwhile is the answer

Lines that begin with # are remarks.
"""

from __future__ import annotations

import re
from pathlib import Path

from assistant.events import Clarity, Source
from assistant.session.session import Reply
from tests.answers import Answer
from tests.session.bench import Bench
from tests.session.examples import TOOLS, bolts_only, every_kind, measured

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
        self._hear(self.bench.lead_to(head["at"]) if "at" in head else self.bench.spoken[-1])

    def play(self) -> None:
        """Play all lines; an AssertionError says which one was not kept."""
        for number, line in enumerate(self.lines, 1):
            if not line or line.startswith(("#", "tools: ", *_HEAD)):
                continue
            try:
                self._line(line)
            except AssertionError as fault:
                raise AssertionError(f"line {number}: {line!r}: {fault}") from fault

    def _line(self, line: str) -> None:
        if spoken := re.fullmatch(r"(?:M:|\((key|background|mumbles|dictates)\)) ?(.*)", line):
            self._hear(self.bench.hear(spoken[2], **_MANNERS.get(spoken[1], {})))
        elif passed := re.fullmatch(r"\((\d+) seconds\)", line):
            self.bench.last = Reply()
            self._hear(self.bench.wait(float(passed[1])))
        else:
            self.answer.check(line)

    def _hear(self, said: str) -> None:
        self.answer = Answer(said, [tone.value for tone in self.bench.tones()], self.bench.records())
