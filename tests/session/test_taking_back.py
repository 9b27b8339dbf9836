"""Taking back opens things only, whether somebody resumes first or not; what is done again stands again."""

from __future__ import annotations

import random
from collections.abc import Mapping
from typing import Any

import pytest

from assistant.events import Clarity, Heard, Source
from assistant.facts.inputs import Resumed
from assistant.language.en import ENGLISH
from assistant.session.session import Session
from assistant.session.state import State
from tests.fakes.mechanic import SECOND, next_words
from tests.session.bench import Bench
from tests.session.examples import TOOLS, bolts_only, every_kind, measured
from tests.session.gated import gated

PROCEDURES = {"every kind": every_kind, "bolts only": bolts_only, "measured": measured, "gated": gated}


def counts(state: State) -> dict[str, Any]:
    """What counts as done or answered."""
    return {
        "done": state.done,
        "prepared": state.prepared,
        "bolts": state.bolts,
        "counts": dict(state.counts),
        "answers": dict(state.answers),
        "fitted": dict(state.fitted),
        "renewed": state.renewed,
        "witnessed": state.witnessed,
    }


def stands(state: State) -> dict[str, Any]:
    """The same, with all that taking back may touch."""
    return counts(state) | {
        "place": state.place,
        "skipped": set(state.skipped),
        "bolts skipped": set(state.bolts_skipped),
        "acknowledged": state.acknowledged,
        "missing": set(state.missing),
        "without": state.without,
        "to loosen": state.to_loosen,
        "worn": state.worn,
        "off": set(state.off),
        "timers": {name: (one.ends_ms, one.stopped) for name, one in state.timers.items()},
        "confirmed": len(state.confirmed),
    }


def within(some: Mapping[str, Any], all_of_it: Mapping[str, Any]) -> bool:
    """Return whether nothing counts in ``some`` that does not in ``all_of_it``."""
    return all(
        value.items() <= all_of_it[name].items() if isinstance(value, dict) else value <= all_of_it[name]
        for name, value in some.items()
    )


def after(bench: Bench, *acts: str) -> State:
    """Return the state behind words (or "(resume)") from where ``bench`` is, which stays there."""
    session = Session(bench.procedure, language=ENGLISH, state=bench.session.state)
    now = bench.now
    for act in acts:
        now += 1.0
        if act == "(resume)":
            session.resume(Resumed(), now)
        else:
            session.hear(Heard(act, 1.0, now - 0.5, now, Clarity.PHRASE), now)
    return session.state


def wander(bench: Bench, dice: random.Random) -> None:
    """Say what is right, or anything that may be said."""
    words = next_words(bench.session.view(bench.now))
    if words is None:
        bench.wait(700.0)
    elif words == "finish job" or dice.random() < 0.35:
        bench.hear(dice.choice(bench.session.grammar().phrases))
    else:
        bench.hear(words, source=Source.KEY if words == SECOND else Source.VOICE)


@pytest.mark.parametrize("name", PROCEDURES)
@pytest.mark.parametrize("part", range(3))
def test_taking_back_and_resuming_commute_and_nothing_comes_to_count_by_it(name: str, part: int) -> None:
    dice = random.Random(part)
    bench = Bench(PROCEDURES[name](), tools=TOOLS if part else "")
    compared = 0
    for _ in range(160):
        if bench.session.closed:
            break
        wander(bench, dice)
        waits = bench.phase in ("confirming", "releasing", "witnessing")
        if "take that back" not in bench.session.grammar().phrases or waits:
            continue
        before = bench.session.state
        first = after(bench, "take that back", "confirmed", "(resume)")
        then = after(bench, "(resume)", "take that back", "confirmed")
        assert stands(first) == stands(then)
        assert within(counts(first), counts(before)), "taking back makes nothing count"
        compared += bool(before.confirmed)
        if dice.random() < 0.15:
            bench.hears("take that back", "confirmed")
    assert compared > 10


@pytest.mark.parametrize("name", PROCEDURES)
@pytest.mark.parametrize("further", [1, 3])
def test_what_is_taken_back_and_done_again_stands_again(name: str, further: int) -> None:
    """The careful mechanic does it again; a further angle he loosens first, and begins with the first stage."""
    bench = Bench(PROCEDURES[name](), tools=TOOLS)
    tried = 0
    while bench.phase != "finishing":
        bench.lead_on()
        before = bench.session.state
        if not before.confirmed or bench.phase in ("confirming", "dictation"):
            continue
        again = Bench(bench.procedure, tools=TOOLS)
        again.session = Session(bench.procedure, language=ENGLISH, state=before)
        again.entries = list(bench.entries)
        again.now = bench.now
        for _ in range(further):
            again.hears("take that back", "confirmed")
        open_again = again.session.state
        assert within(counts(open_again), counts(before))
        for _ in range(60):
            if counts(again.session.state) == counts(before) and again.session.state.place == before.place:
                break
            again.lead_on()
        assert counts(again.session.state) == counts(before), (before.place, open_again.place)
        assert not again.session.state.to_loosen
        tried += 1
    assert tried > 5


def test_taking_back_all_of_a_job_leads_to_its_begin() -> None:
    """One after the other, until there is nothing; then all of it can be done again."""
    bench = Bench(every_kind())
    while bench.phase != "finishing":
        bench.lead_on()
    for _ in range(200):
        if bench.hear("take that back") == "There is nothing to take back.":
            break
        bench.hear("confirmed")
    state = bench.session.state
    assert not state.confirmed
    assert not any(counts(state).values())
    assert not any(not timer.stopped for timer in state.timers.values())
    bench.lead_to_end()
    assert bench.session.closed
