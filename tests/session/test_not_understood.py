"""What is not understood never moves the job, and does not nag."""

from __future__ import annotations

import pytest

from assistant.events import Clarity, PhraseLimits, Source, Thresholds, ToneKind
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


LIMITS = Thresholds(harmless=0.6, moving=0.75, critical=0.9, asked=0.45)


def test_yes_and_no_answer_the_question_of_the_job_itself() -> None:
    """To "No?" a "yes" may mean either, so it is the job's own question that is asked again."""
    bench = Bench(pump(), limits=LIMITS)
    bench.lead_to("cold")
    assert bench.hear("no", confidence=0.5) == "Yes or no?"
    assert bench.session.view(bench.now)["heard"]["asked_back"] == "Yes or no?"
    bench.hear("yes")
    assert [(one["step"], one["yes"]) for one in bench.facts("check_answered")] == [("cold", True)]


def test_what_was_asked_back_is_still_asked_when_the_job_is_taken_up_again() -> None:
    bench = Bench(pump(), limits=LIMITS)
    bench.lead_to("cold")
    assert bench.hear("yes", confidence=0.5) == "Yes?"
    bench.resume()
    bench.hear("yes", confidence=0.5)
    assert [(one["step"], one["yes"]) for one in bench.facts("check_answered")] == [("cold", True)]


def test_a_phrase_has_limits_of_its_own_and_a_critical_one_never_lower_ones() -> None:
    own = PhraseLimits(believed=0.7, expected=0.5, asked=0.3)
    limits = Thresholds(0.6, 0.75, 0.9, asked=0.45, phrases={"yes": own, "confirmed": own})
    bench = Bench(pump(), limits=limits)
    bench.lead_to("cold")
    assert bench.hear("yes", confidence=0.31) == "Yes?"
    bench.hear("yes", confidence=0.5)
    assert len(bench.facts("check_answered")) == 1
    bench.hears("hand over")
    assert bench.hear("confirmed", confidence=0.89) == "Confirmed?"
    assert bench.facts("handing_over") == []


def test_a_reading_is_read_back_below_the_limit_of_the_model() -> None:
    for limit, read_back in ((0.6, False), (0.8, True)):
        bench = Bench(pump(), limits=Thresholds(reading=limit))
        bench.lead_to("wear")
        bench.hear("reading twelve", confidence=0.7)
        assert bool(bench.facts("asked")) is read_back


TOO_LOUD = "Too loud for that. Say it again when it is quieter, or press."


@pytest.fixture
def handing_over() -> Bench:
    bench = Bench(pump(), limits=LIMITS)
    bench.lead_to("cold")
    bench.hears("hand over")
    return bench


@pytest.mark.parametrize("confidence", [0.45, 0.89])
def test_a_confirmed_that_is_not_heard_surely_is_asked_back_and_never_believed_for_being_heard_twice(
    handing_over, confidence
) -> None:
    for _ in range(2):
        assert handing_over.hear("confirmed", confidence=confidence) == "Confirmed?"
    assert handing_over.facts("handing_over") == []
    handing_over.hear("yes", confidence=0.74)
    assert handing_over.facts("handing_over") == []
    handing_over.hear("yes", confidence=0.75)
    assert len(handing_over.facts("handing_over")) == 1


def test_a_confirmed_that_is_heard_surely_answers_whether_it_was_meant(handing_over) -> None:
    handing_over.hear("confirmed", confidence=0.6)
    handing_over.hear("confirmed", confidence=0.9)
    assert len(handing_over.facts("handing_over")) == 1


def test_what_is_hardly_a_confirmed_is_not_asked_back(handing_over) -> None:
    handing_over.hear("confirmed", confidence=0.44)
    assert handing_over.facts("asked_back") == []


def test_a_critical_phrase_that_the_job_does_not_wait_for_is_not_asked_back() -> None:
    bench = Bench(pump(), limits=LIMITS)
    bench.lead_to("cold")
    bench.hear("skip this", confidence=0.89)
    assert bench.facts("asked_back") == []
    assert bench.session.view(bench.now)["heard"]["why"] == "unsure"


def test_in_noise_as_loud_as_the_voice_a_confirmed_is_asked_back_however_surely_it_was_heard(handing_over) -> None:
    for _ in range(2):  # to hear it twice is no proof there: it sounds so each time
        assert handing_over.hear("confirmed", drowned=True) == "Confirmed?"
        assert handing_over.facts("handing_over") == []
    assert handing_over.session.view(handing_over.now)["heard"]["asked_back"] == "Confirmed?"
    assert handing_over.hear("confirmed", drowned=True) == TOO_LOUD
    handing_over.hear("yes", drowned=True)
    assert len(handing_over.facts("handing_over")) == 1


