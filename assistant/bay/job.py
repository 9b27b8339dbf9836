"""What a live job and a rehearsal share: reading the procedure, choosing the parts, opening or resuming the job."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from pathlib import Path
from typing import Any

from assistant import __version__
from assistant.bay.exits import Exit
from assistant.bay.job_clock import Resuming, resuming
from assistant.bay.terminal import STOPPED, give_stdout_back, warn
from assistant.bay.tool_facts import tool_facts, tools_path
from assistant.clock import SteadyClock
from assistant.events import Effect, Limits, Record, Say
from assistant.fastening.tools import ToolBox
from assistant.journal.faults import explain
from assistant.journal.port import Entry, JobBusy, JobHandle, JournalFault
from assistant.journal.replay import replay
from assistant.journal.sqlite import SqliteJournal
from assistant.procedure.content import approval_clause
from assistant.procedure.model import Procedure
from assistant.procedure.reader import Reading, read_kept, read_procedure
from assistant.procedure.tool_file import ToolReading, read_tool_file
from assistant.session import INPUT_KINDS, Session
from assistant.settings import Settings, SettingsFault, home, load_settings, override, settings_path
from assistant.voice.ports import Recogniser, VoiceFault
from assistant.voice.synth_natural import is_installed
from assistant.voice.synth_process import NATURAL, PYTTSX3, ProcessSynthesiser
from assistant.voice.voices import Voices, unheard_of
from assistant.worker import OnFailure


class Refusal(Exception):
    """Why a command cannot go on: one ``sentence`` (or several findings) for the person, and the exit ``code``.

    No frozen dataclass: a context manager sets the traceback of what is raised in it, which such a class refuses.
    """

    def __init__(self, sentence: str, code: Exit) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.code = code


def refuse(fault: Exception) -> Refusal:
    """Return the refusal that stands for a fault of one of the rooms."""
    match fault:
        case Refusal():
            return fault
        case JobBusy():
            return Refusal(fault.sentence, Exit.BUSY)
        case JournalFault():
            return Refusal(fault.sentence, Exit.JOURNAL)
        case VoiceFault():
            return Refusal(fault.sentence, Exit.DEVICE)
        case SettingsFault():
            return Refusal(fault.sentence, Exit.USAGE)
    raise fault


def guarded(work: Callable[[], Exit]) -> Exit:
    """Do ``work``; a fault that a person can do something about is printed as a sentence, and gives its exit code."""
    try:
        return work()
    except (Refusal, JournalFault, VoiceFault, SettingsFault) as fault:
        refusal = refuse(fault)
        warn(refusal.sentence)
        return refusal.code
    except KeyboardInterrupt:
        warn(STOPPED)
        return Exit.INTERRUPTED
    finally:
        give_stdout_back()


def journal_path() -> Path:
    """Return where the journal lies."""
    return home() / "journal.sqlite"


def journal_is_there() -> bool:
    """Return whether there is a journal.

    Raises:
        JournalFault: its folder is a file, or may not be looked into.
    """
    try:
        journal_path().stat()
    except FileNotFoundError:
        return False
    except OSError as fault:
        raise explain(fault, journal_path()) from fault
    return True


def settings_for(options: Mapping[str, Any]) -> Settings:
    """Return the settings of this bay with the command line's options in their place."""
    return override(load_settings(settings_path()), options)


def read_or_refuse(path: Path) -> Reading:
    """Return the procedure at ``path``.

    Raises:
        Refusal: it has errors; all findings are in the sentence, one a line.
    """
    reading = read_procedure(path)
    if reading.procedure is None:
        raise Refusal("\n".join(str(finding) for finding in reading.findings), Exit.PROCEDURE)
    return reading


def read_tools_or_refuse(path: Path) -> tuple[ToolBox, ToolReading]:
    """Return the tools in the file ``path``, and how it was read.

    Raises:
        Refusal: it has errors; all findings are in the sentence, one a line.
    """
    reading = read_tool_file(path)
    if reading.box is None:
        raise Refusal("\n".join(str(finding) for finding in reading.findings), Exit.PROCEDURE)
    return reading.box, reading


def check_tools(setting: str) -> None:
    """Make sure that the tool file of this bay, if there is one, can be used, before devices are opened.

    Raises:
        Refusal: it has errors.
    """
    path = tools_path(setting)
    if path is not None:
        read_tools_or_refuse(path)


