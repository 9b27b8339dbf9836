"""What the page is told to show: worked out from the procedure file and the trade, not from the page."""

from __future__ import annotations

import copy

import pytest

from assistant.display.board import Board, Ear
from assistant.display.picture import picture, visible_values
from assistant.display.tightening import bolts_in_words
from assistant.events import Source
from tests.display.play import AFTER_THE_WAIT, NOTHING, TO_FIRST_STEP, TO_TIGHTENING
from tests.fakes.mechanic import next_words


def shown(play) -> dict:
    return picture(play.runner.session.view(play.now))


@pytest.fixture
def tightening(begin):
    play = begin()
    play.say(*TO_TIGHTENING)
    play.pass_time(31)
    play.say(*AFTER_THE_WAIT)
    return play


def test_the_count_that_is_expected_is_not_given_away(begin):
    # Who sees "4" while counting will count four: the number must come from the hands.
    play = begin()
    play.say(*TO_FIRST_STEP, "yes", "next")
    now = shown(play)
    assert now["headline"] == "Take out the long bolts and count them."
    assert now["say"] == "count and the number"
    assert now["value"] is None
    assert "4" not in now["headline"] + now["announce"].replace("Step 3 of 13", "")


def test_the_stages_of_the_file_one_after_the_other(tightening):
    found = []
    for _ in range(5):
        now = shown(tightening)
        found.append((now["tighten"]["stage"], now["tighten"]["now"], now["value"], now["next"]))
        tightening.say("next")
    newton = {"unit": "N·m", "note": ""}
    assert found == [
        ("Stage 1 of 3", "Bolts 1, 3, 2, 4", {"number": "5", **newton}, "Bolts 5, 6, 5 N·m"),
        ("Stage 1 of 3", "Bolts 5, 6", {"number": "5", **newton}, "stage 2: Bolts 1, 3, 2, 4, 16 N·m"),
        ("Stage 2 of 3", "Bolts 1, 3, 2, 4", {"number": "16", **newton}, "Bolts 5, 6, 8 N·m"),
        ("Stage 2 of 3", "Bolts 5, 6", {"number": "8", **newton}, "stage 3: Bolts 1, 3, 2, 4, 45°"),
        ("Stage 3 of 3", "Bolts 1, 3, 2, 4", {"number": "45", "unit": "°", "note": "further turn"},
         "Turn the pump shaft by hand two full turns and feel that it runs freely."),
    ]  # fmt: skip


def test_all_values_stand_in_the_unit_that_was_asked_for(tightening):
    # 1 lbf·ft = 1.355 817 948 331 400 4 N·m (NIST SP 811, appendix B.8): 5 N·m are 3.687 8 and 16 N·m are 11.800 9.
    tightening.say("use pound feet")
    now = shown(tightening)
    assert (now["value"]["number"], now["value"]["unit"]) == ("3.68", "lbf·ft")
    assert now["next"] == "Bolts 5, 6, 3.68 lbf·ft"
    assert now["tighten"]["at_bolt"] == ""
    assert now["announce"].endswith("3.68 lbf·ft.")
    tightening.say("next")
    assert shown(tightening)["next"] == "stage 2: Bolts 1, 3, 2, 4, 11.8 lbf·ft"
    tightening.say("use newton metres")
    assert shown(tightening)["value"]["number"] == "5"


def test_what_is_missing_is_marked_where_it_is_asked_for_and_stays_in_sight(begin):
    play = begin()
    play.say("next", "next", "missing")
    now = shown(play)
    assert (len(now["things"]), now["say"]) == (1, "next, or missing")
    first = now["things"][0]
    play.say("missing")
    lacking = play.runner.session.view(play.now)["missing"]
    assert lacking == [first]
    while (view := play.runner.session.view(play.now))["phase"] == "preparing":
        assert shown(play)["missing"] == ""  # on a card it stands in the list itself
        play.say("next")
    assert view["phase"] == "confirming"
    play.say("confirmed")
    play.say("the shop is closed", source=Source.KEY)
    play.say("end note", "confirmed", "confirmed", "confirmed")
    assert shown(play)["missing"] == first
    play.say("item found")
    assert shown(play)["missing"] == ""


def test_a_closed_job_shows_no_value_any_more(tightening):
    now = picture({**tightening.runner.session.view(tightening.now), "closed": True, "page": "closed"})
    assert (now["mode"], now["headline"], now["value"], now["tighten"]) == ("closed", "The job is closed.", None, None)
    assert (now["step"], now["next"], now["tools"]) == ("", "nothing", [])


def test_the_hidden_bolt_is_called_out_when_its_turn_comes(tightening):
    assert shown(tightening)["tighten"]["hidden"] == []
    tightening.say("next", "one by one")
    assert shown(tightening)["tighten"]["hidden"] == []
    tightening.say("next")
    assert shown(tightening)["tighten"]["hidden"] == ["Bolt 6 is hidden: under the hose neck"]


