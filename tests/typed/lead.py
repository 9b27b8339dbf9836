"""What a careful mechanic types on the way to a step or to the end, so that a proof can begin there."""

from __future__ import annotations

from pathlib import Path

from assistant.events import Source
from assistant.language.en import ENGLISH
from assistant.procedure.format.reader import read_procedure
from assistant.session.understanding import is_phrase
from tests.fakes.mechanic import SECOND, next_words
from tests.session.bench import Bench

_PER_WORD_S = 0.4  # as in a typed rehearsal: 150 words a minute
_PAUSE_S = 0.5


def lines_to(procedure: Path, step: str | None, tools: Path | None = None) -> list[str]:
    """Return the lines of a typed talk up to ``step`` (its hazards acknowledged); None leads to the end of the job."""
    read = read_procedure(procedure).procedure
    assert read is not None, procedure
    bench = Bench(read, tools=tools.read_text("utf-8") if tools else "")
    lines: list[str] = []
    for _ in range(3000):
        view = bench.session.view(bench.now)
        here = view["step"] is not None and view["step"]["id"] == step and view["phase"] != "hazard"
        if here or bench.session.closed:
            return lines
        lines.append(_one(bench))
    raise AssertionError(f"the careful mechanic does not come to {step or 'the end'}")


def _one(bench: Bench) -> str:
    words = next_words(bench.session.view(bench.now))
    if words is None:
        due = bench.session.next_tick()
        assert due is not None, f"nothing leads on from here: {bench.session.view(bench.now)}"
        wait = max(0.001, round(due - bench.now, 3))
        bench.wait(wait)
        return f"+{wait} s"
    bench.hear(
        words,
        after=round((len(bench.spoken[-1].split()) + len(words.split())) * _PER_WORD_S + _PAUSE_S, 3),
        source=Source.KEY if words == SECOND else Source.VOICE,
    )
    if words == SECOND:
        return f"(key) {words}"
    return words if is_phrase(words, ENGLISH) else f'"{words}"'