def _tools_of(path: Path | None, journal: SqliteJournal) -> dict[str, Any]:
    """Return what a job keeps of the tool file at ``path``; {} without one."""
    return {} if path is None else tool_facts(path.name, *read_tools_or_refuse(path), journal)


def about(reading: Reading) -> str:
    """Return, for the screen, which edition a job begins with, who approved it, and whether a look at it is wanted."""
    it = _procedure(reading)
    line = f"{it.title}, revision {it.revision}: {approval_clause(it)}."
    if reading.findings:
        line += f" It has {len(reading.findings)} warnings; assistant check shows them."
    return line


def choose_recogniser(settings: Settings) -> Recogniser:
    """Return the recogniser that the settings name.

    Raises:
        VoiceFault: the model directory is missing or cannot be read.
    """
    from assistant.voice.vosk_door import VoskRecogniser  # noqa: PLC0415 - the lists need no engine

    return VoskRecogniser(Path(settings.model).expanduser()) if settings.model else VoskRecogniser()


def start_synthesiser(settings: Settings, on_failure: OnFailure = unheard_of) -> Voices:
    """Begin to load the synthesiser that the settings name; see :meth:`Voices.ready`.

    It runs in a process of its own. When it breaks, ``on_failure`` is told and it is started again; when it breaks too
    often, another one speaks.

    Raises:
        VoiceFault: no process can be started.
    """
    wanted = [(NATURAL if settings.synthesiser == "natural" else PYTTSX3, settings.voice), (PYTTSX3, "")]
    if is_installed():
        wanted.append((NATURAL, ""))
    makers = [partial(ProcessSynthesiser, *one) for one in dict.fromkeys(wanted)]
    return Voices(makers[0](), makers, on_failure=on_failure)


def choose_synthesiser(settings: Settings, on_failure: OnFailure = unheard_of) -> Voices:
    """Return the synthesiser that the settings name, loaded; see :func:`start_synthesiser`.

    Raises:
        VoiceFault: it is not installed, or the voice is not known.
    """
    voices = start_synthesiser(settings, on_failure)
    voices.ready()
    return voices


def unheard(recogniser: Recogniser, session: Session) -> str:
    """Return a sentence about the phrases that the recogniser's model cannot hear, or nothing when it can hear all."""
    grammar = session.grammar()
    words = {word for phrase in grammar.phrases for word in phrase.split()}
    words |= {word for slot in grammar.slots for word in slot.prefix.split()}
    missing = recogniser.unknown_words(words)
    if not missing:
        return ""
    named = ", ".join(f'"{word}" (it knows "{near}")' if near else f'"{word}"' for word, near in missing.items())
    if len(missing) > len(words) / 2:
        return f"This model knows few words of the assistant (not {named}): is it English? Use another, or the keys."
    return f"This model cannot hear {named}: use the other ways to say it (assistant phrases), or a key."


@dataclass(slots=True)
class OpenJob:
    """A job that is held, its session, and what the session wants said first."""

    job: JobHandle
    session: Session
    first: list[Effect]
    rebuild: Callable[[], Session]


def open_job(
    journal: SqliteJournal, reading: Reading, name: str, settings: Settings, limits: Limits, now: float, **facts: Any
) -> OpenJob:
    """Open a new job for the procedure that was read from the file ``name``.

    Raises:
        JournalFault: it cannot be kept.
        Refusal: the tool file has errors.
    """
    procedure = _procedure(reading)
    tools = _tools_of(tools_path(settings.tools), journal)
    session = Session(procedure, limits=limits)
    opened = {
        "title": procedure.title,
        "procedure_id": procedure.id,
        "procedure_revision": procedure.revision,
        "procedure_sha256": procedure.sha256,
        "procedure_file": name,
        "procedure_approval": approval_clause(procedure),
        "procedure_yaml": reading.data.decode("utf-8"),
        "operator": settings.operator,
        "keep_audio": settings.keep_audio,
        "version": __version__,
        **tools,
        **facts,
    }
    effects = session.open(now, {key: _as_text(value) for key, value in opened.items()})
    records, rest = _parted(effects)
    job = journal.create(records, round(now * 1000))
    first = rest if procedure.approved else say_first(not_approved(procedure), rest)
    return OpenJob(job, session, first, _rebuilder(job, limits))


