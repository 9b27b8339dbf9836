"""A live bay in which parts break, hang and whose computer's clock is set: real session, journal, voice and speaker.

The loop runs as in a job; a script of notes is worked off by it, one at a time, so nothing is waited for in vain.
"""

from __future__ import annotations

import contextlib
import io
import signal
from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from assistant.bay.bay import Bay
from assistant.bay.ears import RoomEars
from assistant.bay.inbox import Inbox, is_busy
from assistant.bay.job_clock import started
from assistant.bay.job_opening import OpenJob, open_job, resume_job
from assistant.bay.runner import JobRunner
from assistant.bay.screen import Screen
from assistant.bay.trouble import SESSION_ENDED, TOO_LONG
from assistant.bay.watchdog import Watchdog
from assistant.cli.printing.record.check import verify_record
from assistant.events import Clarity, End, Heard, Source, Thresholds
from assistant.facts.bay import DeviceLost, LostWhy, SoundLost
from assistant.journal.opening import open_journal
from assistant.journal.port import JournalFault
from assistant.procedure.format.reader import read_procedure
from assistant.procedure.model import Procedure
from assistant.settings import Settings
from assistant.terminal.dialogue import Dialogue
from assistant.terminal.exits import Exit
from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.speaking.speaker import CardSpeaker
from assistant.voice.speaking.voices import Voices
from tests.fakes.breaking_recogniser import BreakingRecogniser, HangingRecogniser
from tests.fakes.breaking_session import BreakingSession
from tests.fakes.breaking_voice import BreakingVoice
from tests.fakes.detector import EverythingIsVoice
from tests.fakes.eager_loudspeaker import EagerLoudspeaker
from tests.fakes.fed_microphone import FedMicrophone
from tests.fakes.mechanic import next_words
from tests.fakes.quiet_speaker import QuietSpeaker
from tests.fakes.recogniser import TellRecogniser
from tests.journal import independent
from tests.journal.disk import fill
from tests.test_clock import NOON, Machine
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

    def begin(self, procedure: Procedure) -> None:
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


@pytest.fixture
def live(tmp_path: Path) -> Iterator[LiveBay]:
    bay = LiveBay(tmp_path)
    bay.open()
    yield bay
    bay.close()


def test_a_voice_that_raises_a_value_error_is_an_entry_a_tone_and_a_sentence_and_another_voice_speaks(
    live: LiveBay,
) -> None:
    def breaks() -> BreakingVoice:
        return BreakingVoice(Pyttsx3Synthesiser(), "n", lambda: ValueError("odd phoneme"))

    live.voice = Voices(breaks(), [breaks, Pyttsx3Synthesiser], on_failure=live.inbox.failed)
    assert live.run(*press("next"), lambda *_: not live.speaker.is_sounding()) == Exit.INTERRUPTED
    assert live.failures() == [("voice", "ValueError", then) for then in ("built_again", "built_again", "other_way")]
    assert live.out.getvalue().count("tone   trouble") == 3
    assert "The voice failed three times in a minute; another one speaks now." in live.page.notices
    assert "I speak with another voice now." in live.out.getvalue()
    assert live.loudspeaker.loudest > 3000, "what broke the first voice is spoken by the other"
    assert "prepared" in [kind for kind, _ in live.entries()]


def test_a_recogniser_that_breaks_is_built_again_and_after_the_third_time_keys_go_on_alone(live: LiveBay) -> None:
    live.recogniser = BreakingRecogniser()
    live.again = BreakingRecogniser
    deaf = live.talk_until(lambda: "I cannot hear any more. Use the keys." in live.out.getvalue())
    assert live.run(deaf, *press("next")) == Exit.INTERRUPTED
    assert live.failures() == [("listener", "ValueError", then) for then in ("built_again", "built_again", "ended")]
    assert [data["source"] for data in live.heard()] == ["key"]


def test_a_recogniser_that_broke_once_hears_again_and_knows_what_may_be_said(live: LiveBay) -> None:
    again = TellRecogniser("next")
    live.recogniser, live.again = BreakingRecogniser(), lambda: again
    live.run(live.talk_until(lambda: bool(live.heard())))
    assert live.failures() == [("listener", "ValueError", "built_again")]
    assert "next" in again.grammars[-1].phrases


