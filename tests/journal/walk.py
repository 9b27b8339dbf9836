"""A whole job by the careful mechanic, each answer committed before the next word: what the bay does, without sound."""

from collections.abc import Callable, Iterator
from pathlib import Path

from assistant.events import Clarity, Effect, Heard, Record
from assistant.journal.port import Entry, JobHandle
from assistant.journal.replay import replay
from assistant.procedure.format.reader import Reading, read_kept, read_procedure
from assistant.session import INPUT_KINDS, Session
from tests.fakes.mechanic import next_words

ROOT = Path(__file__).parents[2]
SHORT = ROOT / "tests" / "procedure" / "good" / "bench-check.yaml"
LONG = ROOT / "procedures" / "hub-drive-reseal.yaml"
START_S = 1_790_000_000.0


def records(effects: list[Effect]) -> list[Record]:
    return [effect for effect in effects if isinstance(effect, Record)]


def opening(path: Path) -> tuple[Session, list[Record]]:
    """Return a session for the procedure at ``path``, and the records that open its job."""
    reading: Reading = read_procedure(path)
    assert reading.procedure is not None, reading.findings
    session = Session(reading.procedure)
    facts = {
        "title": reading.procedure.title,
        "procedure_id": reading.procedure.id,
        "procedure_sha256": reading.procedure.sha256,
        "procedure_file": path.name,
        "procedure_yaml": reading.data.decode(),
    }
    return session, records(session.open(START_S, facts))


def rebuilt(entries: list[Entry], tell: Callable[[int], None] = lambda _: None) -> Session:
    """Return the session that the entries alone lead to."""
    opened = entries[0].data
    reading = read_kept(opened["procedure_yaml"].encode(), opened["procedure_file"])
    assert reading.procedure is not None
    session = Session(reading.procedure)
    replay(entries, session, INPUT_KINDS, tell)
    return session


def walk(session: Session, job: JobHandle, *, chatter: tuple[str, ...] = ()) -> Iterator[float]:
    """Take the job to its end; yields the time [s] after each commit.

    ``chatter`` is said between the useful words, but not where it would be written down or cancel a read-back.
    """
    now = START_S
    while not session.closed:
        assert now < START_S + 30 * 24 * 3600, "a month of work and no end"
        words = next_words(session.view(now))
        phase = session.view(now)["phase"]
        for word in chatter if words is not None and phase not in ("dictation", "confirming", "paused") else ():
            now += 2.0
            job.append(records(session.hear(_heard(word, now), now)), round(now * 1000))
            yield now
        if words is None:
            due = session.next_tick()
            assert due is not None, "the job waits, but for nothing"
            now = max(now, due)
            effects = session.tick(now)
        else:
            now += 2.0
            effects = session.hear(_heard(words, now, dictated=phase == "dictation" and words != "end note"), now)
        job.append(records(effects), round(now * 1000))
        yield now


def _heard(text: str, now: float, *, dictated: bool = False) -> Heard:
    return Heard(text, 0.95, now - 1.0, now, Clarity.DICTATION if dictated else Clarity.PHRASE)
