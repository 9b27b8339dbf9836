"""Words at the wrong moment: what they must not do."""

from __future__ import annotations

from decimal import Decimal

import pytest

from assistant.events import Clarity, Heard, Say, Source, Thresholds, ToneKind
from assistant.language.en import ENGLISH
from assistant.session.session import Session
from tests.session.bench import Bench
from tests.session.jobs import pump


@pytest.fixture
def bench() -> Bench:
    return Bench(pump())


def test_confirmed_after_the_silence_does_not_acknowledge_the_hazard_below(bench: Bench) -> None:
    bench.lead_to("cool", past_hazards=False)
    assert bench.phase == "hazard"
    bench.hears("skip this step", "it was done yesterday", "end note")
    due = bench.session.next_tick()
    assert due is not None
    # The word comes when the time is over, and nobody has called tick yet.
    heard = Heard("confirmed", 1.0, due + 0.2, due + 0.7)
    said = bench.take(bench.session.hear(heard, due + 1.0))
    assert "That came too late." in said
    assert bench.phase == "hazard"
    assert bench.facts("skipped") == []


def test_confirmed_that_was_begun_before_the_silence_was_told_does_nothing(bench: Bench) -> None:
    bench.lead_to("cool", past_hazards=False)
    before = len(bench.facts("hazard_acknowledged"))
    bench.hears("skip this step", "it was done yesterday", "end note")
    due = bench.session.next_tick()
    assert due is not None
    bench.take(bench.session.tick(due))
    bench.take(bench.session.hear(Heard("confirmed", 1.0, due - 0.5, due + 0.2), due + 0.4))
    assert len(bench.facts("hazard_acknowledged")) == before
    bench.wait(60.0)
    assert bench.hear("confirmed").startswith("Step one of eleven.")


def test_confirmed_that_was_begun_before_silence_ended_a_note_does_nothing(bench: Bench) -> None:
    bench.lead_to("cool", past_hazards=False)
    before = len(bench.facts("hazard_acknowledged"))
    bench.hears("take a note", "the pump is old")
    due = bench.session.next_tick()
    assert due is not None
    bench.take(bench.session.tick(due))
    assert bench.kinds() == ["clock", "note"]
    said = bench.take(bench.session.hear(Heard("confirmed", 1.0, due - 0.5, due + 0.2), due + 0.4))
    assert said == "That came too late. Nothing has changed."
    assert len(bench.facts("hazard_acknowledged")) == before


def test_what_is_read_back_waits_from_the_end_of_its_reading(bench: Bench) -> None:
    bench.lead_to("cold")
    bench.hear("no")
    asked = bench.now
    assert bench.session.next_tick() == pytest.approx(asked + 15.0)
    bench.session.quiet_since = asked + 9.0
    assert bench.session.next_tick() == pytest.approx(asked + 24.0)
    bench.wait(23.0)
    assert bench.phase == "confirming"
    assert bench.wait(2.0) == "I did not hear confirmed. Nothing has changed."


def test_yes_to_a_read_back_skip_answers_no_check(bench: Bench) -> None:
    bench.lead_to("cold")
    bench.hears("skip this", "no time", "end note")
    assert bench.hear("yes") == "Cancelled. Nothing has changed."
    assert bench.facts("check_answered") == bench.facts("skipped") == []


def test_yes_to_a_read_back_no_is_not_taken_for_a_new_answer(bench: Bench) -> None:
    bench.lead_to("cold")
    assert bench.hear("no") == "You say no. It should be yes. Check again. To accept your answer, say confirmed."
    assert "Is the pump cold to the hand?" in bench.hear("yes")
    assert bench.facts("check_answered") == []


def test_a_new_count_is_taken_in_place_of_the_one_read_back(bench: Bench) -> None:
    bench.lead_to("cover-out")
    assert bench.hear("count thirteen") == (
        "You count thirteen: one three. That does not agree. Count again. To accept your count, say confirmed."
    )
    assert bench.hear("count fourteen").startswith("Fourteen: one four.")
    assert [fact["count"] for fact in bench.facts("counted")] == [14]


def test_a_count_that_does_not_match_needs_confirmed_a_reason_and_confirmed(bench: Bench) -> None:
    bench.lead_to("cover-out")
    bench.hears("count thirteen", "confirmed", "one was missing before")
    assert bench.hear("end note") == "You said: one was missing before. Accept thirteen, one three? Say confirmed."
    bench.hear("confirmed")
    assert [(fact["count"], fact["expected"]) for fact in bench.facts("counted")] == [(13, 14)]
    assert [fact["reason"] for fact in bench.facts("deviation")] == ["one was missing before"]


def test_words_and_end_note_in_one_breath(bench: Bench) -> None:
    bench.lead_to("cold")
    bench.hear("take a note")
    assert bench.hear("the thread is worn end note", clarity=Clarity.DICTATION) == "Note kept: the thread is worn."
    assert [fact["text"] for fact in bench.facts("note")] == ["the thread is worn"]


def test_a_note_can_be_typed_but_a_key_that_stands_for_a_phrase_is_no_text(bench: Bench) -> None:
    bench.lead_to("cold")
    bench.hear("take a note")
    bench.hear("next", clarity=Clarity.PHRASE, source=Source.KEY)
    assert bench.tones() == [ToneKind.NOT_UNDERSTOOD]
    bench.hear("Bolt 7 is 3 mm short", clarity=Clarity.PHRASE, source=Source.KEY)
    assert bench.hear("end note", source=Source.KEY) == "Note kept: Bolt seven is three mm short."
    assert [fact["text"] for fact in bench.facts("note")] == ["Bolt 7 is 3 mm short"]


