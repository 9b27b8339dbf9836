"""The day of a bay: it waits, works through the job that is asked for, and waits again, until somebody ends it."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from assistant.bay.around import Runner
from assistant.bay.bay import Signals
from assistant.bay.inbox import Inbox
from assistant.bay.job_opening import OpenJob, say_first
from assistant.bay.live import Opener, OpenRoom, resumer, starter
from assistant.central.place import CentralFault
from assistant.clock import SteadyClock
from assistant.events import Thresholds
from assistant.facts.bay import EndedBy
from assistant.facts.scan import CardScanned
from assistant.idle.beginning import after_job, not_begun
from assistant.idle.known import KnownHere
from assistant.idle.runner import IdleRunner
from assistant.idle.state import Between, Ended, IdleInput, JobCard, Outcome, Pressed, ResumeJob, StartJob, Wish
from assistant.journal.port import Damaged, JobBusy, Journal, JournalFault
from assistant.kept.file_changes import changes_of_job
from assistant.kept.job_card import card_facts
from assistant.kept.options import CardOptions
from assistant.language.chosen import LANGUAGE
from assistant.settings import Settings, override
from assistant.terminal.exits import Exit, Refusal
from assistant.voice.ports import VoiceFault
from assistant.worker import Failures
from assistant.workshop.line import job_brought

MOST_OF_A_NAME = 80
"""So many letters of a machine or a customer are taken from the page; its fields take no more. Ours."""
SESSION_BROKE = "The assistant failed while it opened the job; nothing was kept of that. Try again."


class NotBegun(Exception):
    """Why a job does not begin: ``why`` is a code of what is said, ``sentence`` is for the screen."""

    def __init__(self, why: str, sentence: str) -> None:
        super().__init__(sentence)
        self.why, self.sentence = why, sentence


def idle_input(inbox: Inbox, given: IdleInput) -> None:
    """Let the loop behind ``inbox`` answer what was pressed or scanned; during a job it means nothing here."""

    def take(runner: Runner, now: float) -> None:
        if isinstance(runner, IdleRunner):
            runner.take(given, now)

    inbox.put(take)


def pressed_on_page(inbox: Inbox) -> Callable[[Mapping[str, str]], None]:
    """Return what takes a press on the page: ``button``, ``value``, and ``asset`` and ``customer`` of a new job."""

    def choose(given: Mapping[str, str]) -> None:
        card = (
            JobCard(_one_line(given.get("asset", "")), _one_line(given.get("customer", "")))
            if {"asset", "customer"} & given.keys()
            else None
        )
        idle_input(inbox, Pressed(given.get("button", ""), given.get("value", ""), card))

    return choose


def _one_line(text: str) -> str:
    return " ".join(text.split())[:MOST_OF_A_NAME]


class Day:
    """One bay, from the moment on that it is opened until it is ended."""

    def __init__(
        self,
        room: OpenRoom,
        settings: Settings,
        known: KnownHere,
        *,
        closed: Callable[[str], None] = lambda _job: None,
        doing: Callable[[str], None] = lambda _job: None,
    ) -> None:
        """Wait in ``room``, whose jobs have ``settings``; ``closed`` is told of each job that was closed.

        ``doing`` is told which job is at work from now on; "" while the bay waits.
        """
        self._doing = doing
        self._room, self._settings, self._known, self._closed = room, settings, known, closed
        self._failures = Failures("session", room.inbox.failed)
        self._welcome: list[str] = []

    def run(self, welcome: list[str]) -> Exit:
        """Wait and work until the day is ended; ``welcome`` is printed first.

        Raises:
            VoiceFault: a part of a talk cannot go on, or the voice detector cannot be loaded.
        """
        self._welcome = welcome
        begins = Outcome(self._idle())
        bay = self._room.bay
        with Signals(self._room.inbox.wake if bay.ears.is_live else None) as stop:  # also while a job is opened
            while not stop.by:
                wish = self._wait(begins)
                if isinstance(wish, Exit):
                    return wish
                ended, begins = self._work(wish)
                if ended is Exit.INTERRUPTED or bay.ears.over:
                    return ended
            return _ended_by(stop.by)

    def _idle(self) -> Between:
        return Between(self._known.now(), self._settings.wake)

    def _wait(self, begins: Outcome) -> Wish | Exit:
        """Wait until a job is asked for."""
        self._doing("")
        self._room.clock.begin_by_the_wall()
        bay = self._room.bay
        runner = IdleRunner(
            begins,
            bay.speaker,
            bay.screen,
            known=self._known.now,
            limits=bay.limits,
            listen_for=bay.ears.listen_for,
            on_failure=bay.on_failure,
        )
        welcome, self._welcome = self._welcome, []
        with bay.attending(runner, welcome) as stop:
            if runner.wish is not None and not stop.by:
                return runner.wish
            bay.speaker.hush()
            if bay.gave_up:
                return Exit.BROKEN
            return _ended_by(stop.by)

    def _work(self, wish: Wish) -> tuple[Exit, Outcome]:
        """Work through the job that is wanted; return how it ended, and how the bay waits behind it."""
        title = wish.row.title
        opened: list[OpenJob] = []
        try:
            ended = self._room.work(_first_saying(wish.first, self._opener(wish), opened, self._doing))
        except (NotBegun, JournalFault, Refusal, VoiceFault, CentralFault) as fault:
            if not opened:
                return self._not_begun(_why(fault), fault.sentence, title)
            self._welcome, ended = [fault.sentence], Exit.JOURNAL
        except Exception as fault:
            if not self._room.bay.ears.is_live:
                raise
            self._failures.note(fault)
            if not opened:
                return self._not_begun("refused", SESSION_BROKE, title)
            ended = Exit.BROKEN
        job = opened[0].job.id
        if ended is Exit.OK:
            self._closed(job)
        how = {Exit.OK: "closed", Exit.BROKEN: "broken"}.get(ended, "lost")
        return ended, after_job(self._known.now(), self._settings.wake, Ended(job, title, how), LANGUAGE)

    def _not_begun(self, why: str, sentence: str, title: str) -> tuple[Exit, Outcome]:
        self._welcome = [sentence]
        now_ms = round(self._room.clock.now() * 1000)
        return Exit.OPEN, not_begun(self._idle(), why, title, now_ms, LANGUAGE)

    def _opener(self, wish: Wish) -> Opener:
        """Return what opens the job that is wanted.

        Raises:
            NotBegun, Refusal, JournalFault: it cannot begin.
        """
        match wish:
            case StartJob(row, operator, card):
                path = self._known.path(row.key)
                if path is None:
                    raise NotBegun("gone", f"{row.key} is not in the folder of the procedures any more.")
                reading = self._known.reading(path)
                if reading.procedure is None:
                    raise NotBegun("errors", "\n".join(str(finding) for finding in reading.findings))
                if reading.procedure.sha256 != row.content:
                    raise NotBegun("changed", f"{path} was changed since it was listed.")
                settings = override(self._settings, {"operator": operator})
                about = card_facts(CardOptions(asset=card.asset, customer=card.customer))
                return _with_card(card, starter(settings, reading, path, about))
            case ResumeJob(row, operator):
                if row.bay:
                    job_brought(row.key, self._settings)
                return resumer(row.key, operator, changes_of_job(row.key))


def _with_card(card: JobCard, opener: Opener) -> Opener:
    """Return ``opener`` whose job has an entry of the code that it was begun by, where it was."""
    source = card.scanned
    if source is None:
        return opener

    def opening(journal: Journal, limits: Thresholds, clock: SteadyClock) -> OpenJob:
        opened = opener(journal, limits, clock)
        fields = tuple(name for name, value in (("asset", card.asset), ("customer", card.customer)) if value)
        opened.job.append([CardScanned(order=card.order, fields=fields, source=source)], round(clock.now() * 1000))
        return opened

    return opening


def _first_saying(sentence: str, opener: Opener, opened: list[OpenJob], doing: Callable[[str], None]) -> Opener:
    """Return ``opener`` whose job says ``sentence`` first, is put into ``opened``, and told to ``doing``."""

    def opening(journal: Journal, limits: Thresholds, clock: SteadyClock) -> OpenJob:
        job = opener(journal, limits, clock)
        opened.append(job)
        doing(job.job.id)
        if sentence:
            job.first = say_first(sentence, job.first)
        return job

    return opening


def _why(fault: Exception) -> str:
    """Return the code of what is said of ``fault``."""
    match fault:
        case NotBegun():
            return fault.why
        case JobBusy():
            return "busy"
        case CentralFault():
            return "elsewhere"
        case Damaged():
            return "damaged"
        case Refusal(code=Exit.JOURNAL):
            return "closed"
    return "refused"


def _ended_by(by: EndedBy | None) -> Exit:
    """Return how a day ends in which no job is open: the system's shutdown is the usual end."""
    return Exit.INTERRUPTED if by is EndedBy.CONTROL_C else Exit.OK
