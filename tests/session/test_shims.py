"""Shims by voice: worked out once all is read off, anew when a reading is another, told one by one, and never lost."""

from __future__ import annotations

import json
from pathlib import Path

from assistant.display.picture import picture
from assistant.language.en import ENGLISH
from assistant.procedure.format.heard import words_heard
from assistant.procedure.format.reader import read_procedure, read_text
from assistant.voice.listening.engine_phrases import as_said, engine_phrases
from tests.journal.golden import record_of
from tests.session.bench import Bench

FILE = Path(__file__).parents[2] / "tests/typed/procedures/shim-head.yaml"
HEAD = read_procedure(FILE).usable
FOUND = ("next", "next", "next", "next", "point three", "point four", "point two one", "point four", "next")
FITTED = ("two point five", "two point five five")


def at_the_shims() -> Bench:
    bench = Bench(HEAD)
    bench.hears(*FOUND)
    assert bench.session.state.place == "shims"
    return bench


def phrases(bench: Bench) -> list[str]:
    told = engine_phrases(bench.session.grammar(), ENGLISH.numbers, (), words_heard().__contains__)
    return [as_said(phrase) for phrase in told]


def proposed(bench: Bench) -> list[tuple[str, str, str]]:
    """Return the last proposals: valve, way and size."""
    found = bench.facts("shims_worked_out")[-1]["proposals"]
    return [(f"{one['at']['row']} {one['at']['column']}", one["way"], one["shim"]["value"]) for one in found]


def test_the_proposal_is_a_typed_fact_and_each_number_is_plain_arithmetic() -> None:
    """Two exhaust: 2.60 + 0.40 - 0.31 (the middle of 0.28 to 0.34 mm) = 2.69 mm, nearest 2.70 mm, which leaves 0.30."""
    bench = at_the_shims()
    bench.hears(*FITTED, "two point six")
    assert proposed(bench) == [
        ("1 inlet-found", "engine", "2.6"), ("1 exhaust-found", "buy", "2.65"), ("2 exhaust-found", "buy", "2.7"),
    ]  # fmt: skip
    last = bench.facts("shims_worked_out")[-1]
    assert last["proposals"][2]["expected"] == {"value": "0.3", "unit": "mm"}
    assert last["proposals"][0]["source"] == {"row": "2", "column": "exhaust-found"}
    assert (last["gauge"], last["assumed"]) == ({"value": "0.01", "unit": "mm"}, False)


def test_which_shim_is_next_is_known_after_the_program_was_killed() -> None:
    bench = at_the_shims()
    bench.hears(*FITTED, "two point six", "which shim now")
    bench.resume()
    assert bench.hear("which shim now") == "One exhaust, a new one. Buy two point six five."
    assert (
        bench.hear("cylinder two exhaust shim")
        == "Two exhaust, a new one. Buy two point seven. Then about point three."
    )


def test_nothing_is_proposed_from_a_reading_that_does_not_count_any_more() -> None:
    bench = at_the_shims()
    bench.hears(*FITTED, "two point six")
    assert bench.session.state.shims
    bench.hears("take that back", "confirmed")
    assert not bench.session.state.shims
    assert bench.hear("which shims").startswith("No shim is worked out yet.")
    said = bench.hear("two point five")
    assert "Buy two of size two point six. Buy one, two point six five." in said


def test_a_clearance_that_is_read_again_works_all_shims_out_anew() -> None:
    bench = at_the_shims()
    bench.hears(*FITTED, "two point six", "go back", "go back", "cylinder two exhaust again", "point three")
    bench.hears("next")
    assert proposed(bench)[2] == ("2 exhaust-found", "keep", "2.6")
    assert proposed(bench)[0] == ("1 inlet-found", "buy", "2.6")


def test_only_the_shims_of_valves_out_of_their_band_are_read_off_and_a_corrected_clearance_asks_for_its_shim() -> None:
    bench = Bench(HEAD)
    said = bench.hears(*FOUND[:4], *["point two", "point three"] * 2)
    assert said.endswith("Step two. Take the shims out and measure them. Every shim can stay.")
    assert bench.session.state.place == "shims"
    bench.hears("next")
    assert bench.session.state.place == "fit-shims"
    assert bench.facts("shims_worked_out")[-1]["proposals"] == []
    bench.hears("go back", "go back", "cylinder two inlet again", "point three", "next")
    assert "shims" not in bench.session.state.done
    assert "Cylinder two, inlet shim." in bench.hear("where am i")
    assert "Buy one, two point six." in bench.hear("two point five")


