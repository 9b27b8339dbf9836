"""A live bay in which parts break, hang, or find no room: the job goes on, and what broke is an entry."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from assistant.bay.job_opening import OpenJob
from assistant.bay.runner import JobRunner
from assistant.events import End
from assistant.facts.bay import DeviceLost, LostWhy, SoundLost
from assistant.journal.port import JournalFault
from assistant.terminal.exits import Exit
from assistant.terminal.trouble import SESSION_ENDED
from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.speaking.voices import Voices
from tests.bay.live import LiveBay, kinds, press, sets
from tests.fakes.breaking_recogniser import BreakingRecogniser, HangingRecogniser
from tests.fakes.breaking_session import BreakingSession
from tests.fakes.breaking_voice import BreakingVoice
from tests.fakes.eager_loudspeaker import EagerLoudspeaker
from tests.fakes.fed_microphone import FedMicrophone
from tests.fakes.recogniser import TellRecogniser
from tests.journal.disk import fill


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
