"""A reading that was not heard surely, as no number is in noise, is read back and waits: a wrong one is never taken."""

from __future__ import annotations

import pytest

from assistant.events import Source
from tests.session.bench import Bench
from tests.session.examples import every_kind


@pytest.fixture
def bench() -> Bench:
    bench = Bench(every_kind())
    bench.lead_to("gap")
    assert bench.phase == "reading"
    return bench


def _taken(bench: Bench) -> list[str]:
    return [str(fact["value"]) for fact in bench.facts("reading")]


def test_it_counts_when_it_is_confirmed(bench: Bench) -> None:
    assert bench.hear("reading zero point one", confidence=0.89) == (
        "Zero point one millimetres. Read again, or say confirmed."
    )
    assert _taken(bench) == []
    bench.hear("confirmed")
    assert _taken(bench) == ["0.1"]
    assert bench.phase != "reading"


def test_another_reading_replaces_it_and_cancel_drops_it(bench: Bench) -> None:
    bench.hear("reading zero point one", confidence=0.8)
    assert bench.hear("reading zero point one three", confidence=0.8).startswith("Zero point one three millimetres")
    bench.hear("cancel")
    assert (_taken(bench), bench.phase) == ([], "reading")


@pytest.mark.parametrize(("sure", "source"), [(0.9, Source.VOICE), (0.5, Source.KEY)])
def test_a_sure_one_and_one_by_hand_are_taken_at_once(bench: Bench, sure: float, source: Source) -> None:
    bench.hear("reading zero point one", confidence=sure, source=source)
    assert _taken(bench) == ["0.1"]


def test_one_that_is_also_out_of_limits_is_read_back_with_its_limit_as_ever(bench: Bench) -> None:
    assert "above the limit" in bench.hear("reading zero point three", confidence=0.8)
