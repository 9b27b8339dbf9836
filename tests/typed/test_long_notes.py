"""A note has a limit, what does not fit is told, and a hand-over tells no more of it than somebody can listen to."""

from __future__ import annotations

import pytest

from tests.typed.play import ROOT, play

LID = ROOT / "tests/typed/procedures/gear-lid.yaml"
WORDS = [f"word{number % 9}" for number in range(4000)]
FULL = "No more words fit in here. Say end note, and take another note for the rest."


def breaths(words: list[str]) -> list[str]:
    """Return the lines of a talk in which these are dictated, twenty words in a breath."""
    return [f'"{" ".join(words[at : at + 20])}"' for at in range(0, len(words), 20)]


def test_four_thousand_words_are_a_note_of_two_hundred_and_are_told_in_forty():
    played = play(LID, ["take a note", *breaths(WORDS), "end note", "brief me"])
    (note,) = played.facts("note")
    assert note["text"].split() == WORDS[:200]
    assert note["complete"] is False
    assert played.said.count(FULL) == 190
    told = played.last.said
    assert told.lower().count("word") == 40
    assert "and so on" in told


def test_all_that_was_dictated_stands_in_the_entries_of_what_was_heard():
    played = play(LID, ["take a note", *breaths(WORDS[:400]), "end note"])
    assert " ".join(data["words"] for data in played.facts("heard") if data["words"]).split() == WORDS[:400]


def test_a_note_that_fits_is_kept_whole_and_said_to_be():
    played = play(LID, ["take a note", *breaths(WORDS[:200]), "end note"])
    (note,) = played.facts("note")
    assert (note["text"].split(), note["complete"]) == (WORDS[:200], True)
    assert FULL not in played.said


def test_one_endless_word_is_cut_as_well():
    played = play(LID, ["take a note", f'"{"a" * 5000}"', "end note"])
    (note,) = played.facts("note")
    assert (note["text"], note["complete"]) == ("a" * 2000, False)


@pytest.mark.parametrize("kind", ["problem", "take a note"])
def test_who_goes_on_talking_in_one_breath_with_end_note_is_told_what_did_not_fit(kind):
    played = play(LID, [kind, *breaths(WORDS[:190]), f'"{" ".join(WORDS[190:210])} end note"'])
    assert "The last words did not fit. Take another note for them." in played.last.said
