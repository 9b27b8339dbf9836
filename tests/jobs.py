"""Example jobs: the one builder of them. A careful mechanic without a voice works on the session and a journal.

Every answer is committed before the next word, as the bay does it.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any

from assistant.events import Clarity, Heard, Source
from assistant.facts import Fact
from assistant.facts.inputs import Opened, Understood
from assistant.facts.people import Noted
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry, JobHandle, Journal
from assistant.language.en import ENGLISH
from assistant.procedure.format.reader import Reading, read_kept, read_procedure
from assistant.session.evolving.table import fold
from assistant.session.session import Session
from tests.fakes.mechanic import next_words

ROOT = Path(__file__).parents[1]
DEMOS = sorted((ROOT / "procedures").glob("*.yaml"))
SHORT = ROOT / "procedures" / "coolant-pump-cover.yaml"
SHORTEST = ROOT / "tests" / "procedure" / "good" / "bench-check.yaml"
LONG = ROOT / "procedures" / "hub-drive-reseal.yaml"
START_S = 1_790_000_000.0
"""21 September 2026, 14:13:20 UTC."""

Say = Callable[[Session, float], str | None]
"""What is said in place of the careful mechanic's words; None for his."""


def opened_by(reading: Reading, **more: Any) -> Opened:
    """Return the first fact of a job on what was read; ``more`` are other fields of it."""
    procedure = reading.procedure
    assert procedure is not None, reading.findings
    given: dict[str, Any] = {
        "title": procedure.title,
        "procedure_id": procedure.id,
        "procedure_revision": procedure.revision,
        "procedure_sha256": procedure.sha256,
        "procedure_file": "procedure.yaml",
        "procedure_yaml": reading.data.decode(),
        "program": "test",
    }
    return Opened(**(given | more))


def bare(title: str = "Practice", **more: Any) -> Opened:
    """Return the first fact of a job that has nothing but a title; ``more`` are other fields."""
    given = dict.fromkeys(
        ("procedure_id", "procedure_revision", "procedure_sha256", "procedure_file", "procedure_yaml"), ""
    )
    return Opened(**({"title": title} | given | more))


def heard(intent: str = "next", **more: Any) -> Understood:
    """Return the fact that ``intent`` was understood; ``more`` are other fields."""
    given: dict[str, Any] = {
        "confidence": Decimal("0.95"), "started_ms": 0, "ended_ms": 1, "source": Source.VOICE,
        "clarity": Clarity.PHRASE,
    }  # fmt: skip
    return Understood(intent=intent, **(given | more))


def note(text: str, step: str | None = None) -> Noted:
    """Return the fact that a note was taken down."""
    return Noted(step=step, text=text)


def kept(facts: Sequence[Fact], now_ms: int, *later: tuple[Sequence[Fact], int]) -> tuple[str, list[Entry]]:
    """Return name and entries of a job with ``facts`` at ``now_ms``, and each of ``later`` at its own time."""
    with open_journal(None) as journal:
        job = journal.create(facts, now_ms)
        for more, at_ms in later:
            job.append(more, at_ms)
        return job.id, job.entries()


def opening(path: Path, **more: Any) -> tuple[Session, Opened]:
    """Return a session for the procedure at ``path``, and the fact that opens its job."""
    reading = read_procedure(path)
    first = opened_by(reading, procedure_file=path.name, **more)
    assert reading.procedure is not None
    return Session(reading.procedure, language=ENGLISH), first


def taken_up(entries: Sequence[Entry]) -> Session:
    """Return the session that the stored entries lead to."""
    first = entries[0].fact
    assert isinstance(first, Opened)
    procedure = read_kept(first.procedure_yaml.encode(), first.procedure_file).procedure
    assert procedure is not None
    return Session(procedure, language=ENGLISH, state=fold(entry.fact for entry in entries))


def walk(
    session: Session, job: JobHandle, *, chatter: tuple[str, ...] = (), say: Say = lambda *_: None
) -> Iterator[float]:
    """Take the job to its end; yields the time [s] after each commit.

    ``chatter`` is said between the useful words, but not where it would be written down or cancel a read-back.
    """
    now = START_S
    while not session.closed:
        assert now < START_S + 30 * 24 * 3600, "a month of work and no end"
        view = session.view(now)
        words = say(session, now) or next_words(view)
        phase = view["phase"]
        for word in chatter if words is not None and phase not in ("dictation", "confirming", "paused") else ():
            now += 2.0
            job.append(session.hear(spoken(word, now), now).facts, round(now * 1000))
            yield now
        if words is None:
            due = session.next_tick()
            assert due is not None, "the job waits, but for nothing"
            now = max(now, due)
            reply = session.tick(now)
        else:
            now += 2.0
            dictated = phase == "dictation" and words != "end note"
            source = source_of(words, phase)
            reply = session.hear(spoken(words, now, dictated=dictated, source=source), now)
        if reply.facts:
            job.append(reply.facts, round(now * 1000))
        yield now


def source_of(words: str, phase: str) -> Source:
    """Return how he says ``words`` in a state: names are typed, and the pedal says "next" at a step that is done."""
    if phase == "naming":
        return Source.KEY
    return Source.PEDAL if words == "next" and phase == "doing" else Source.VOICE


def spoken(text: str, now: float, *, dictated: bool = False, source: Source = Source.VOICE) -> Heard:
    """Return what was heard at ``now`` [s]: a phrase, or words that were ``dictated``."""
    return Heard(text, 0.95, now - 1.0, now, Clarity.DICTATION if dictated else Clarity.PHRASE, source)


def work(
    journal: Journal, path: Path = SHORT, *, say: Say = lambda *_: None, most: int = 10_000,
    start_s: float = START_S, **more: Any,
) -> str:  # fmt: skip
    """Do the job of the procedure at ``path``, until it is closed or after ``most`` words; return its name."""
    session, first = opening(path, **more)
    job = journal.create(session.open(first, start_s).facts, round(start_s * 1000))
    now = start_s
    for _ in range(most):
        if session.closed:
            break
        view = session.view(now)
        words = say(session, now) or next_words(view)
        if words is None:
            now = max(now, session.next_tick() or now)
            job.append(session.tick(now).facts, round(now * 1000))
            continue
        now += 2.0
        dictated = view["phase"] == "dictation" and words != "end note"
        source = source_of(words, view["phase"])
        job.append(session.hear(spoken(words, now, dictated=dictated, source=source), now).facts, round(now * 1000))
    job.close()
    return job.id


def entries_of(journal: Journal, job: str) -> list[Entry]:
    """Return the entries of a job that must be good."""
    assert journal.verify(job).good
    return journal.read(job).entries
