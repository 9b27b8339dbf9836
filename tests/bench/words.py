"""Counts the words that the assistant says in whole jobs, to a careful mechanic who makes no mistake.

A word is what stands between two spaces. One job was written out step by step at first (``valves-written-out.yaml``),
as it had to be before tables of readings, passes and branches: the program of 26 November 2026 (c64aa03) said 2,666
words in 126 answers. The demo is the same job with what is there since, and takes at most 60 percent of them,
without what that job did not have: bolts that are read off one by one, a count of how often others go in again, and
numbers that are read back because they sound like others. Numbers that are typed are not, so there they are typed.
"""

from __future__ import annotations

from pathlib import Path

from assistant.events import Say, Source
from assistant.language.en import ENGLISH
from assistant.procedure.format.reader import read_text
from assistant.session.session import Session
from tests.bench.figures import Figure, Tell
from tests.fakes.mechanic import next_words
from tests.jobs import DEMOS, ROOT, START_S, opened_by, opening, source_of, spoken

WRITTEN_OUT_WORDS = 2666
MOST_WORDS_OF_DEMO = 0.6 * WRITTEN_OUT_WORDS
WRITTEN_OUT = ROOT / "tests/typed/procedures/valves-written-out.yaml"
DEMO = ROOT / "procedures/valve-clearances.yaml"
_NUMBERS = ("counting", "fitting", "filling", "reading", "measuring")
"""What the names of the states begin with in which numbers are given."""


def same_job() -> str:
    """Return the text of the demo without what the job that was written out did not have."""
    text = DEMO.read_text("utf-8")
    for more in (", read: torque", "    retighten_at_most: 3\n"):
        assert more in text
        text = text.replace(more, "")
    return text


def words_of(path: Path, text: str | None = None, *, typed: bool = False) -> int:
    """Return how many words the assistant says in the whole job of the procedure at ``path``, or of its ``text``."""
    return sum(len(said.split()) for said in said_in(path, text, typed=typed))


def said_in(path: Path, text: str | None = None, *, typed: bool = False) -> list[str]:
    """Return all that the assistant says in the whole job of the procedure at ``path``, one answer after another.

    With a ``text`` it is that of the procedure, in place of what stands in the file; numbers are spoken, or ``typed``.
    """
    if text is None:
        session, first = opening(path)
    else:
        reading = read_text(text.encode(), path.name)
        first = opened_by(reading, procedure_file=path.name)
        session = Session(reading.usable, language=ENGLISH)
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
        source = Source.KEY if typed and phase.startswith(_NUMBERS) else source_of(said, phase)
        reply = session.hear(spoken(said, now, dictated=dictated, source=source), now)


def figures(tell: Tell) -> list[Figure]:
    """Return the words of each demo, and of the job that was written out."""
    tell("words of whole jobs")
    words = words_of(DEMO, same_job(), typed=True)
    least = Figure(f"Words of {DEMO.stem}, as written out", words, "words", MOST_WORDS_OF_DEMO + 1)
    return [least, *(Figure(f"Words of {path.stem}", words_of(path), "words") for path in (*DEMOS, WRITTEN_OUT))]
