"""A table of readings on the page: the present place, and what is out of limits told by more than its colour."""

from __future__ import annotations

from pathlib import Path

from assistant.display.picture import picture
from assistant.procedure.format.reader import read_procedure
from tests.session.bench import Bench

HEADS = read_procedure(Path(__file__).parents[2] / "tests/typed/procedures/practice-heads.yaml").usable


def page(*said: str) -> dict:
    bench = Bench(HEADS)
    bench.hears("next", "next", *said)
    return picture(bench.session.view(bench.now))


def test_the_next_place_is_large_and_marked_and_its_limits_stand_below() -> None:
    shown = page("point two", "point three", "point two")
    assert shown["table"]["title"] == "Cylinder 2, exhaust"
    assert shown["headline"] == "Measure the valve clearances with the engine cold."
    assert shown["say"] == "the number"
    assert shown["value"] == {"number": "0.25 to 0.35", "unit": "mm", "note": ""}
    rows = shown["table"]["rows"]
    assert [cell["state"] for row in rows[:2] for cell in row["cells"]] == ["within", "within", "within", "now"]
    assert [one["limits"] for one in shown["table"]["columns"]] == ["0.15 to 0.25 mm", "0.25 to 0.35 mm"]
    assert "Cylinder 2, exhaust" in shown["announce"]


def test_every_state_of_a_place_has_a_sign_and_a_word_of_its_own() -> None:
    shown = page("point one", "point four", "point two", "skip this", "it is covered", "end note", "confirmed")
    cells = [cell for row in shown["table"]["rows"] for cell in row["cells"]][:5]
    assert [(cell["sign"], cell["text"], cell["state"]) for cell in cells] == [
        ("▼", "0.1", "below"), ("▲", "0.4", "above"), ("✓", "0.2", "within"), ("⊘", "", "left out"), ("▶", "", "now"),
    ]  # fmt: skip


def test_behind_the_last_one_it_says_how_many_are_out_of_limits() -> None:
    shown = page("point one", *["point three", "point two"] * 5, "point three")
    assert shown["headline"] == "1 out of limits"
    assert shown["value"] is None
    assert shown["say"] == "next, or its name and again"