def test_a_forgotten_note_is_kept_with_the_words_it_has(bench: Bench) -> None:
    bench.lead_to("cold")
    bench.hears("there is a problem", "oil on the floor")
    bench.wait(61.0)
    assert [(fact["text"], fact["complete"]) for fact in bench.facts("problem")] == [("oil on the floor", False)]
    assert bench.phase == "checking"


def test_a_timer_that_ends_does_not_cut_what_is_being_said(bench: Bench) -> None:
    bench.lead_to("cover-in")
    said = []
    while (due := bench.session.next_tick()) is not None:
        said += [effect for effect in bench.session.tick(due).effects if isinstance(effect, Say)]
    assert [one.text for one in said] == [
        "Sealant open time: two minutes left.",
        "The time is over: sealant open time. Remove it and apply it again, as the procedure says.",
    ]
    assert not any(one.cut for one in said)


def test_after_the_open_time_nothing_is_tightened_without_a_reason(bench: Bench) -> None:
    bench.lead_to("tighten-cover")
    bench.wait(600.0)
    assert "The time is over: sealant open time." in bench.hear("next")
    assert bench.hear("next") == "Cancelled. Nothing has changed."
    assert bench.facts("tightened") == []
    bench.hears("next", "confirmed", "the sealant is still wet", "end note", "confirmed", "next")
    assert [fact["what"] for fact in bench.facts("deviation")] == ["open_time"]
    assert len(bench.facts("tightened")) == 1


def test_the_open_time_begins_again_where_the_sealant_is_applied_again(bench: Bench) -> None:
    bench.lead_to("tighten-cover")
    bench.wait(600.0)
    bench.hears("go back", "go back", "go back")
    assert "If you do it again, say start timer." in bench.hear("repeat step")
    assert bench.hear("start timer") == "Sealant open time runs: ten minutes."
    bench.hears("next", "next", "next")
    bench.hear("next")
    assert len(bench.facts("tightened")) == 1
    assert [fact["repeated"] for fact in bench.facts("timer_started")] == [False, True]


def test_passing_the_sealant_again_does_not_make_it_fresh(bench: Bench) -> None:
    bench.lead_to("tighten-cover")
    bench.wait(600.0)
    bench.hears("go back", "go back", "go back")
    assert bench.hear("next").startswith("Its timer was not started again.")
    assert len(bench.facts("timer_started")) == 1


def test_taking_a_job_up_again_drops_what_was_read_back(bench: Bench) -> None:
    bench.lead_to("cold")
    bench.hears("skip this", "no time", "end note")
    said = bench.resume()
    assert said.endswith("Step two of eleven. Is the pump cold to the hand?")
    assert bench.phase == "checking"


def test_a_paused_job_hears_only_what_ends_the_pause_and_runs_its_timers(bench: Bench) -> None:
    bench.lead_to("cover-in")
    bench.hear("pause")
    for _ in range(4):
        bench.hear("next")
        assert bench.tones() == [ToneKind.NOT_UNDERSTOOD]
    assert "Sealant open time" in bench.hear("time left")
    assert "two minutes left" in bench.wait(480.0)
    assert "Step eight of eleven." in bench.hear("carry on")


def test_an_unsure_word_moves_nothing_but_a_key_needs_no_surety() -> None:
    bench = Bench(pump(), limits=Thresholds(moving=0.6))
    bench.hear("next", confidence=0.59)
    assert (bench.facts("prepared"), bench.tones()) == ([], [ToneKind.NOT_UNDERSTOOD])
    bench.hear("next", confidence=0.0, source=Source.PEDAL)
    assert len(bench.facts("prepared")) == 1


def test_what_was_believed_is_believed_ever_after_whatever_the_limits_are() -> None:
    bench = Bench(pump())
    bench.hear("next", confidence=0.1)
    bench.limits = Thresholds(1.0, 1.0, 1.0)
    bench.resume()
    assert bench.session.view(bench.now)["place"] == "persons:1"


def test_what_is_said_next_was_expected(bench: Bench) -> None:
    """So that it can be rendered ahead of need."""
    bench.lead_to("tighten-cover")
    for words in ("next", "which bolts", "what value", "next"):
        expected = bench.expected[-1]
        assert bench.hear(words) in expected


def test_a_number_with_decimals_stays_exact(bench: Bench) -> None:
    bench.lead_to("wear")
    bench.hears("reading zero point zero five", "confirmed")
    assert [Decimal(fact["value"]) for fact in bench.facts("reading")] == [Decimal("0.05")]


def test_repeat_says_what_was_said_before_an_answer_that_was_not_kept(bench: Bench) -> None:
    said = bench.hear("next")
    kept = Session(bench.procedure, language=ENGLISH, state=bench.session.state)
    heard = Heard("next", 1.0, bench.now + 1, bench.now + 2)
    assert bench.session.hear(heard, bench.now + 2).facts  # the journal does not take them
    kept.remember(bench.session)
    bench.session = kept
    assert bench.session.view(bench.now)["heard"]["text"] == "next"
    assert bench.hear("repeat") == said
