"""Folding never fails: whatever facts come in whatever order, also of a procedure that nobody knows, give a state."""

from __future__ import annotations

import random
from collections.abc import Mapping
from decimal import Decimal
from enum import Enum
from types import NoneType, UnionType
from typing import Any, Union, get_args, get_origin, get_type_hints

import msgspec
import pytest

from assistant.facts.asking import Question
from assistant.facts.going import UnitChosen
from assistant.facts.store import fact_classes, questions
from assistant.fastening.quantities import TorqueUnit
from assistant.session.evolving.table import evolve, fold
from assistant.session.job import Job
from assistant.session.state import State
from tests.session.examples import every_kind

_JOB = Job(every_kind())
_TEXTS = (
    "", "so-and-so", "-1", *(place.key for place in _JOB.places), *_JOB.timers, *_JOB.groups, *TorqueUnit,
    "torque", "angle", "loosen", "check", "within", "below", "above", "Kim, Robin", ",",
)  # fmt: skip
_NUMBERS = (-1, 0, 1, 2, 3, 99, 1_800_000_000_000)


def _any(hint: Any, rnd: random.Random) -> Any:
    """Return some value of a type, within it or far beside what could come about."""
    if get_origin(hint) in (Union, UnionType):
        return _any(rnd.choice(get_args(hint)), rnd)
    if get_origin(hint) is tuple:
        inner = get_args(hint)
        several = [inner[0]] * rnd.randrange(3) if inner[-1] is Ellipsis else inner
        return tuple(_any(one, rnd) for one in several)
    if get_origin(hint) is Mapping:
        return {rnd.choice(_TEXTS): _any(get_args(hint)[1], rnd)}
    if hint is Question:
        hint = rnd.choice(list(questions().values()))
    if issubclass(hint, msgspec.Struct):
        return hint(
            **{name: _any(one, rnd) for name, one in get_type_hints(hint).items() if name in hint.__struct_fields__}
        )
    if issubclass(hint, Enum):
        return rnd.choice(list(hint))
    return {
        NoneType: None, str: rnd.choice(_TEXTS), int: rnd.choice(_NUMBERS), bool: rnd.random() < 0.5,
        Decimal: Decimal(rnd.choice(_NUMBERS)),
    }[hint]  # fmt: skip


@pytest.mark.parametrize("seed", range(20))
def test_any_facts_in_any_order_give_a_state(seed):
    rnd = random.Random(seed)
    classes = list(fact_classes().values())
    state = State()
    for _ in range(500):
        state = evolve(state, _any(rnd.choice(classes), rnd))
        assert isinstance(state, State)


def test_an_unknown_unit_is_that_of_the_procedure():
    chosen = [UnitChosen(unit="lbf·ft"), UnitChosen(unit="a unit of a later version")]
    assert fold(chosen[:1]).unit is TorqueUnit.POUND_FOOT
    assert fold(chosen).unit is None