def test_the_large_number_is_the_one_to_set_and_the_bolt_s_stands_beside_it(tightening):
    view = copy.deepcopy(dict(tightening.runner.session.view(tightening.now)))
    tools = {"tool": "small", "adapter": "crow", "multiplier": None, "setting": {"value": "4.4", "unit": "N·m"}}
    view["tighten"] = {**view["tighten"], "tools": tools, "at_bolt": True}
    now = picture(view)
    assert now["value"] == {"number": "4.4", "unit": "N·m", "note": "on the wrench"}
    assert now["tighten"]["at_bolt"] == "5 N·m at the bolt"
    view["tighten"] |= {"tools": {**tools, "setting": {"value": "5.0", "unit": "N·m"}}, "at_bolt": False}
    assert picture(view)["value"] == {"number": "5", "unit": "N·m", "note": ""}
    assert picture(view)["tighten"]["at_bolt"] == ""  # one number, one place


def test_an_angle_through_a_multiplier_is_large_as_it_is_turned_at_the_handle(tightening):
    view = copy.deepcopy(dict(tightening.runner.session.view(tightening.now)))
    target = {"value": "40", "unit": "°", "further": True}
    view["tighten"] = {**view["tighten"], "way": "angle", "target": target, "at_bolt": True, "handle": "200"}
    now = picture(view)
    assert (now["value"]["number"], now["value"]["unit"]) == ("200", "°")
    assert now["value"]["note"].endswith("at the handle")
    assert now["tighten"]["at_bolt"] == "40° at the bolt"


def test_without_a_known_ratio_no_number_is_large(tightening):
    view = copy.deepcopy(dict(tightening.runner.session.view(tightening.now)))
    view["tighten"] = {**view["tighten"], "at_bolt": True, "handle": None, "tools": None}
    now = picture(view)
    assert now["value"] is None
    assert now["tighten"]["at_bolt"] == "5 N·m at the bolt; what to set is not known"


def test_what_was_heard_and_whether_it_was_understood(begin):
    play = begin()
    assert shown(play)["heard"] is None
    play.say("next")
    assert shown(play)["heard"] == {"text": "next", "good": True, "verdict": "understood"}
    play.say("count four")
    assert shown(play)["heard"] == {"text": "count four", "good": False, "verdict": "not possible here"}
    play.say(NOTHING)
    assert shown(play)["heard"]["verdict"] == "not understood"


@pytest.mark.parametrize(
    ("phrases", "mode", "headline", "say"),
    [
        (("pause",), "paused", "Paused", "carry on"),
        (("take a note",), "dictation", "Speak: it is written down.", "end note"),
        ((), "work", "Before you start", "next"),
    ],
)
def test_what_lies_over_the_work_is_said_large(begin, phrases, mode, headline, say):
    play = begin()
    play.say(*phrases)
    now = shown(play)
    assert (now["mode"], now["headline"], now["say"]) == (mode, headline, say)


def test_the_words_that_are_said_again_stand_large_until_the_new_ones_do(begin):
    play = begin()
    play.say("take a note")
    play.say("it was blued", source=Source.KEY)
    play.say("end note", "correct that")
    now = shown(play)
    assert (now["headline"], now["say"]) == ("Say all of it again, in place of: it was blued", "cancel")
    play.say("it was glued", source=Source.KEY)
    assert shown(play)["beside"] == "Note corrected: it was glued."
    play.say("next")
    assert shown(play)["beside"] == ""


def test_a_finding_that_was_confirmed_stands_there_as_long_as_it_can_be_corrected(begin):
    play = begin()
    play.say("i found something")
    play.say("the seal sweeps", source=Source.KEY)
    play.say("end note", "next service", "confirmed")
    assert shown(play)["beside"] == "Extra work one: the seal sweeps"
    play.say("correct that")
    assert shown(play)["headline"] == "Say all of it again, in place of: the seal sweeps"
    play.say("the seal weeps", source=Source.KEY)
    play.say("next service", "confirmed")
    assert shown(play)["beside"] == "Extra work one, corrected: the seal weeps"
    play.say("next")
    assert shown(play)["beside"] == ""


def test_a_wait_counts_down_and_is_gone_when_it_matters_no_more(begin):
    play = begin()
    play.say(*TO_TIGHTENING)
    now = shown(play)
    assert now["clock"] == "drying"
    assert now["timers"] == [
        {"id": "drying", "name": "drying time", "what": "wait", "left_ms": 30_000, "over": False}
    ]  # fmt: skip
    play.pass_time(31)
    assert shown(play)["timers"][0]["over"] is True
    play.say("next")
    assert shown(play)["timers"] == []


def test_a_reminder_stands_with_the_timers_until_it_is_told_or_dropped(begin):
    play = begin()
    play.say("remind me in two minutes", "remind me in five minutes")
    assert [(one["name"], one["what"]) for one in shown(play)["timers"]] == [("Reminder", "in"), ("Reminder", "in")]
    play.pass_time(130)
    assert [one["id"] for one in shown(play)["timers"]] == ["reminder 2"]
    play.say("forget to remind me")
    assert shown(play)["timers"] == []