def test_a_valve_that_was_left_out_or_cannot_be_is_not_in_it_and_that_is_said() -> None:
    bench = Bench(HEAD)
    bench.hears(*FOUND[:4], "reading three", "confirmed", *FOUND[5:])
    said = bench.hears(*FITTED, "skip this", "it is stuck", "end note", "confirmed")
    last = bench.facts("shims_worked_out")[-1]
    assert last["without"] == [{"row": "1", "column": "inlet-found"}, {"row": "2", "column": "exhaust-found"}]
    assert "Two valves not worked out: read again." in said


def test_clearances_in_thousandths_of_an_inch_go_with_shims_in_millimetres() -> None:
    """0.012 in are 0.3048 mm, and 0.007 to 0.009 in 0.1778 to 0.2286 mm: 2.50 mm becomes 2.60 mm, which leaves 8.06."""
    text = FILE.read_text("utf-8").replace("0.18 to 0.24 mm", "0.007 to 0.009 in")
    bench = Bench(read_text(text.encode(), "shim-head.yaml").usable)
    bench.hears(*FOUND[:4], "twelve", "point three", "eight", "point three", "next")
    assert "Buy one, two point six." in bench.hear("two point five")
    assert bench.facts("shims_worked_out")[-1]["proposals"][0]["expected"] == {"value": "8.1", "unit": "thou"}
    assert bench.hear("cylinder one inlet shim").endswith("Buy two point six. Then about eight point one.")


def test_a_valve_that_no_shim_reaches_is_named_first() -> None:
    bench = at_the_shims()
    said = bench.hears("two point five", "two point five five", "three")
    assert "No shim reaches two exhaust." in said
    bench.hears("which shim now", "which shim now")
    assert bench.hear("which shim now") == "No shim reaches two exhaust. The nearest leaves it point zero six above."


def test_the_page_and_the_record_show_the_proposal_beside_the_fitted_shim(tmp_path: Path) -> None:
    bench = at_the_shims()
    bench.hears(*FITTED, "two point six", "go back")
    shown = picture(bench.session.view(bench.now))
    assert shown["headline"] == "Other shims: 3"
    assert [cell["proposed"] for row in shown["table"]["rows"] for cell in row["cells"]] == [
        "→ 2.6 from 2 exhaust", "→ 2.65 buy", "stays", "→ 2.7 buy",
    ]  # fmt: skip
    readings = json.loads(record_of("shims", tmp_path))["readings"]
    fitted = {(one["row"], one["column"]): one["proposed"] for one in readings if one["step"] == "shims"}
    assert fitted["1", "inlet shim"] == "2.6 mm from 2 exhaust-found, then 0.2 mm"
    assert fitted["1", "exhaust shim"] == "2.45 mm from the box, then 0.3 mm"
    unread = {(one["row"], one["column"]): one["result"] for one in readings if not one["reading"]}
    assert unread == {}
    assert all(not one["proposed"] for one in readings if one["step"] != "shims")


def test_another_shim_than_was_proposed_is_said_where_it_is_read_off_as_left() -> None:
    more = "          - {name: inlet shim, limits: 2.00 to 3.00 mm, when: left, shim for: inlet}\n"
    text = FILE.read_text("utf-8").replace("when: left}\nclosing", f"when: left}}\n{more}closing")
    bench = Bench(read_text(text.encode(), "shim-head.yaml").usable)
    bench.hears(*FOUND, *FITTED, "two point six", "next", "point two", "point three")
    assert bench.hear("two point six five").startswith("Two point six was proposed.")
    bench.hears("point two one", "point three")
    assert "was proposed" not in bench.hear("two point six")


def test_shims_are_asked_for_only_where_there_are_some() -> None:
    bench = at_the_shims()
    assert not {"which shim now", "another shim"} & set(phrases(bench))
    bench.hears(*FITTED, "two point six")
    assert {"which shim now", "another shim", "which shims", "cylinder two exhaust shim"} <= set(phrases(bench))


def test_whoever_does_what_the_procedure_asks_comes_to_its_end() -> None:
    bench = Bench(HEAD)
    bench.lead_to_end()
    assert bench.session.state.closed
