"""A number that sounds like another is read back where the other can be, and only there."""

from __future__ import annotations

from decimal import Decimal
from pathlib import Path

from assistant.events import Source
from assistant.facts.inputs import Understood, UnderstoodAlike
from assistant.facts.kinds.check import ReadOff
from assistant.language.en.heard_alike import KNOWN, texts_like
from assistant.procedure.format.reader import read_procedure
from tests.session.bench import Bench

ROOT = Path(__file__).parents[2]
PUMP = read_procedure(ROOT / "procedures/coolant-pump-cover.yaml").usable


def at(place: str) -> Bench:
    """Return the demo job at a step."""
    bench = Bench(PUMP)
    bench.lead_to(place, past_hazards=True)
    return bench


def test_radiotelephony_has_words_of_its_own_for_what_is_read_back() -> None:
    """ICAO Annex 10 says "fife" and "niner"; digits of thirteen and thirty are said one by one (from memory)."""
    assert ("five", "nine") in KNOWN
    assert "reading zero point zero nine" in texts_like("reading zero point zero five")
    assert "count thirty" in texts_like("count thirteen")
    assert texts_like("one three")[:0] == ()


def test_a_clearance_that_sounds_like_another_is_read_back_and_taken_when_it_is_confirmed() -> None:
    """The limits are 0.05 to 0.15 mm: 0.05 and 0.09 can both be."""
    bench = at("shaft-play")
    said = bench.hear("reading zero point zero nine")
    assert said == "Zero point zero nine millimetres. Read again, or say confirmed."
    assert not any(isinstance(fact, ReadOff) for fact, _ in bench.entries)
    heard = next(fact for fact, _ in reversed(bench.entries) if isinstance(fact, UnderstoodAlike))
    assert Decimal("0.05") in heard.alike
    bench.hears("reading zero point zero five", "confirmed")
    (read,) = [fact for fact, _ in bench.entries if isinstance(fact, ReadOff)]
    assert read.value == Decimal("0.05")


def test_a_value_whose_like_cannot_be_is_taken_at_once() -> None:
    """Of 0.12 mm no digit sounds like one that makes a play of a shaft; what is typed is never asked about."""
    bench = at("shaft-play")
    bench.hear("reading zero point zero nine", source=Source.KEY)
    (read,) = [fact for fact, _ in bench.entries if isinstance(fact, ReadOff)]
    assert read.value == Decimal("0.09")
    heard = [fact for fact, _ in bench.entries if isinstance(fact, Understood)][-1]
    assert not isinstance(heard, UnderstoodAlike)


def test_a_value_is_heard_in_every_way_and_so_is_one_out_of_limits() -> None:
    bench = at("shaft-play")
    assert "zero point zero five" in bench.hear("reading oh five").lower()
    assert "zero point zero nine" in bench.hear("reading point oh nine").lower()
    assert "zero point one three" in bench.hear("reading thirteen hundredths").lower()


def test_an_expected_count_is_read_back_where_a_smaller_one_sounds_like_it() -> None:
    """Thirteen may have been thirty, which nobody can count there; nine may have been five."""
    bench = Bench(read_procedure(ROOT / "procedures/hub-drive-reseal.yaml").usable)
    for _ in range(400):
        view = bench.session.view(bench.now)
        if view["phase"] == "counting" and view["ask"]["expected"] == 9:
            break
        bench.lead_on()
    assert bench.hear("count five") == "You count five. Count again, or say confirmed."
    assert bench.facts("miscounted") == []
    assert bench.hear("count nine") == "You count nine. Count again, or say confirmed."
    bench.hear("confirmed")
    assert bench.facts("counted")[-1]["count"] == 9
    assert bench.facts("miscounted") == []


def test_a_zero_that_may_have_been_the_right_count_is_no_miscount_before_it_is_confirmed() -> None:
    """A synthetic voice said "count two" and was heard so at one metre; nobody counts none, so two is taken at once."""
    bench = at("short-out")
    assert bench.hear("count zero") == "You count zero. Count again, or say confirmed."
    assert bench.facts("miscounted") == []
    bench.hear("count two")
    assert bench.facts("counted")[-1]["count"] == 2