def test_a_recogniser_that_hangs_is_left_behind_and_another_one_hears(
    live: LiveBay, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("assistant.bay.watchdog.LISTENER_S", 0.5)
    hanging, fresh = HangingRecogniser(), TellRecogniser("next")
    live.recogniser, live.again = hanging, lambda: fresh
    live.run(live.talk_until(lambda: bool(live.heard())), lambda *_: hanging.let_go.set())
    assert live.failures() == [("listener", "Stalled", "built_again")]
    assert {data["intent"] for data in live.heard()} == {"next"}
    assert "I listen again. Say it again." in live.out.getvalue()


def test_a_session_that_breaks_is_built_again_from_the_journal_and_the_third_time_keeps_the_job(tmp_path: Path) -> None:
    live = LiveBay(tmp_path)
    live.open()
    live.opened.session.__class__ = BreakingSession  # the fault is in its code
    assert live.run(*press("next", "where am i", "next")) == Exit.INTERRUPTED
    assert live.failures() == [("session", "RuntimeError", "built_again")]
    assert [data["place"] for kind, data in live.entries() if kind == "prepared"] == ["conditions:1", "persons:1"]
    assert "I could not work that out. Nothing of it was kept. Say it another way." in live.out.getvalue()

    def rebuild() -> BreakingSession:
        session = fresh()
        session.__class__ = BreakingSession
        return session  # type: ignore[return-value]

    fresh = live.opened.rebuild
    live.opened = OpenJob(live.opened.job, rebuild(), [], rebuild)
    live.loudspeaker, live.microphone = EagerLoudspeaker(), FedMicrophone()
    assert live.run(*press("where am i", "where am i", "where am i", "next")) == Exit.BROKEN
    assert live.failures()[-1] == ("session", "RuntimeError", "ended")
    assert SESSION_ENDED in live.out.getvalue()
    live.close()


def test_a_page_that_breaks_keeps_no_answer_back(live: LiveBay) -> None:
    def show(_view: Any) -> None:
        raise KeyError("no such place")

    live.page.show = show  # type: ignore[method-assign]
    live.run(*press("next", "next"))
    assert live.failures() == [("page", "KeyError", then) for then in ("built_again", "built_again", "ended")]
    assert [data["place"] for kind, data in live.entries() if kind == "prepared"] == ["conditions:1", "persons:1"]


# The computer's clock is set


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


@pytest.mark.parametrize(("by", "words"), [(-120, "back by two minutes"), (3600, "forward by one hour")])
def test_a_clock_that_is_set_while_a_cure_runs_ends_nothing_and_asks(live: LiveBay, by: int, words: str) -> None:
    live.run(until_the_wait(live), sets(live, by), *press("next", "next", "confirmed"))
    entries = live.entries()
    step = next(data for kind, data in entries if kind == "clock_stepped")
    assert (step["by_ms"], step["when"]) == (by * 1000, "running")
    assert f"The clock of this computer was set {words}." in live.out.getvalue()
    assert "timer_ended" not in kinds(live)
    asked = [data["question"]["what"] for kind, data in entries if kind == "asked"]
    assert asked == ["timer", "timer"], "it is asked at once, and again before the wait may be left"
    assert kinds(live)[-2:] == ["timer_agreed", "interrupted"]


def test_a_clock_that_is_set_back_leaves_the_ears_and_the_read_backs_as_they_were(live: LiveBay) -> None:
    live.recogniser = TellRecogniser("next")
    live.run(sets(live, -3600), live.talk_until(lambda: bool(live.heard())))
    assert live.heard()[0]["started_ms"] > NOON * 1000
    assert "prepared" in kinds(live)


def test_a_confirmation_after_the_clock_went_back_is_no_later_than_before(live: LiveBay) -> None:
    silence_ends_it = passes(live, 60)
    live.run(*press("hand over"), silence_ends_it, sets(live, -3600), passes(live, 5), *press("hand over", "confirmed"))
    assert [data["why"] for kind, data in live.entries() if kind == "cancelled"] == ["silence"]
    assert "That came too late" not in live.out.getvalue()
    assert "handing_over" in kinds(live)


def test_resuming_in_1970_with_a_timer_running_goes_on_after_the_last_entry_and_asks(
    live: LiveBay, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    live.run(until_the_wait(live))
    job, last = live.opened.job.id, live.clock.now()
    live.opened.job.close()

    live.machine = Machine(wall=12.0, uptime=4.0)
    live.clock = live.machine.clock()
    monkeypatch.setattr("assistant.bay.job_clock.this_start", lambda: "another start")
    live.opened = resume_job(live.journal, job, Thresholds(), live.clock)
    live.loudspeaker, live.microphone, live.inbox = EagerLoudspeaker(), FedMicrophone(), Inbox()
    live.page = Notices()

    assert live.clock.now() >= last
    live.run(*press("confirmed"), passes(live, 40), *press("next"))  # the drying takes thirty seconds
    told = kinds(live)
    assert told[told.index("clock_stepped") :][:3] == ["clock_stepped", "timers_doubted", "asked"]
    assert told.index("timer_agreed") < told.index("timer_ended")
    times = [entry.at_ms for entry in live.journal.read(job).entries]
    assert times == sorted(times)
    assert "The clock of this computer was set back by more than a day." in live.out.getvalue()
    live.opened.job.close()
    monkeypatch.setenv("ASSISTANT_HOME", str(live.home))
    assert verify_record(job) == Exit.OK
    assert "the computer's clock was set back by" in capsys.readouterr().out


# What nobody tells by itself


class Watched:
    """A speaker and a listening as the watchdog sees them."""

    def __init__(self) -> None:
        self.now = 0.0
        self.sounds = False
        self.played = 0
        self.silent_s = 0.0
        self.loop_s = 0.0
        self.story: list[str] = []

    def is_sounding(self) -> bool:
        return self.sounds

    def rescue(self) -> None:
        self.story.append("rescue")
        self.sounds = False

    def replace(self) -> None:
        self.story.append("replace")
        self.silent_s = 0.0

    def look(self, watchdog: Watchdog, seconds: int, *, plays: bool) -> None:
        for _ in range(seconds):
            self.now += 1
            self.played += 160 if plays else 0
            watchdog.look()


@pytest.fixture
def watched() -> tuple[Watched, Watchdog]:
    seen = Watched()
    story = seen.story
    dog = Watchdog(
        seen,
        seen,
        lambda: seen.loop_s,
        on_long=lambda: story.append("long"),
        on_loop=lambda: story.append("loop"),
        on_failure=lambda _failure: None,
        clock=lambda: seen.now,
    )
    return seen, dog


def test_an_utterance_over_thirty_seconds_is_told_once(watched: tuple[Watched, Watchdog]) -> None:
    seen, dog = watched
    seen.sounds = True
    seen.look(dog, 30, plays=True)
    assert seen.story == []
    seen.look(dog, 60, plays=True)
    assert seen.story == ["long"]


def test_what_counts_as_sounding_and_plays_nothing_is_ended(watched: tuple[Watched, Watchdog]) -> None:
    seen, dog = watched
    seen.sounds = True
    seen.look(dog, 25, plays=False)
    assert seen.story == ["rescue"]


def test_a_listening_and_a_loop_that_stand_still_are_noticed(watched: tuple[Watched, Watchdog]) -> None:
    seen, dog = watched
    seen.silent_s = seen.loop_s = 11.0
    seen.look(dog, 3, plays=False)
    assert seen.story == ["replace", "loop"]


@pytest.mark.parametrize(
    ("stands", "load", "sentence"),
    [
        (False, 0.1, "Some sound was lost; say it again."),
        (False, 1000.0, "Some sound was lost, because this computer is busy; say it again."),
        (True, 1000.0, "Some sound was lost, because the hearing stood still; say it again."),
    ],
)
def test_a_computer_is_called_busy_only_when_it_is(
    live: LiveBay, monkeypatch: pytest.MonkeyPatch, stands: bool, load: float, sentence: str
) -> None:
    monkeypatch.setattr("os.getloadavg", lambda: (load, load, load))
    assert is_busy() == (load > 100)

    def lose(_runner: JobRunner, _now: float) -> None:
        live.inbox.listening_stands = lambda: stands
        live.inbox.overflowed(5)

    live.run(lose, lambda *_: "sound was lost" in live.out.getvalue())
    assert sentence in live.out.getvalue()
    assert sentence in live.page.notices
    assert live.out.getvalue().count("tone   trouble") == 1


def test_an_utterance_that_is_long_is_told_on_the_page_and_by_a_tone(live: LiveBay) -> None:
    live.run(lambda *_: live.inbox.spoke_long(), lambda *_: TOO_LONG in live.page.notices)
    assert live.out.getvalue().count("tone   trouble") == 1


def test_what_happens_while_the_disk_is_full_is_written_down_when_there_is_room(live: LiveBay) -> None:

    def fill_up(_runner: JobRunner, now: float) -> None:
        fill(live.journal)
        with pytest.raises(JournalFault, match="full"):
            while True:
                live.opened.job.append([SoundLost(pieces=1, why=LostWhy.BUSY)], round(now * 1000))

    def lose(runner: JobRunner, now: float) -> None:
        runner.record(DeviceLost(device=End.MICROPHONE), now)

    def make_room(_runner: JobRunner, _now: float) -> None:
        assert "clock_stepped" not in kinds(live)
        assert live.out.getvalue().count("That was not stored.") == 1
        fill(live.journal, 10_000)
        live.machine.passes(21)

    live.run(
        fill_up,
        lose,
        lose,
        sets(live, -120),
        *[lambda *_: None] * 5,
        make_room,
        lambda *_: "clock_stepped" in kinds(live),
    )  # fmt: skip
    assert [data["by_ms"] for kind, data in live.entries() if kind == "clock_stepped"] == [-120_000]
    assert kinds(live).count("device_lost") == 2
    assert live.out.getvalue().count("is full, so the last thing was not kept") == 2, "of the devices, and of the clock"
