"""What is not understood never moves the job, and does not nag."""

from __future__ import annotations

import pytest

from assistant.events import Clarity, ToneKind
from assistant.session.session import Reply
from tests.session.bench import Bench
from tests.session.jobs import pump


@pytest.fixture
def bench() -> Bench:
    bench = Bench(pump())
    bench.lead_to("cold")
    return bench


def _mumble(bench: Bench, *, after: float = 1.0) -> str:
    return bench.hear("mumble", clarity=Clarity.UNCLEAR, after=after)


def test_first_a_tone_then_say_again_then_what_can_be_said_then_tones_only(bench: Bench) -> None:
    assert (_mumble(bench), bench.tones()) == ("", [ToneKind.NOT_UNDERSTOOD])
    assert _mumble(bench) == "Say again."
    assert _mumble(bench) == "You can say: yes, no, repeat step, skip this."
    for _ in range(3):
        assert (_mumble(bench), bench.tones()) == ("", [ToneKind.NOT_UNDERSTOOD])
    assert bench.session.view(bench.now)["place"] == "cold"


def test_after_something_understood_it_begins_anew(bench: Bench) -> None:
    _mumble(bench)
    bench.hear("where am i")
    assert (_mumble(bench), bench.tones()) == ("", [ToneKind.NOT_UNDERSTOOD])


def test_after_a_long_while_it_begins_anew(bench: Bench) -> None:
    _mumble(bench)
    assert (_mumble(bench, after=21.0), bench.tones()) == ("", [ToneKind.NOT_UNDERSTOOD])


def test_say_again_still_means_the_last_thing_of_the_job(bench: Bench) -> None:
    question = bench.hear("repeat step")
    _mumble(bench)
    _mumble(bench)
    assert bench.hear("say again") == question


def test_a_phrase_of_another_state_is_not_understood(bench: Bench) -> None:
    bench.hear("count four")
    assert (bench.kinds(), bench.tones()) == (["unclear"], [ToneKind.NOT_UNDERSTOOD])


def test_background_talk_is_met_with_silence(bench: Bench) -> None:
    before = len(bench.entries)
    bench.hear("next", clarity=Clarity.SPEECH)
    assert (bench.last, len(bench.entries)) == (Reply(), before)
