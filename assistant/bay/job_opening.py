"""A job is opened, or taken up again from the journal: its session, and what that wants said first."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

from assistant import __version__
from assistant.bay.job import read_tools_or_refuse
from assistant.clock import SteadyClock
from assistant.events import Effect, Say, Thresholds
from assistant.facts import Fact
from assistant.facts.going import Closed
from assistant.facts.inputs import Approved, Opened, Resumed, SetWhen, ToolFile
from assistant.facts.withdrawn import RevisionGone
from assistant.journal.opening import open_journal
from assistant.journal.port import JobHandle, Journal, opened_of
from assistant.kept.earlier import times_before
from assistant.kept.job_clock import Resuming, resuming
from assistant.kept.pictures import Pictures, kept_pictures, pictures_again, pictures_now
from assistant.kept.rebuilding import rebuild_session
from assistant.kept.shim_box import box_known
from assistant.kept.tool_facts import tool_facts, tools_path
from assistant.language.chosen import LANGUAGE
from assistant.procedure.format.reader import Reading
from assistant.procedure.model import Procedure
from assistant.report.meters import clock_of
from assistant.session.session import NO_REPLY, Reply, Session
from assistant.settings import Settings, home
from assistant.terminal.exits import Exit, Refusal
from assistant.workshop.library_copy import bay_library


@dataclass(slots=True)
class OpenJob:
    """A job that is held, its session, and what the session wants said first."""

    job: JobHandle
    session: Session
    first: tuple[Effect, ...]
    rebuild: Callable[[], Session]
    begun: Sequence[Fact] = ()
    """What was put into the journal when the job was opened, or taken up again just now."""
    pictures: Pictures = field(default_factory=dict)
    """What its steps show on a page."""


def open_job(
    journal: Journal, reading: Reading, name: str, settings: Settings, limits: Thresholds, now: float, **facts: Any
) -> OpenJob:
    """Open a new job for the procedure that was read from the file ``name``.

    Raises:
        JournalFault: it cannot be kept.
        Refusal: the tool file, or the list of the box, has errors.
    """
    procedure = reading.usable
    tools, box = _tools_of(tools_path(settings.tools), journal), box_known(settings.box)
    session = Session(procedure, language=LANGUAGE, limits=limits, clock_min=clock_of)
    approval = procedure.approval
    given = {
        "title": procedure.title,
        "procedure_id": procedure.id,
        "procedure_revision": procedure.revision,
        "procedure_sha256": procedure.sha256,
        "procedure_file": name,
        "procedure_yaml": reading.data.decode("utf-8"),
        "approved": Approved.YES if procedure.approved else Approved.CHANGED if approval else Approved.NO,
        "approved_by": approval.by if approval else "",
        "approved_on": str(approval.on) if approval else "",
        "operator": settings.operator,
        "keep_audio": settings.keep_audio,
        "program": __version__,
        "tools": tools,
        **facts,
    }
    reply = session.open(Opened(**{key: _as_text(value) for key, value in given.items()}), now)
    pictures = pictures_now(procedure, str(given.get("procedure_path", "")))
    in_box = () if box is None else session.know(box, now).facts
    gone = _gone(session, now, begins=True)
    begun = (*reply.facts, *gone.facts, *_times(journal, session, now), *in_box, *kept_pictures(pictures))
    job = journal.create(begun, round(now * 1000))
    reply = Reply(reply.facts, (*reply.effects, *gone.effects))
    first = reply.effects if procedure.approved else say_first(approval_missing(procedure), reply.effects)
    return OpenJob(job, session, tuple(first), _rebuilder(job, limits), begun, pictures)


def _times(journal: Journal, session: Session, now: float, job: str = "") -> tuple[Fact, ...]:
    """Let the session know how long its steps took in other jobs than ``job``; return the facts of that."""
    times = times_before(journal, session.procedure.id, session.state.operator, but=job)
    return () if times is None else session.know(times, now).facts


def _gone(session: Session, now: float, *, begins: bool) -> Reply:
    """Let the session know that its revision was withdrawn from the library, where the bay's copy says so."""
    it = session.procedure
    known = bay_library().withdrawal(it.id, it.revision)
    if known is None:
        return NO_REPLY
    fact = RevisionGone(procedure=it.id, revision=it.revision, on=known.day, reason=known.reason, begins=begins)
    return session.withdrawn(fact, now)


def approval_missing(procedure: Procedure) -> str:
    """Return what is said at the beginning of a job whose procedure nobody approved as it is, for the ear."""
    return LANGUAGE.equipment.not_approved(changed=procedure.approval is not None)


