"""A live bay whose computer's clock is set: no timer ends by it, and it is asked whether one is over."""

from __future__ import annotations

import pytest

from assistant.bay.inbox import Inbox
from assistant.bay.job_opening import resume_job
from assistant.cli.printing.record.check import verify_record
from assistant.events import Thresholds
from assistant.terminal.exits import Exit
from tests.bay.live import LiveBay, Notices, kinds, passes, press, sets, until_the_wait
from tests.fakes.eager_loudspeaker import EagerLoudspeaker
from tests.fakes.fed_microphone import FedMicrophone
from tests.fakes.recogniser import TellRecogniser
from tests.test_clock import NOON, Machine


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
    monkeypatch.setattr("assistant.kept.job_clock.this_start", lambda: "another start")
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
