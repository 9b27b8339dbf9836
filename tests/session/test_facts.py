"""Every class of facts of the session happens, and none holds a sentence."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from random import Random
from typing import Any

import pytest

from assistant import facts
from assistant.events import Clarity, Source
from assistant.facts.inputs import SetWhen
from assistant.facts.reminders import TimesKnown
from assistant.facts.second import GateFirst
from assistant.facts.store import fact_classes
from assistant.facts.withdrawn import RevisionGone
from assistant.journal.opening import open_journal
from tests.journal.golden import load
from tests.session.bench import Bench
from tests.session.examples import TOOLS, bolts_only, every_kind, measured, tabled
from tests.session.gated import gated
from tests.session.jobs import pump
from tests.session.turning import turnings

REASON = "told by the foreman"


def _wander(bench: Bench, random: Random) -> None:
    """Say anything that may be said, and now and then what is right, for a while."""
    for _ in range(150):
        if bench.session.closed:
            return
        grammar = bench.session.grammar()
        numbers = [f"{slot.before} {word} {slot.after}".strip() for slot in grammar.slots for word in ("two", "three")]
        phrases = [*grammar.phrases, *numbers]
        lead = random.random() < 0.5
        if lead:
            bench.lead_on()
        else:
            bench.hear(random.choice(phrases), source=random.choice([Source.VOICE, Source.KEY]))
        bench.wait(random.choice([0.0, 1.0, 30.0, 300.0]))


STORED = (
    "shims", "packs", "shims-in-hand", "free-lengths", "read-bolts", "read-joint", "retighten", "customer-page",
    "helping-hands", "helpers-taken-back", "found-pack", "said-again", "asked-back", "like-numbers",
    "photographed", "scanned", "scanned-card", "finding-said-again",
)  # fmt: skip
"""Golden journals of jobs in which the rest of it happens: what is worked out, and what the customer answers."""


def _stored(name: str, folder: Path) -> list[facts.Fact]:
    with open_journal(load(name, folder), read_only=True) as journal:
        return [entry.fact for entry in journal.read("last").entries]


@pytest.fixture(scope="module")
def entries(tmp_path_factory: pytest.TempPathFactory) -> list[facts.Fact]:
    """The entries of several jobs in which everything happens."""
    found: list[facts.Fact] = []
    for seed in range(12):
        bench = Bench(pump())
        if seed == 0:
            bench.hears("skip this", REASON, "end note", "confirmed")
        else:
            _wander(bench, Random(seed))
        bench.hear("mumble", clarity=Clarity.UNCLEAR)
        if not bench.session.closed:
            bench.resume()
            bench.lead_to_end()
        found += [fact for fact, _ in bench.entries]
    others = (
        _bolt_by_bolt, _by_another_clock, _left_out_and_done, _cut_short, _asked_about, _elsewhere, _missing,
        _withdrawn, _gone_wrong, _read_off, _taken_back, _with_a_second_person,
    )  # fmt: skip
    stored = [fact for name in STORED for fact in _stored(name, tmp_path_factory.mktemp(name))]
    return found + [fact for other in others for fact in other()] + turnings() + stored


def _with_a_second_person() -> list[facts.Fact]:
    """The entries of a job whose gates are held and released, with witnesses and without."""
    bench = Bench(gated(), operator="A. Mechanic, Ben Fisher")
    bench.lead_to("marks")
    bench.hears("no", "release the gate", "operator one", REASON, "end note", "i release it", "operator one")
    bench.hears("i have seen it", "reading two", "reading one")
    bench.hears("next", "operator one", "i have seen it")
    bench.lead_to("leaks")
    bench.hears("yes", "next", "finish job", REASON, "end note", "confirmed")
    assert bench.session.closed
    return [fact for fact, _ in bench.entries] + [GateFirst(step="marks")]  # no way leads past a gate


def _bolt_by_bolt() -> list[facts.Fact]:
    """The entries of a job with tools, readings and new bolts."""
    bench = Bench(measured(), tools=TOOLS)
    bench.lead_to("tighten")
    bench.hears("use pound feet", "use newton metres", "bolt by bolt", "reading twenty", "reading nineteen")
    bench.hears("reading thirty", "do it again", "reading thirty", "replace the bolt", "confirmed")
    bench.hears("next", "reading thirty", "take a note", REASON, "end note", "confirmed")
    while bench.session.view(bench.now).get("tighten", {}).get("way") != "angle":
        bench.lead_on()
    bench.wait(3600)
    bench.hear("repeat step")
    bench.hears("next", "go back", "tighten again", "confirmed")
    bench.hears("hand over", "confirmed", "take over")
    bench.lead_to_end()
    return [fact for fact, _ in bench.entries]


def _taken_back() -> list[facts.Fact]:
    """The entries of jobs in which everything is taken back: all of a whole job, and bolts that were loosened."""
    bench = Bench(every_kind())
    bench.hears("missing", "missing", "item found", "confirmed", "next", "next")
    while bench.phase != "checking":
        bench.lead_on()
    bench.hears("take a note", REASON, "end note", "problem", REASON, "end note")
    bench.hears("no", "confirmed", REASON, "end note", "confirmed", "take that back", "confirmed")
    while bench.phase != "finishing":
        bench.lead_on()
    for _ in range(60):
        bench.hears("take that back", "confirmed")
    tools = Bench(measured(), tools=TOOLS)
    while tools.phase != "finishing":
        tools.lead_on()
    tools.hears("take that back", "confirmed", "take that back", "confirmed")
    tools.hears("tighten again", "confirmed", "take that back", "confirmed")
    for _ in range(20):
        tools.hears("take that back", "confirmed")
    trouble = Bench(bolts_only())
    trouble.lead_to("tighten")
    trouble.hears("bolt three broke", "confirmed", "take that back", "confirmed")
    return [fact for fact, _ in (*bench.entries, *tools.entries, *trouble.entries)]


def _left_out_and_done() -> list[facts.Fact]:
    """The entries of a job in which a step with an open time is left out, and done after all."""
    bench = Bench(every_kind())
    bench.lead_to("join")
    bench.hears("skip this", REASON, "end note", "confirmed", "go back", "next")
    return [fact for fact, _ in bench.entries]


def _cut_short() -> list[facts.Fact]:
    """The entries of a job in which the reading of a hazard is cut short before how to avoid it."""
    bench = Bench(every_kind())
    bench.lead_to("paste", past_hazards=False)
    bench.hear("where am i", unsaid="The paste burns. It can cut your fingers. Wear gloves. Say confirmed.")
    bench.hear("confirmed")
    return [fact for fact, _ in bench.entries]


def _asked_about() -> list[facts.Fact]:
    """The entries of a job in which somebody asks for names, is reminded, and times of earlier jobs are known."""
    bench = Bench(every_kind())
    bench.take(bench.session.know(TimesKnown(own={"lift": 40}, own_jobs=1, bay={"lift": 50}, bay_jobs=2), bench.now))
    bench.lead_to("small-out")
    bench.hears("where are the lid bolts", "count two", "cancel", "remind me in two minutes", "remind me in one minute")
    bench.wait(70)
    bench.hear("do not remind me")
    return [fact for fact, _ in bench.entries]


def _withdrawn() -> list[facts.Fact]:
    """The entries of a job whose procedure was withdrawn, and that somebody begins all the same."""
    bench = Bench(every_kind())
    gone = RevisionGone(procedure="every-kind", revision="1", on="2026-12-01", reason="wrong", begins=True)
    bench.take(bench.session.withdrawn(gone, bench.now))
    bench.hear("confirmed")
    return [fact for fact, _ in bench.entries]


def _missing() -> list[facts.Fact]:
    """The entries of a job in which a thing is missing, and found later."""
    bench = Bench(every_kind())
    bench.hears("next", "next", "missing", "found it")
    return [fact for fact, _ in bench.entries]


def _gone_wrong() -> list[facts.Fact]:
    """The entries of a job in which bolts break, are put right or left so, and one is dropped and not found."""
    bench = Bench(every_kind())
    bench.lead_to("tighten")
    bench.hears("bolt one broke", "confirmed", "bolt two is stripped", "confirmed", "dropped a bolt", "dropped a bolt")
    bench.hears("found it", "confirmed", "bolt one is replaced", "confirmed")
    bench.hears("go on without bolt two", REASON, "end note", "confirmed")
    bench.lead_to("rags", past_hazards=False)
    bench.hears("no", REASON, "end note", "confirmed")
    bench.lead_to_end()
    return [fact for fact, _ in bench.entries]


def _read_off() -> list[facts.Fact]:
    """The entries of a job with tables of readings: one is left out, one corrected by name."""
    bench = Bench(tabled())
    bench.hears("point two", "take that back", "confirmed")
    bench.hears("point two", "skip this", REASON, "end note", "confirmed", "one intake again", "point two")
    bench.lead_to_end()
    return [fact for fact, _ in bench.entries]


def _elsewhere() -> list[facts.Fact]:
    """The entries of a job in which somebody goes to a named step, and cannot go to another."""
    bench = Bench(every_kind())
    bench.lead_to("small-out")
    bench.hears("go to step six", "go to step one", "back to where i was")
    return [fact for fact, _ in bench.entries]


def _by_another_clock() -> list[facts.Fact]:
    """The entries of a job whose computer's clock is set while a timer runs."""
    bench = Bench(pump())
    while not any(not timer["over"] for timer in bench.session.view(bench.now)["timers"]):
        bench.lead_on()
    bench.take(bench.session.clock_set(-120.0, bench.now, SetWhen.RUNNING))
    bench.hear("confirmed")
    return [fact for fact, _ in bench.entries]


