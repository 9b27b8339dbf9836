"""A note that is to be said again when the program ends: its old words count, and it can be said again afterwards."""

from __future__ import annotations

import json

import pytest

from assistant.cli.printing.options import RecordOptions
from assistant.cli.printing.record.write import write_record
from tests.journal.golden import load, record_of
from tests.typed.play import play, procedure_named

LID = procedure_named("lid-and-rail")
FINDING = [
    "next",
    "next",
    "i found something",
    '"the seal sweeps"',
    "end note",
    "only watch it",
    "confirmed",
    "correct that",
]
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


@pytest.mark.parametrize(
    "until", [[], ['"the seal weeps"'], ['"the seal weeps"', "before it runs"]], ids=["words", "how bad", "read back"]
)
@pytest.mark.parametrize("by", [[], ["--operator", "B. Lane"]], ids=["same", "another"])
def test_a_finding_counts_as_it_was_confirmed_when_the_program_ends_before_other_words_are(tmp_path, until, by):
    """Whoever takes the job up hears that it stays, and can say it again at once."""
    play(LID, [*FINDING, *until], "--operator", "A. Reed", home=tmp_path)
    again = ["correct that", '"the seal weeps"', "before it runs", "confirmed", "what extra work"]
    then = play(LID, again, "--job", "last", *by, home=tmp_path, begin="2026-12-01T09:00")
    assert "The finding stays as it was." in then.answers[0].said
    assert [one["text"] for one in then.facts("finding", "finding_corrected")] == ["the seal weeps"]
    assert then.said[-1] == "Extra work one, corrected, the seal weeps: waits for an answer."


def test_a_finding_of_an_earlier_day_or_behind_another_word_is_not_corrected(tmp_path):
    play(LID, [*FINDING, '"the seal weeps"', "next service", "confirmed"], home=tmp_path)
    later = play(LID, ["correct that"], "--job", "last", home=tmp_path, begin="2026-12-02T09:00")
    assert [one["text"] for one in later.facts("unclear")] == ["correct that"]
    behind = play(LID, [*FINDING[:-1], "pause", "carry on", "correct that"])
    assert behind.facts("correction_begun") == []


def test_a_reason_that_was_confirmed_is_given_anew_once_it_is_taken_back():
    """There is no correcting it: it is the ground of what was done, which is open again then."""
    reason = ["skip this", '"the kit is hours"', "end note", "confirmed"]
    played = play(LID, ["next", "next", "next", *reason, "correct that", "take that back", "confirmed"])
    assert [one["text"] for one in played.facts("unclear")] == ["correct that"]
    assert [one["place"] for one in played.facts("reopened")] == [one["place"] for one in played.facts("skipped")]


def test_the_page_of_the_record_says_in_which_entry_a_finding_was_corrected(tmp_path, monkeypatch):
    load("finding-said-again", tmp_path)
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    write_record("last", RecordOptions(html=tmp_path / "record.html"))
    entry = json.loads(record_of("finding-said-again", tmp_path / "again"))["extra"][0]["corrected"]
    page = (tmp_path / "record.html").read_text("utf-8")
    assert f'the seal weeps on the left <span class="mark">(corrected in entry {entry})</span>' in page


def test_the_record_has_the_finding_that_counts_marked_and_one_that_was_taken_back_unmarked(tmp_path):
    """Written by hand from tests/journal/golden/making_notes.py."""
    told = json.loads(record_of("finding-said-again", tmp_path))
    first, second, third = told["extra"]
    assert (first["what"], first["severity"], first["stands"]) == (
        "the seal weeps on the left", "before it runs", "NOT ANSWERED",
    )  # fmt: skip
    assert first["corrected"] > first["entry"]
    assert first["by"] == "on the page, to what did not count any more: granted, which changed nothing"
    assert (second["what"], second["severity"], second["corrected"]) == ("a hose is dry", "to be watched", 0)
    assert (third["what"], third["stands"], third["corrected"]) == ("a clip is loose", "granted", 0)
    assert "extra work 1 was not answered: the seal weeps on the left (corrected)" in [
        one["what"] for one in told["open"]
    ]
    entries = [one["words"] for one in told["entries"]]
    assert "finding 1 corrected (before it runs): the seal weeps on the left" in entries
    assert "finding 2 as before (to be watched): a hose is dry" in entries
