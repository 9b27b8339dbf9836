"""The table of facts tells all that is written, so that a record of the job can be made from it."""

from __future__ import annotations

import json
import re
from random import Random
from typing import Any

import pytest

from assistant.events import Clarity, Source
from assistant.session import FACTS, INPUT_KINDS
from assistant.session.facts import INPUTS
from tests.session.bench import Bench
from tests.session.examples import TOOLS, every_kind, measured
from tests.session.jobs import pump

REASON = "told by the foreman"


def _wander(bench: Bench, random: Random) -> None:
    """Say anything that may be said, and now and then what is right, for a while."""
    for _ in range(150):
        if bench.session.closed:
            return
        grammar = bench.session.grammar()
        phrases = [*grammar.phrases, *(f"{slot.prefix} {word}" for slot in grammar.slots for word in ("two", "three"))]
        lead = random.random() < 0.5
        if lead:
            bench.lead_on()
        else:
            bench.hear(random.choice(phrases), source=random.choice([Source.VOICE, Source.KEY]))
        bench.wait(random.choice([0.0, 1.0, 30.0, 300.0]))


@pytest.fixture(scope="module")
def entries() -> list[tuple[str, Any]]:
    """The entries of several jobs in which everything happens."""
    found: list[tuple[str, Any]] = []
    for seed in range(12):
        bench = Bench(pump())
        if seed == 0:
            bench.hears("skip this", REASON, "end note", "confirmed")
        else:
            _wander(bench, Random(seed))
        bench.hear("mumble", clarity=Clarity.UNCLEAR)
        if not bench.session.closed:
            bench.take(bench.session.brief(bench.now))
            bench.lead_to_end()
        found += [(kind, data) for kind, data, _ in bench.entries]
    return found + _bolt_by_bolt() + _by_another_clock() + _left_out_and_done()


def _bolt_by_bolt() -> list[tuple[str, Any]]:
    """The entries of a job with tools, readings and new bolts."""
    bench = Bench(measured(), tools=TOOLS)
    bench.lead_to("tighten")
    bench.hears("use pound feet", "use newton metres", "bolt by bolt", "reading twenty", "reading nineteen")
    bench.hears("reading thirty", "do it again", "reading thirty", "replace the bolt", "confirmed")
    bench.hears("next", "reading thirty", "take a note", REASON, "end note", "confirmed")
    while bench.session.view(bench.now)["tighten"]["way"] != "angle":
        bench.lead_on()
    bench.wait(3600)
    bench.hear("repeat step")
    bench.hears("next", "go back", "tighten again", "confirmed")
    bench.hears("hand over", "confirmed", "take over")
    bench.lead_to_end()
    return [(kind, data) for kind, data, _ in bench.entries]


def _left_out_and_done() -> list[tuple[str, Any]]:
    """The entries of a job in which a step with an open time is left out, and done after all."""
    bench = Bench(every_kind())
    bench.lead_to("join")
    bench.hears("skip this", REASON, "end note", "confirmed", "go back", "next")
    return [(kind, data) for kind, data, _ in bench.entries]


def _by_another_clock() -> list[tuple[str, Any]]:
    """The entries of a job whose computer's clock is set while a timer runs."""
    bench = Bench(pump())
    while not any(not timer["over"] for timer in bench.session.view(bench.now)["timers"]):
        bench.lead_on()
    bench.take(bench.session.clock_stepped(-120.0, bench.now))
    bench.hear("confirmed")
    return [(kind, data) for kind, data, _ in bench.entries]


def test_every_kind_in_the_table_happens_and_no_other(entries: list[tuple[str, Any]]) -> None:
    assert {kind for kind, _ in entries} == set(FACTS) | INPUT_KINDS


def test_every_field_is_in_the_table(entries: list[tuple[str, Any]]) -> None:
    told = {kind: {"by", *re.findall(r"[a-z_]+", text)} for kind, text in (FACTS | INPUTS).items()}
    strangers = {(kind, field) for kind, data in entries for field in data if field not in told[kind]}
    assert {one for one in strangers if one[0] != "opened"} == set()


def test_entries_are_json_without_fractions(entries: list[tuple[str, Any]]) -> None:
    for kind, data in entries:
        text = json.dumps(data)
        fractions: list[str] = []
        assert json.loads(text, parse_float=fractions.append) == data, kind
        assert fractions == []
