"""A note that is to be said again when the program ends: its old words count, and it can be said again afterwards."""

from __future__ import annotations

import json

from tests.journal.golden import record_of
from tests.typed.play import play, procedure_named

LID = procedure_named("lid-and-rail")
NOTE = ["take a note", '"the gas kit was blued"', "end note", "correct that"]


def test_a_correction_that_was_broken_off_leaves_the_note_and_can_be_begun_again(tmp_path):
    assert play(LID, NOTE, home=tmp_path).said[-1] == "Say all of it again, in one go."
    then = play(
        LID, ["correct that", '"the gasket was glued"'], "--job", "last", home=tmp_path, begin="2026-12-01T09:00"
    )
    assert "The note stays as it was." in then.answers[0].said
    assert then.said[-1] == "Note corrected: the gasket was glued."
    assert then.facts("note_corrected")[-1]["note"] == 1


def test_a_note_of_an_earlier_day_is_not_corrected_by_a_word(tmp_path):
    play(LID, [*NOTE, '"the gasket was glued"'], home=tmp_path)
    later = play(LID, ["correct that"], "--job", "last", home=tmp_path, begin="2026-12-02T09:00")
    assert [one["text"] for one in later.facts("unclear")] == ["correct that"]
    assert later.facts("correction_begun") == []


def test_next_shuts_the_phrase_and_the_record_has_the_words_that_count(tmp_path):
    played = play(LID, [*NOTE, '"the gasket was glued"', "next", "correct that"], home=tmp_path)
    assert len(played.facts("correction_begun")) == 1


def test_the_record_has_the_words_that_count_and_where_they_were_said(tmp_path):
    """Written by hand from tests/journal/golden/making_notes.py."""
    told = json.loads(record_of("said-again", tmp_path))
    assert [(one["kind"], one["text"], one["corrected"] > one["entry"]) for one in told["notes"]] == [
        ("note", "the gasket was glued", True),
        ("problem", "a stud is broken", True),
    ]
    assert told["open"][0]["what"] == "PROBLEM: a stud is broken (corrected)"
    assert told["extra"][0]["what"].startswith("the seal weeps")
