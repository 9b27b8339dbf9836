"""A job with everything but sound: real procedure, session, journal, job runner and display; words are typed in."""

from __future__ import annotations

import contextlib
import io
import time
from pathlib import Path

from assistant.bay.customer_post import into
from assistant.bay.inbox import Inbox
from assistant.bay.job_opening import open_job
from assistant.bay.keys import unbounced
from assistant.bay.runner import JobRunner
from assistant.bay.screen import Screen
from assistant.customer.customers import CustomerPages
from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions
from assistant.events import Clarity, Heard, Source, Thresholds
from assistant.facts.scan import ScanFrom
from assistant.journal.opening import open_journal
from assistant.pictures.store import store_of
from assistant.pictures.taking import PhotoPost
from assistant.procedure.format.reader import read_procedure
from assistant.settings import Settings
from assistant.terminal.dialogue import Dialogue
from tests.fakes.silent_speaker import SilentSpeaker

ROOT = Path(__file__).parents[2]
SHORT = ROOT / "procedures" / "coolant-pump-cover.yaml"
NOTHING = "…"
"""Stands for sounds that are no phrase."""


class Play:
    """One job at a display. The page must lie in the data folder ``ASSISTANT_HOME``, as always."""

    def __init__(
        self,
        home: Path,
        procedure: Path = SHORT,
        *,
        host: str = "",
        port: int = 0,
        touch: bool = False,
        operator: str = "",
        camera: str = "",
    ) -> None:
        customers = CustomerPages()
        self.inbox = Inbox()
        self._stack = contextlib.ExitStack()
        self.photos = self._stack.enter_context(PhotoPost(self.inbox.put, camera, self.inbox.failed))
        self.display = Display(
            DisplayOptions(host, port, touch), procedures=procedure.parent, press=unbounced(self.pressed),
            scan=lambda text: self.runner.scan(text, ScanFrom.PAGE, self.now), customers=customers, photos=self.photos,
        )  # fmt: skip
        self.journal = self._stack.enter_context(open_journal(home))
        self.now = time.time()
        self.presses: list[str] = []
        opened = open_job(
            self.journal, read_procedure(procedure), procedure.name, Settings(operator=operator), Thresholds(),
            self.now,
            procedure_path=str(procedure.absolute()),
        )  # fmt: skip
        self.job = opened.job
        customers.live(self.job.id, into(self.inbox))
        self._stack.enter_context(self.photos.of(store_of(self.job.id), opened.session))
        self.said = io.StringIO()
        """What was said, a line each."""
        dialogue = Dialogue(self.said)
        screen = Screen(dialogue, self.display.board)
        screen.photos = self.photos.do
        self.runner = JobRunner(opened, SilentSpeaker(), screen)
        self.runner.begin(self.now)

    def say(self, *phrases: str, after_s: float = 1.0, source: Source = Source.VOICE) -> None:
        """Say ``phrases``, each so many seconds of the job's clock after the one before."""
        for phrase in phrases:
            self.now += after_s
            clarity = Clarity.UNCLEAR if phrase == NOTHING else Clarity.PHRASE
            self.runner.hear(Heard(phrase, 0.95, self.now - 0.1, self.now, clarity, source), self.now)

    def leave_out(self) -> None:
        """Leave out the present bolts, with a reason that is typed."""
        self.say("skip this")
        self.say("the thread is torn", source=Source.KEY)
        self.say("end note", "confirmed")

    def pass_time(self, seconds: float) -> None:
        """Let the job's clock run on."""
        self.now += seconds
        self.runner.tick(self.now)

    def take(self, seconds: float = 10.0) -> None:
        """Take the next note out of the inbox, as the loop of a live job does, and what the time brings behind it."""
        note = self.inbox.take(seconds)
        assert note is not None, f"nothing came within {seconds} s"
        self.now = max(self.now, time.time())
        note(self.runner, self.now)
        self.pass_time(2.0)

    def pressed(self, phrase: str, at: str) -> None:
        """Take a press as the live job does, but at once."""
        assert at in ("", self.runner.handing(self.now))
        self.presses.append(phrase)
        self.say(phrase, source=Source.TOUCH)

    @property
    def seq(self) -> int:
        """The number of the newest picture."""
        return self.display.board.seq

    def close(self) -> None:
        """End the page and let the job go."""
        self.display.close()
        self._stack.close()


TO_FIRST_STEP = ("next",) * 6 + ("confirmed", "confirmed")
"""From the beginning of SHORT to its first step."""
TO_TIGHTENING = (
    *TO_FIRST_STEP, "yes", "next", "count four", "count two", "next", "confirmed", "next", "start timer",
)  # fmt: skip
"""On to its wait; 31 s later:"""
AFTER_THE_WAIT = ("next", "reading zero point one", "count one", "next", "count four", "count two")
"""On to the first stage of its tightening."""