def test_every_kind_of_fact_of_the_session_happens(entries: list[facts.Fact]) -> None:
    of_the_session = {kind for kind, cls in fact_classes().items() if not cls.STANDS_ALONE}
    assert of_the_session - {fact.KIND for fact in entries} == set()


def test_facts_come_back_from_json_without_a_fraction(entries: list[facts.Fact]) -> None:
    for fact in entries:
        kind, version, fields = facts.dump(fact)
        fractions: list[str] = []
        again = json.loads(json.dumps(fields), parse_float=fractions.append)
        assert facts.load(kind, version, again) == fact
        assert fractions == []


_OF_PEOPLE = {"procedure_yaml", "title", "procedure_id", "procedure_file", "yaml", "machine"}
"""Fields that hold what the author of a file wrote."""


def _texts(value: Any, field: str = "") -> Iterator[tuple[str, str]]:
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from _texts(inner, key)
    elif isinstance(value, (list, tuple)):
        for inner in value:
            yield from _texts(inner, field)
    elif isinstance(value, str):
        yield field, value


def test_no_fact_holds_a_sentence(entries: list[facts.Fact]) -> None:
    """Ids, codes and numbers have no blanks; only what people said has, and it is marked as theirs."""
    sentences = {
        (fact.KIND, field, text)
        for fact in entries
        for field, text in _texts(facts.dump(fact)[2])
        if " " in text and field not in facts.personal_fields(fact.KIND) and field not in _OF_PEOPLE
    }
    assert sentences == set()
