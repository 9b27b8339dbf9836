"""Counts the words that the assistant says in whole jobs, to a careful mechanic who makes no mistake.

A word is what stands between two spaces. One job was written out step by step at first (``valves-written-out.yaml``),
as it had to be before tables of readings, passes and branches: the program of 26 November 2026 (c64aa03) said 2,666
words in 126 answers. The demo is the same job with what is there since, and takes at most 60 percent of them.
"""

from __future__ import annotations

from pathlib import Path

from assistant.events import Say
from tests.bench.figures import Figure, Tell
from tests.fakes.mechanic import next_words
from tests.jobs import DEMOS, ROOT, START_S, opening, source_of, spoken

WRITTEN_OUT_WORDS = 2666
MOST_WORDS_OF_DEMO = 0.6 * WRITTEN_OUT_WORDS
WRITTEN_OUT = ROOT / "tests/typed/procedures/valves-written-out.yaml"
DEMO = ROOT / "procedures/valve-clearances.yaml"


def words_of(path: Path) -> int:
    """Return how many words the assistant says in the whole job of the procedure at ``path``."""
    return sum(len(text.split()) for text in said_in(path))


def said_in(path: Path) -> list[str]:
    """Return all that the assistant says in the whole job of the procedure at ``path``, one answer after another."""
    session, first = opening(path)
    now, answers = START_S, 0
    reply = session.open(first, now)
    said_by_it: list[str] = []
    while True:
        said_by_it += [effect.text for effect in reply.effects if isinstance(effect, Say)]
        if session.closed:
            return said_by_it
        answers += 1
        assert answers < 400, "a job without end"
        view = session.view(now)
        said = next_words(view)
        if said is None:
            due = session.next_tick()
            assert due is not None
            now = max(now, due)
            reply = session.tick(now)
            continue
        now += 2.0
        phase = view["phase"]
        dictated = phase == "dictation" and said != "end note"
        reply = session.hear(spoken(said, now, dictated=dictated, source=source_of(said, phase)), now)


def figures(tell: Tell) -> list[Figure]:
    """Return the words of each demo, and of the job that was written out."""
    tell("words of whole jobs")
    limits = {DEMO: MOST_WORDS_OF_DEMO + 1}
    return [
        Figure(f"Words of {path.stem}", words_of(path), "words", limits.get(path)) for path in (*DEMOS, WRITTEN_OUT)
    ]
