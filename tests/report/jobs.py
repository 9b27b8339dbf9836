"""Real jobs for the tests of papers: the session and the journal of the bay, and a careful mechanic without a voice."""

from collections.abc import Callable
from pathlib import Path

from assistant.events import Clarity, Heard, Record, Source
from assistant.journal.opening import open_journal
from assistant.journal.port import Entry, Journal
from assistant.procedure.format.reader import read_procedure
from assistant.session import Session
from tests.fakes.mechanic import next_words

ROOT = Path(__file__).parents[2]
DEMOS = sorted((ROOT / "procedures").glob("*.yaml"))
SHORT = ROOT / "procedures" / "coolant-pump-cover.yaml"
START_S = 1_790_000_000.0
"""21 September 2026, 14:13:20 UTC."""

Say = Callable[[Session, float], str | None]
"""What is said in place of the careful mechanic's words; None for his."""


def work(journal: Journal, path: Path = SHORT, *, say: Say = lambda *_: None, most: int = 10_000, **facts) -> str:
    """Do the job of the procedure at ``path``, until it is closed or after ``most`` words; return its name."""
    reading = read_procedure(path)
    assert reading.procedure is not None, reading.findings
    session = Session(reading.procedure)
    opened = {
        "title": reading.procedure.title,
        "procedure_id": reading.procedure.id,
        "procedure_revision": reading.procedure.revision,
        "procedure_sha256": reading.procedure.sha256,
        "procedure_file": path.name,
        "procedure_yaml": reading.data.decode(),
        "version": "test",
        **{key: value for key, value in facts.items() if key != "start_s"},
    }
    now = facts.get("start_s", START_S)
    job = journal.create(_records(session.open(now, opened)), round(now * 1000))
    for _ in range(most):
        if session.closed:
            break
        view = session.view(now)
        words = say(session, now) or next_words(view)
        if words is None:
            now = max(now, session.next_tick() or now)
            job.append(_records(session.tick(now)), round(now * 1000))
            continue
        now += 2.0
        dictated = view["phase"] == "dictation" and words != "end note"
        clarity = Clarity.DICTATION if dictated else Clarity.PHRASE
        source = Source.PEDAL if words == "next" and view["phase"] == "doing" else Source.VOICE
        heard = Heard(words, 0.95, now - 1.0, now, clarity, source)
        job.append(_records(session.hear(heard, now)), round(now * 1000))
    job.close()
    return job.id


def _records(effects) -> list[Record]:
    return [effect for effect in effects if isinstance(effect, Record)]


def kept(records: list[Record], now_ms: int, *later: tuple[list[Record], int]) -> tuple[str, list[Entry]]:
    """Return name and entries of a job with ``records`` at ``now_ms``, and each of ``later`` at its own time."""
    with open_journal(None) as journal:
        job = journal.create(records, now_ms)
        for more, at_ms in later:
            job.append(more, at_ms)
        return job.id, job.entries()


def entries_of(journal: Journal, job: str) -> list[Entry]:
    """Return the entries of a job that must be good."""
    assert journal.verify(job).good
    return journal.read(job).entries