def not_approved(procedure: Procedure) -> str:
    """Return what is said at the beginning of a job whose procedure nobody approved as it is, for the ear."""
    if procedure.approval is None:
        return "This procedure is not approved."
    return "This procedure was changed after it was approved."


def say_first(sentence: str, effects: Sequence[Effect]) -> list[Effect]:
    """Return ``effects`` with ``sentence`` before the first words that they say."""
    said = list(effects)
    for place, effect in enumerate(said):
        if isinstance(effect, Say):
            said[place] = replace(effect, text=f"{sentence} {effect.text}")
            return said
    return [Say(sentence), *said]


def closed_words(job: str) -> str:
    """Return what is told at the end of ``job``: that it is closed, and what can be made of it now."""
    return (
        f"Job {job} is closed. Write its record with: assistant record {job} --pdf FILE, "
        f"and its label with: assistant label {job} --pdf FILE"
    )


def check_resumable(path: Path, name: str) -> None:
    """Make sure that the job ``name`` in the journal at ``path`` can be gone on with; changes nothing.

    Raises:
        JournalFault: there is no such job, another process holds it, or it is damaged.
    """
    SqliteJournal(path, read_only=True).close()  # a journal that is not there must not be made
    journal = SqliteJournal(path)
    try:
        journal.open_job(name).close()
    finally:
        journal.close()


def resume_job(
    journal: SqliteJournal,
    name: str,
    limits: Limits,
    now: float,
    tools: str = "",
    operator: str = "",
    *,
    clock: SteadyClock | None = None,
) -> OpenJob:
    """Hold the job ``name`` again and build its session from the journal.

    The job keeps the tools that it was opened with, unless ``tools`` names another tool file; ``operator`` is who goes
    on, and takes the job over if that is somebody else. The time is ``now`` [s since the epoch], or what ``clock``
    makes of it: then it is told when the computer's clock was set since the last entry.

    Raises:
        JournalFault: there is no such job, another process holds it, or it is damaged.
        Refusal: the job is closed, or the tool file has errors.
    """
    changed: dict[str, Any] = _tools_of(tools_path(tools), journal) if tools else {}
    job = journal.open_job(name)
    try:
        entries = job.entries()
        rebuild = _rebuilder(job, limits)
        session = rebuild()
        if session.closed:
            raise Refusal(f"Job {job.id} is closed; start a new one with: assistant run PROCEDURE", Exit.JOURNAL)
        when = resuming(entries, clock) if clock else Resuming(max(now, entries[-1].at_ms / 1000))
        if operator.strip():
            changed |= {"operator": _as_text(operator.strip())}
        effects = session.brief(when.now, changed | dict(when.facts))
        records, rest = _parted(effects)
        job.append(records, round(when.now * 1000))
        if when.by_s:
            records, more = _parted(session.clock_stepped(when.by_s, when.now, between=True))
            job.append(records, round(when.now * 1000))
            rest = [*rest, *more]
    except BaseException:
        job.close()
        raise
    return OpenJob(job, session, rest, rebuild)


def _rebuilder(job: JobHandle, limits: Limits) -> Callable[[], Session]:
    def rebuild() -> Session:
        return rebuild_session(job.entries(), limits)

    return rebuild


def rebuild_session(entries: Sequence[Entry], limits: Limits) -> Session:
    """Return the session that ``entries`` lead to.

    Raises:
        JournalFault: the entries were written under other rules.
    """
    opened = entries[0].data
    reading = read_kept(str(opened["procedure_yaml"]).encode(), str(opened["procedure_file"]))
    if reading.procedure is None:
        raise JournalFault(
            f"The procedure of this job is no longer accepted ({reading.findings[0].text}); nothing is lost: read the "
            "job with assistant show, or use the version that wrote it."
        )
    session = Session(reading.procedure, limits=limits)
    replay(entries, session, INPUT_KINDS)
    return session


def _procedure(reading: Reading) -> Procedure:
    if reading.procedure is None:
        raise ValueError("a reading with errors has no procedure")
    return reading.procedure


def _as_text(value: Any) -> Any:
    """Return a text as UTF-8 can keep it; a command line may hold bytes that are none, each becomes a question mark."""
    return value.encode("utf-8", "replace").decode("utf-8") if isinstance(value, str) else value


def _parted(effects: Sequence[Effect]) -> tuple[list[Record], list[Effect]]:
    records = [effect for effect in effects if isinstance(effect, Record)]
    return records, [effect for effect in effects if not isinstance(effect, Record)]
