"""A whole job in few words: a careful mechanic makes no mistake, and every word of the assistant is counted.

The job was written out step by step at first (``valves-written-out.yaml``), as it had to be before tables of readings,
passes and branches: the program of 26 November 2026 (c64aa03) said 2,666 words in 126 answers.
"""

from __future__ import annotations

from pathlib import Path

from assistant.events import Say
from tests.fakes.mechanic import next_words
from tests.jobs import ROOT, START_S, opening, source_of, spoken

WRITTEN_OUT = 2666


def words_of(path: Path) -> int:
    """Return how many words the assistant says in the whole job of the procedure at ``path``."""
    session, first = opening(path)
    now, answers = START_S, 0
    reply = session.open(first, now)
    words = 0
    while True:
        words += sum(len(effect.text.split()) for effect in reply.effects if isinstance(effect, Say))
        if session.closed:
            return words
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


def test_the_job_takes_at_most_sixty_percent_of_the_words_that_it_took_written_out() -> None:
    assert words_of(ROOT / "procedures/valve-clearances.yaml") <= 0.6 * WRITTEN_OUT


def test_even_written_out_it_takes_fewer_words_than_it_did() -> None:
    assert words_of(ROOT / "tests/typed/procedures/valves-written-out.yaml") <= 0.85 * WRITTEN_OUT