def test_whoever_said_something_else_says_no_or_cancel(handing_over) -> None:
    for word in ("no", "cancel"):
        handing_over.hears("hand over")
        handing_over.hear("confirmed", drowned=True)
        handing_over.hear(word, drowned=True)
        assert handing_over.session.view(handing_over.now)["place"] == "cold"
    assert handing_over.facts("handing_over") == []


def test_a_yes_that_is_unsure_or_late_confirms_nothing(handing_over) -> None:
    handing_over.hear("confirmed", drowned=True)
    handing_over.hear("yes", confidence=0.7)
    assert handing_over.facts("handing_over") == []
    handing_over.hear("yes", after=11.0)
    assert handing_over.facts("handing_over") == []


def test_a_hazard_is_confirmed_that_way_only_where_it_was_read() -> None:
    bench = Bench(pump(), limits=LIMITS)
    while bench.session.view(bench.now)["phase"] != "hazard":
        bench.lead_on()
    assert bench.hear("confirmed", drowned=True, unsaid=bench.spoken[-1]) == TOO_LOUD
    bench.hear("repeat")
    assert bench.facts("hazard_acknowledged") == []
    assert bench.hear("confirmed", drowned=True) == "Confirmed?"
    bench.hear("yes")
    assert len(bench.facts("hazard_acknowledged")) == 1


def test_another_critical_phrase_is_said_in_a_quieter_moment_or_pressed() -> None:
    bench = Bench(pump(), limits=LIMITS)
    bench.lead_to("cold")
    assert bench.hear("skip this", drowned=True) == TOO_LOUD
    assert bench.session.view(bench.now)["heard"]["why"] == "too_loud"
    bench.hear("skip this", drowned=True, source=Source.PEDAL)
    assert bench.session.view(bench.now)["phase"] == "dictation"


def test_where_yes_or_no_is_waited_for_nothing_else_moves_the_job_there() -> None:
    bench = Bench(pump(), limits=LIMITS)
    bench.lead_to("cold")
    bench.hear("go back", drowned=True)
    view = bench.session.view(bench.now)
    assert (view["place"], view["heard"]["why"]) == ("cold", "unsure")
    bench.hear("go back")
    assert bench.session.view(bench.now)["place"] != "cold"


def test_what_the_job_does_not_wait_for_is_asked_back_there_and_carried_out_by_a_yes() -> None:
    for answer, phase in (("no", "tightening"), ("yes", "paused")):
        bench = Bench(pump(), limits=LIMITS)
        bench.lead_to("tighten-cover")
        assert bench.hear("pause", drowned=True) == "Pause?"
        assert bench.session.view(bench.now)["phase"] == "tightening"
        bench.hear(answer, drowned=True)
        assert bench.session.view(bench.now)["phase"] == phase


def test_a_number_that_the_job_does_not_wait_for_is_not_taken_there() -> None:
    bench = Bench(pump(), limits=LIMITS)
    bench.lead_to("tighten-cover")
    place = bench.session.view(bench.now)["place"]
    bench.hear("go back two steps", drowned=True)
    view = bench.session.view(bench.now)
    assert (view["place"], view["heard"]["why"]) == (place, "unsure")


def test_what_is_heard_unsurely_again_is_no_answer_there() -> None:
    """Of *yes* and of *no* noise makes *next*: only a *yes* leads on."""
    for drowned in (True, False):
        bench = Bench(pump(), limits=LIMITS)
        bench.lead_to("tighten-cover")
        assert bench.hear("next", confidence=0.6, drowned=drowned) == "Next?"
        bench.hear("next", confidence=0.6, drowned=drowned)
        assert len(bench.facts("tightened")) == (0 if drowned else 1)
        if drowned:
            bench.hear("yes", drowned=True)
            assert len(bench.facts("tightened")) == 1


def test_what_costs_little_is_taken_there_as_ever() -> None:
    bench = Bench(pump(), limits=LIMITS)
    bench.lead_to("cold")
    bench.hear("yes", drowned=True)
    assert [(one["step"], one["yes"]) for one in bench.facts("check_answered")] == [("cold", True)]
