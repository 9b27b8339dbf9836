"""A hundred thousand commands in no order at all: what is stored must lead to the live state, entry by entry."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from decimal import Decimal

import pytest

from assistant import facts
from assistant.events import Clarity, SlotKind, Source
from assistant.facts.customer import CustomerAnswered, CustomerDeclined, CustomerLate
from assistant.facts.going import Arrived, Moved
from assistant.facts.inputs import (
    ClockSet,
    HeardFar,
    NotUnderstood,
    Resumed,
    TimeCame,
    UnclearWhy,
    Understood,
    UnderstoodOf,
)
from assistant.facts.reminders import TimesKnown
from assistant.facts.steps import StepDone
from assistant.language.en import ENGLISH
from assistant.session.deciding.decide import decide
from assistant.session.deciding.time import next_ms
from assistant.session.evolving.table import evolve
from assistant.session.here import Here
from assistant.session.intents import BY_NAME
from assistant.session.job import Job
from assistant.session.named import spoken_names
from assistant.session.state import State
from assistant.session.understanding import accepted
from tests.session.bench import opened
from tests.session.examples import TOOLS, around, bolts_only, every_kind, in_passes, measured, shimmed, tabled
from tests.session.gated import gated
from tests.session.turning import lid_and_rail, worn_rail

COMMANDS = 100_000
PARTS = 10
"""The commands are parted among so many tests, so that both cores have work."""
_PROCEDURES = (every_kind, bolts_only, gated, measured, tabled, shimmed, around, in_passes, lid_and_rail, worn_rail)
START_MS = 1_800_000_000_000
AGAIN = 0.05
"""So many of the inputs are decided a second time, on what is stored: one version decides the same each time."""
_RARE = ("finish", "hand_over", "pause", "skip_step")
"""Each of these ends something; if they came as often as others, no job would get far."""


@pytest.mark.parametrize("part", range(PARTS))
def test_what_is_stored_leads_to_the_live_state_at_every_entry_and_is_decided_the_same_again(part: int) -> None:
    dice = random.Random(part)
    left = COMMANDS // PARTS
    while left > 0:
        procedure = dice.choice(_PROCEDURES)()
        job = Job(procedure)
        live = stored = State()
        now_ms = START_MS
        inputs = _inputs(dice, job)
        given: facts.Fact = opened(procedure, TOOLS if dice.random() < 0.7 else "")
        while not live.closed and left > 0:
            left -= 1
            quiet_ms = now_ms if dice.random() < 0.5 else 0
            answer = decide(job, live, given, now_ms, quiet_ms)
            _customer_moves_nothing(given, answer)
            if dice.random() < AGAIN:
                assert decide(Job(procedure), stored, given, now_ms, quiet_ms) == answer
            for fact in answer:
                live = evolve(live, fact)
                kind, version, fields = facts.dump(fact)
                again = facts.load(kind, version, json.loads(json.dumps(fields)))
                assert again == fact
                stored = evolve(stored, again)
                assert stored == live, fact
            stored = live  # they are equal: the next ones need not look again at all that can be taken back
            now_ms += dice.choice((200, 1_000, 5_000, 40_000, 400_000))
            given = next(inputs)(live, now_ms)


def _customer_moves_nothing(given: facts.Fact, answer: tuple[facts.Fact, ...]) -> None:
    """An answer of the customer waits until it is taken up by itself, and then the job stays where it is."""
    taken = [fact for fact in answer if isinstance(fact, CustomerDeclined | CustomerLate)]
    if taken:
        assert isinstance(given, TimeCame), given
        behind = answer[answer.index(taken[0]) :]
        assert not any(isinstance(fact, Moved | Arrived | StepDone) for fact in behind), behind


def _inputs(dice: random.Random, job: Job) -> Iterator:
    """Yield functions that make an input out of the state and the time."""

    def understood(state: State, now_ms: int) -> facts.Fact:
        here = Here(job, state, now_ms)
        names = [name for name in accepted(here) if name not in _RARE or dice.random() < 0.05]
        name = dice.choice(names or ["next"])
        slot = None if name == "words" else BY_NAME[name].slot
        number, named = None, {}
        if slot is SlotKind.NAME:
            ids = [*spoken_names(name, here, ENGLISH).values()] or [""]
            named = {"name": dice.choice(ids)}
        if slot is SlotKind.WHOLE:
            number = Decimal(dice.choice((0, 1, 2, 3, 4, 12, 14)))
        elif slot is SlotKind.DECIMAL:
            number = Decimal(dice.choice(("0", "1.5", "12", "18", "32", "45", "60", "0.5")))
        words = "some words of a person" if name in ("words", "end_note") else ""
        far = None if here.unread is None else dice.choice(list(HeardFar))
        return (UnderstoodOf if named else Understood)(
            **named, intent=name, number=number, words=words, confidence=Decimal("0.912"), started_ms=now_ms - 700,
            ended_ms=now_ms, source=dice.choice((Source.VOICE, Source.KEY)), clarity=Clarity.PHRASE, hazard=far,
        )  # fmt: skip

    def unclear(_: State, now_ms: int) -> facts.Fact:
        return NotUnderstood(
            why=dice.choice(list(UnclearWhy)), text="hm", confidence=Decimal("0.3"), started_ms=now_ms - 400,
            ended_ms=now_ms, source=Source.VOICE, clarity=Clarity.UNCLEAR,
        )  # fmt: skip

    def time_came(state: State, now_ms: int) -> facts.Fact:
        due = next_ms(Here(job, state, now_ms), 0)
        return TimeCame(due_ms=due) if due is not None and due <= now_ms else understood(state, now_ms)

    def customer(state: State, now_ms: int) -> facts.Fact:
        """Answer any extra work, whether it can be answered or not, or one that is not there."""
        works = [*((key, one.number) for key, one in state.extra.items()), ("gone:offer", 99)]
        key, number = dice.choice(works)
        return CustomerAnswered(
            work=key, number=number, granted=dice.random() < 0.5, shown_sha256="", price=None, at_ms=now_ms
        )

    def others(state: State, now_ms: int) -> facts.Fact:
        if dice.random() < 0.3:
            return customer(state, now_ms)
        if dice.random() < 0.2:
            return TimesKnown(own={"lift": 30}, own_jobs=1, bay={"lift": 60, "join": 90}, bay_jobs=3)
        if dice.random() < 0.5:
            return ClockSet(by_ms=dice.choice((-90_000, 3_600_000)))
        return Resumed(operator=dice.choice(("", "B. Mechanic")))

    while True:
        roll = dice.random()
        yield understood if roll < 0.85 else time_came if roll < 0.93 else unclear if roll < 0.98 else others