def test_no_letter_can_turn_or_hide_what_stands_beside_it():
    # Bidirectional controls, as in Unicode Technical Report 36, section 2.3.
    assert visible_values({"a": ["16 \u202eN·m", "\u200b", "5\x00"]}) == {
        "a": ["16 ‹U+202E›N·m", "‹U+200B›", "5‹U+0000›"]
    }
    assert visible_values("Öl, 45°, ½ – “ja”") == "Öl, 45°, ½ – “ja”"


def test_bolts_keep_the_order_of_the_work():
    assert [bolts_in_words(bolts) for bolts in ((), (6,), (1, 3, 2, 4))] == ["", "Bolt 6", "Bolts 1, 3, 2, 4"]


def test_the_meter_stands_still_in_a_still_room():
    assert [Ear("listening", level).bars for level in (-120, -58, -57, -40, -21, -3)] == [0, 0, 0, 2, 4, 5]


def test_only_the_newest_is_kept_and_nobody_is_waited_for(begin):
    play = begin()
    view = play.runner.session.view(play.now)
    board = Board()  # nobody watches it, and nobody ever will
    for _ in range(1000):
        board.show(view)
    board.notice("The microphone is gone.")
    seq, text = board.newest()
    assert seq == 1001
    assert '"notice": {"text": "The microphone is gone.", "trouble": true}' in text
    board.show(view)
    assert '"notice": null' in board.newest()[1]


@pytest.mark.parametrize(
    ("before", "phrase", "good", "verdict"),
    [
        ((), "item found", False, "not done"),  # nothing is missing
        ((), "use pound feet", True, "understood"),
        ((), "what is left", True, "understood"),
        ((), "louder", True, "understood"),
        (("hand over", "confirmed"), "operator two", False, "not done"),  # there is no second one
        (("hand over", "confirmed"), "take over", True, "understood"),
        (("pause",), "next", False, "not possible here"),
        (TO_FIRST_STEP[:6], "next", False, "not done"),  # next does not pass a hazard
        (TO_FIRST_STEP[:6], "skip this", False, "not done"),  # nor is one left out
        (TO_FIRST_STEP, "next", False, "not done"),  # the step asks for yes or no
        (TO_FIRST_STEP, "yes", True, "understood"),
    ],
)
def test_a_word_that_changed_nothing_is_not_shown_as_done(begin, before, phrase, good, verdict):
    play = begin()
    play.say(*before, phrase)
    assert shown(play)["heard"] == {"text": phrase, "good": good, "verdict": verdict}


def test_a_typed_slip_is_shown_with_what_may_have_been_meant(begin):
    play = begin()
    play.say("nxt", source=Source.KEY)
    assert shown(play)["heard"]["verdict"] == "no phrase that I know; did you mean “next”?"
    play.say("mind the gap", source=Source.KEY)
    assert shown(play)["heard"]["verdict"] == "no phrase that I know"


def test_steps_and_closing_steps_are_counted_as_they_are_numbered(begin):
    play = begin()
    places = {}
    while (words := next_words(play.runner.session.view(play.now))) != "finish job":
        now = shown(play)
        places.setdefault(now["place"], now["progress"]["text"])
        if words is None:
            play.pass_time(60)
        else:
            play.say(words)
    assert places["Step 1 of 13"] == "0 of 13 steps done"
    assert places["Step 13 of 13"] == "12 of 13 steps done"
    assert places["Closing step 1 of 3"] == "0 of 3 closing steps done"
    assert places["Closing step 3 of 3"] == "2 of 3 closing steps done"
    assert shown(play)["progress"]["text"] == "13 of 13 steps and 3 of 3 closing steps done"


def test_bolts_that_are_meant_come_first_in_the_order_of_the_work(tightening):
    bolts = shown(tightening)["tighten"]["bolts"]
    assert [(bolt["number"], bolt["place"], bolt["hidden"]) for bolt in bolts] == [
        (1, "1st", False), (3, "2nd", False), (2, "3rd", False), (4, "4th", False), (5, "", False), (6, "", True),
    ]  # fmt: skip
    tightening.say("next")
    bolts = shown(tightening)["tighten"]["bolts"]
    assert [(bolt["number"], bolt["place"], bolt["hidden"]) for bolt in bolts[:2]] == [
        (5, "5th", False),
        (6, "6th", True),
    ]


def test_a_further_angle_that_was_given_is_not_shown_as_one_to_give(tightening):
    tightening.say("next", "next", "next", "next", "next", "go back", "go back")
    view = tightening.runner.session.view(tightening.now)
    assert (view["phase"], view["tighten"]["target"]["unit"]) == ("turned", "°")
    now = shown(tightening)
    assert now["headline"] == "Bolts 1, 3, 2, 4: done before. Turning again would overstretch the bolts."
    assert (now["value"], now["say"], now["mode"]) == (None, "next", "asking")
    assert [bolt["state"] for bolt in now["tighten"]["bolts"][:4]] == ["done"] * 4
    assert "°" not in now["announce"]
