"""Packs by voice: from a reading to what is said, shown and stored, and what the next reading counts from."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

import pytest

from assistant.display.picture import picture
from assistant.facts import Quantity
from assistant.facts.packs import BoxKnown, BoxShims
from assistant.language.en import ENGLISH
from assistant.procedure.format.heard import words_heard
from assistant.procedure.format.reader import read_procedure, read_text
from assistant.procedure.steps.check import CheckStep
from assistant.voice.listening.engine_phrases import as_said, engine_phrases
from tests.journal.golden import record_of
from tests.procedure.writing import to_yaml
from tests.session.bench import Bench

FILE = Path(__file__).parents[2] / "tests/typed/procedures/shaft-packs.yaml"
PACKS = read_procedure(FILE).usable
HEAD = read_procedure(FILE.with_name("shim-head.yaml")).usable
OPEN = ("next",) * 4


def with_text(old: str, new: str) -> Bench:
    text = FILE.read_text("utf-8")
    assert old in text
    return Bench(read_text(text.replace(old, new).encode(), FILE.name).usable)


def last(bench: Bench) -> dict[str, object]:
    return bench.facts("pack_worked_out")[-1]


def box(bench: Bench, *shims: tuple[str, str, int]) -> None:
    known = BoxKnown(shims=tuple(BoxShims(kind, Quantity(Decimal(size), "mm"), count) for kind, size, count in shims))
    bench.take(bench.session.know(known, bench.now))


def test_the_proposal_is_a_typed_fact_and_each_number_is_plain_arithmetic() -> None:
    """0.20 - 0.15 = 0.05 mm, or - 0.10 = 0.10 mm: both on a limit; U = sqrt(0.01^2 + 0.005^2) = 0.0112 mm."""
    bench = Bench(PACKS)
    bench.hears(*OPEN, "reading point two", "confirmed")
    fact = last(bench)
    assert fact["present"] == ["0.5", "0.25"]
    assert (fact["out"], fact["new"], fact["expected"]) == ([], ["0.1"], {"value": "0.1", "unit": "mm"})
    assert fact["uncertainty"] == {"value": "0.012", "unit": "mm"}
    assert (fact["way"], fact["near"], fact["counted"], fact["assumed"]) == ("change", True, False, False)


def test_what_was_put_in_counts_after_the_program_was_killed_and_no_more_once_it_is_taken_back() -> None:
    bench = Bench(PACKS)
    bench.hears(*OPEN, "reading point two", "confirmed", "next")
    assert bench.session.state.packs.put_in["shaft"].shims
    bench.resume()
    assert "Then about point one millimetres." in bench.hear("which pack")
    bench.hears("take that back", "confirmed")
    assert not bench.session.state.packs.put_in
    assert "pack-in" not in bench.session.state.done
    said = bench.hears("reading point zero seven", "confirmed")
    assert "That counts from the first pack." in said
    assert (last(bench)["present"], last(bench)["counted"]) == (["0.5", "0.25"], False)


def test_a_reading_that_is_taken_back_proposes_nothing() -> None:
    bench = Bench(PACKS)
    bench.hears(*OPEN, "reading point zero seven", "confirmed")
    assert bench.session.state.packs.worked_out
    bench.hears("take that back", "confirmed")
    assert not bench.session.state.packs.worked_out
    assert bench.hear("which pack").startswith("No pack is worked out yet.")


def test_another_reading_without_the_pack_says_from_which_one_it_counts() -> None:
    bench = with_text("Put the proposed pack in., shim for: [shaft]", "Put the proposed pack in.")
    bench.hears(*OPEN, "reading point two", "confirmed", "next")
    assert "That counts from the first pack." in bench.hears("reading point three", "confirmed")


def test_a_play_that_no_pack_reaches_and_one_that_cannot_be_say_so_and_nothing_is_lost() -> None:
    bench = Bench(PACKS)
    said = bench.hears(*OPEN, "reading nine", "confirmed")
    assert "No pack of these shims reaches the shaft." in said
    assert (last(bench)["way"], last(bench)["off"]) == ("nearest", {"value": "8.35", "unit": "mm"})
    bench.hears("next")
    bench = with_text("0.50, 0.25 mm", "0.05 mm")
    said = bench.hears(*OPEN, "reading zero", "confirmed")
    assert "No pack can put the shaft right." not in said  # without the shim the play is 0.05 mm
    assert last(bench)["shims"] == []
    bench = with_text("limits: 0.05 to 0.10 mm", "limits: 0.15 to 0.20 mm")
    said = bench.hears(*OPEN, "reading point zero one", "confirmed")
    assert last(bench)["way"] == "change"
    bench = with_text("          fitted: 0.50, 0.25 mm\n", "")
    said = bench.hears(*OPEN, "reading point zero one", "confirmed")
    assert "No pack can put the shaft right. Read it off again." in said
    assert last(bench)["way"] == "none"
    assert bench.session.state.place == "pack-in"


def test_the_page_shows_a_pack_where_it_is_put_in_and_the_record_tells_all(tmp_path: Path) -> None:
    bench = Bench(PACKS)
    bench.hears(*OPEN, "reading point two", "confirmed")
    shown = picture(bench.session.view(bench.now))
    assert shown["things"] == ["shaft: put in 0.1 mm", "then about 0.1 mm, near a limit"]
    bench.hears("next")
    in_now = "shaft: 0.5 + 0.25 + 0.1 mm fitted, put in"
    assert picture(bench.session.view(bench.now))["things"] == [in_now, *shown["things"]]
    log = json.dumps(json.loads(record_of("packs", tmp_path)), ensure_ascii=False)
    told = "put in 0.005 in: 2 x 0.02 + 0.005 in, then 7 thou (within 0.5 thou)"
    assert f"pack for pinion proposed (4 thou with 2 x 0.02 in, wanted 5 to 8 thou): {told}" in log
    assert "pack for pinion put in: 2 x 0.02 + 0.005 in" in log


def test_the_page_of_the_step_that_puts_shims_in_shows_the_shim_of_each_valve() -> None:
    bench = Bench(HEAD)
    bench.hears(*OPEN, "point three", "point four", "point two one", "point four", "next")
    bench.hears("two point five", "two point five five", "two point six")
    assert bench.session.state.place == "fit-shims"
    table = picture(bench.session.view(bench.now))["table"]
    assert [one["name"] for one in table["columns"]] == ["inlet", "exhaust"]
    assert [[cell["proposed"] for cell in row["cells"]] for row in table["rows"]] == [
        ["→ 2.6 from 2 exhaust", "→ 2.65 buy"], ["stays", "→ 2.7 buy"],
    ]  # fmt: skip


def test_the_list_of_the_bay_takes_the_place_of_the_box_in_the_procedure() -> None:
    bench = Bench(HEAD)
    box(bench, ("valve", "2.65", 1), ("shaft", "2.70", 5))
    bench.hears(*OPEN, "point three", "point four", "point two one", "point four", "next")
    bench.hears("two point five", "two point five five", "two point six")
    ways = [one["way"] for one in bench.facts("shims_worked_out")[-1]["proposals"]]
    assert ways == ["engine", "box", "buy"]
    bench.resume()
    assert bench.session.state.packs.box is not None


def test_shims_of_the_box_are_proposed_once() -> None:
    text = FILE.read_text("utf-8").replace(
        '"0.05 x 2, 0.10, 0.25, 0.50 mm", ratio: 1,', '"0.05 mm", kind: thin, ratio: 1,'
    )
    bench = Bench(read_text(text.encode(), FILE.name).usable)
    box(bench, ("thin", "0.12", 1), ("thin", "0.85", 1))
    bench.hears(*OPEN, "reading point two", "confirmed")
    assert last(bench)["new"] == ["0.12"]
    bench.hears("next", "reading point zero eight", "reading seven", "confirmed", "reading point one one")
    assert last(bench)["new"] == ["0.85"]


def test_a_pack_is_written_as_it_was_read() -> None:
    again = read_text(to_yaml(PACKS).encode(), FILE.name).usable
    packs = [[one.pack for one in of.every_step if isinstance(one, CheckStep)] for of in (PACKS, again)]
    assert len([one for one in packs[0] if one is not None]) == 4
    assert packs[0] == packs[1]


def test_which_pack_is_asked_for_only_where_there_is_one() -> None:
    def heard(bench: Bench) -> set[str]:
        told = engine_phrases(bench.session.grammar(), ENGLISH.numbers, (), words_heard().__contains__)
        return set(map(as_said, told))

    bench = Bench(PACKS)
    bench.hears(*OPEN)
    assert "which pack" in heard(bench)
    assert "which pack" not in heard(Bench(HEAD))


@pytest.mark.parametrize("procedure", [PACKS])
def test_whoever_does_what_the_procedure_asks_comes_to_its_end(procedure) -> None:
    bench = Bench(procedure)
    bench.lead_to_end()
    assert bench.session.state.closed


def test_a_pack_that_is_found_counts_after_the_program_was_killed_and_no_more_once_it_is_taken_back() -> None:
    """0.80 mm are in and not 0.75: 0.20 mm of play ask for 0.10 to 0.15 mm more either way; the page says which."""
    bench = Bench(PACKS)
    bench.hears(*OPEN, "fitted shim point five", "confirmed", "fitted shim point three", "confirmed")
    bench.resume()
    assert picture(bench.session.view(bench.now))["things"] == ["shaft: 0.5 + 0.3 mm fitted, as found"]
    bench.hears("reading point two", "confirmed")
    assert (last(bench)["present"], last(bench)["counted"]) == (["0.5", "0.3"], False)
    assert sum(map(Decimal, last(bench)["shims"])) - Decimal("0.8") in (Decimal("0.1"), Decimal("0.15"))
    again = Bench(PACKS)
    again.hears(*OPEN, "fitted shim point five", "confirmed", "take that back", "confirmed", "reading point two")
    again.hear("confirmed")
    assert last(again)["present"] == ["0.5", "0.25"]


def test_a_reading_before_the_pack_was_said_is_worked_out_anew() -> None:
    bench = Bench(PACKS)
    bench.hears(*OPEN, "reading point zero seven", "confirmed", "go back", "fitted shim point nine")
    assert last(bench)["present"] == ["0.5", "0.25"]
    bench.hear("confirmed")
    assert (last(bench)["present"], len(bench.facts("pack_worked_out"))) == (["0.9"], 2)


def test_a_shim_that_cannot_be_is_refused_and_a_wrong_one_is_only_read_back() -> None:
    bench = Bench(PACKS)
    assert bench.hears(*OPEN, "fitted shim sixty") == "No pack is that thick. Say it again."
    bench.hears("fitted shim point five", "fitted shim point six", "cancel")
    assert not bench.facts("pack_found")


def test_the_record_tells_what_was_found_and_what_of_it_stands(tmp_path: Path) -> None:
    record = json.loads(record_of("found-pack", tmp_path))
    log = json.dumps(record, ensure_ascii=False)
    assert "pack for shaft found fitted: 0.5 + 0.35 mm" in log
    assert "pack for shaft: 0.5 mm again" in log
    (step,) = (row for row in record["steps"] if row["id"] == "end-play")
    assert "found fitted: 0.5 + 0.3 mm" in str(step)
    assert "0.35" not in str(step)