def say_first(sentence: str, effects: Sequence[Effect]) -> tuple[Effect, ...]:
    """Return ``effects`` with ``sentence`` before the first words that they say."""
    said = list(effects)
    for place, effect in enumerate(said):
        if isinstance(effect, Say):
            said[place] = replace(effect, text=f"{sentence} {effect.text}")
            return tuple(said)
    return (Say(sentence), *said)


def closed_words(job: str) -> str:
    """Return what is told at the end of ``job``: that it is closed, and what can be made of it now."""
    return (
        f"Job {job} is closed. Write its record with: assistant record {job} --pdf FILE, "
        f"and its label with: assistant label {job} --pdf FILE"
    )


def check_resumable(name: str, now_ms: int) -> None:
    """Make sure that the job ``name`` can be gone on with at ``now_ms`` [ms since the epoch]; it is not gone on with.

    Raises:
        JournalFault: there is no such job, another process holds it, or it is damaged.
        Refusal: it is closed.
    """
    with open_journal(home(), make=False) as journal:
        job = journal.hold(name, now_ms)
        if any(isinstance(entry.fact, Closed) for entry in job.entries()):
            raise _closed(job.id)


def _closed(job: str) -> Refusal:
    return Refusal(f"Job {job} is closed; start a new one with: assistant run PROCEDURE", Exit.JOURNAL)


def resume_job(
    journal: Journal,
    name: str,
    limits: Thresholds,
    at: float | SteadyClock,
    tools: str = "",
    operator: str = "",
    box: str = "",
) -> OpenJob:
    """Hold the job ``name`` again and build its session from the journal.

    The job keeps the tools that it was opened with, unless ``tools`` names another tool file, and the list of its
    box of shims, unless ``box`` names another; ``operator`` is who goes on, and takes the job over if that is somebody
    else. ``at`` is the time [s since the epoch], or the clock that knows it: then it is told when the computer's clock
    was set since the last entry.

    Raises:
        JournalFault: there is no such job, another process holds it, or it is damaged.
        Refusal: the job is closed, or the tool file or the list of the box has errors.
    """
    path = tools_path(tools) if tools else None
    read = None if path is None else read_tools_or_refuse(path)
    shims = box_known(box)
    job = journal.hold(name, round((at.now() if isinstance(at, SteadyClock) else at) * 1000))
    try:
        entries = job.entries()
        rebuild = _rebuilder(job, limits)
        session = rebuild()
        if session.closed:
            raise _closed(job.id)
        when = resuming(entries, at) if isinstance(at, SteadyClock) else Resuming(max(at, entries[-1].at_ms / 1000))
        who = str(_as_text(operator.strip()))
        tool_file = None if path is None or read is None else tool_facts(path.name, *read, journal, job.id)
        reply = session.resume(Resumed(operator=who, tools=tool_file, start=when.start, program=__version__), when.now)
        begun, rest = reply.facts, reply.effects
        if when.by_s:
            reply = session.clock_set(when.by_s, when.now, SetWhen.BETWEEN)
            begun, rest = (*begun, *reply.facts), (*rest, *reply.effects)
        reply = _gone(session, when.now, begins=False)
        begun, rest = (*begun, *reply.facts), (*rest, *reply.effects)
        begun = (*begun, *_times(journal, session, when.now, job.id))
        if shims is not None:
            begun = (*begun, *session.know(shims, when.now).facts)
        job.append(begun, round(when.now * 1000))  # in one: else what is lost between the two is never asked about
    except BaseException:
        job.close()
        raise
    at_home = opened_of(entries[0]).procedure_path
    pictures = pictures_again(session.procedure, at_home, (entry.fact for entry in entries))
    return OpenJob(job, session, rest, rebuild, begun, pictures)


def _rebuilder(job: JobHandle, limits: Thresholds) -> Callable[[], Session]:
    def rebuild() -> Session:
        return rebuild_session(job.entries(), limits)

    return rebuild


def _as_text(value: Any) -> Any:
    """Return a text as UTF-8 can keep it; a command line may hold bytes that are none, each becomes a question mark."""
    return value.encode("utf-8", "replace").decode("utf-8") if isinstance(value, str) else value


def _tools_of(path: Path | None, journal: Journal) -> ToolFile | None:
    """Return what a job keeps of the tool file at ``path``; None without one."""
    return None if path is None else tool_facts(path.name, *read_tools_or_refuse(path), journal)
