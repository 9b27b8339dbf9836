"""A live bay whose parts break, hang and whose computer's clock is set: real session, journal, voice and speaker.

The loop runs as in a job; a script of notes is worked off by it, one at a time, so nothing is waited for in vain.
"""

from __future__ import annotations

import contextlib
import io
import signal
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import Any

from assistant.bay.bay import Bay
from assistant.bay.ears import RoomEars
from assistant.bay.inbox import Inbox
from assistant.bay.job_opening import OpenJob, open_job
from assistant.bay.runner import JobRunner
from assistant.bay.screen import Screen
from assistant.events import Clarity, Heard, Source, Thresholds
from assistant.journal.opening import open_journal
from assistant.kept.job_clock import started
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.model import Procedure
from assistant.settings import Settings
from assistant.terminal.dialogue import Dialogue
from assistant.terminal.exits import Exit
from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.speaking.speaker import CardSpeaker
from tests.fakes.detector import EverythingIsVoice
from tests.fakes.eager_loudspeaker import EagerLoudspeaker
from tests.fakes.fed_microphone import FedMicrophone
from tests.fakes.mechanic import next_words
from tests.fakes.quiet_speaker import QuietSpeaker
from tests.fakes.recogniser import TellRecogniser
from tests.journal import independent
from tests.test_clock import Machine
from tests.voice.people import blocks, in_room, silence
from tests.voice.test_endpoint import tone
from tests.whole_jobs.talks import ROOT

PROCEDURE = ROOT / "procedures" / "coolant-pump-cover.yaml"
Step = Callable[[JobRunner, float], object]
WORD = in_room(silence(1), tone(0.4, -15.0), silence(0.7))


class Notices:
    """A page of which only the sentences about the equipment count."""

    def __init__(self) -> None:
        self.notices: list[str] = []

    def begin(self, procedure: Procedure, pictures: Mapping[str, Any]) -> None:
        """Begin."""

    def show(self, view: Any) -> None:
        """Show."""

    def listen_to(self, ear: Any) -> None:
        """Listen."""

    def notice(self, text: str, *, trouble: bool = True) -> None:
        """Keep the sentence."""
        self.notices.append(text)


class LiveBay:
    """A bay whose loop works off a script; everything in it is real but what ``parts`` say."""

    def __init__(self, home: Path) -> None:
        self.home = home
        self.machine = Machine()
        self.clock = self.machine.clock()
        self.inbox = Inbox()
        self.out = io.StringIO()
        self.page = Notices()
        self.microphone = FedMicrophone()
        self.loudspeaker = EagerLoudspeaker()
        self.stack = contextlib.ExitStack()
        self.journal = self.stack.enter_context(open_journal(home))
        self.recogniser: TellRecogniser = TellRecogniser()
        self.again: Callable[[], TellRecogniser] | None = None
        self.voice: Any = None
        self.speaker: CardSpeaker
        self.opened: OpenJob

    def open(self) -> OpenJob:
        reading = read_procedure(PROCEDURE)
        self.opened = open_job(
            self.journal, reading, PROCEDURE.name, Settings(), Thresholds(), self.clock.now(), start=started(self.clock)
        )
        return self.opened

    def run(self, *script: Step) -> Exit:
        """Work off ``script``, each step on the loop, then end as by Control-C; one that returns False comes again."""
        self.speaker = QuietSpeaker(
            self.voice or Pyttsx3Synthesiser(),
            self.loudspeaker,
            on_fault=self.inbox.told,
            on_failure=self.inbox.failed,
        )
        ears = RoomEars(
            self.microphone,
            self.recogniser,
            self.speaker,
            self.inbox,
            again=self.again,
            detector=EverythingIsVoice(),
            headset=True,
        )
        bay = Bay(ears, self.speaker, self.clock, Screen(Dialogue(self.out), self.page), inbox=self.inbox)
        left = list(script)

        def go_on() -> None:
            def note(runner: JobRunner, now: float) -> None:
                if not left:
                    signal.raise_signal(signal.SIGINT)
                    return
                comes_again = False
                try:
                    comes_again = left[0](runner, now) is False
                finally:
                    if not comes_again:
                        left.pop(0)
                    go_on()

            self.inbox.put(note)

        go_on()
        try:
            return bay.run(self.opened)
        finally:
            self.speaker.close()
            self.microphone.close()

    def entries(self) -> list[tuple[str, dict[str, Any]]]:
        return [(kind, data) for _, kind, data in independent.check(self.home, self.opened.job.id)]

    def failures(self) -> list[tuple[str, str, str]]:
        return [(d["part"], d["error"], d["then"]) for kind, d in self.entries() if kind == "part_failed"]

    def talk_until(self, happened: Callable[[], bool]) -> Step:
        """Return a step in which somebody says a word again and again until it ``happened``."""

        def step(_runner: JobRunner, _now: float) -> bool:
            if self.microphone.is_empty:
                self.machine.passes(3)
                self.microphone.feed(blocks(WORD, self.clock.now() - 2.5))
            return happened()

        return step

    def heard(self) -> list[dict[str, Any]]:
        return [data for kind, data in self.entries() if kind == "heard"]

    def close(self) -> None:
        self.stack.close()


def key(runner: JobRunner, phrase: str, now: float) -> None:
    runner.hear(Heard(phrase, 1.0, now, now, Clarity.PHRASE, Source.KEY), now)


def press(*phrases: str) -> list[Step]:
    """Return steps that press a key each."""
    return [partial(lambda runner, now, phrase: key(runner, phrase, now), phrase=phrase) for phrase in phrases]


def until_the_wait(live: LiveBay) -> Step:
    """Return a step that works as far as the drying time, and starts it."""

    def step(runner: JobRunner, _now: float) -> None:
        while (words := next_words(runner.session.view(live.clock.now()))) is not None:
            live.machine.passes(2)
            key(runner, words, live.clock.now())

    return step


def passes(live: LiveBay, seconds: float) -> Step:
    """Return a step that lets time pass."""

    def step(runner: JobRunner, _now: float) -> None:
        live.machine.passes(seconds)
        runner.tick(live.clock.now())

    return step


def sets(live: LiveBay, seconds: float) -> Step:
    """Return a step that sets the computer's clock."""

    def step(_runner: JobRunner, _now: float) -> None:
        live.machine.wall += seconds

    return step


def kinds(live: LiveBay) -> list[str]:
    return [kind for kind, _ in live.entries()]
