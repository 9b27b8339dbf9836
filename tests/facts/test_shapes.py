"""A class of facts changes only with its version, and then there is an upcaster for each version before it."""

from __future__ import annotations

import copy

import pytest

from assistant.facts.store import fact_classes
from assistant.facts.upcasters import UPCASTERS
from tests.facts.shapes import fits, kept, present


@pytest.mark.parametrize("kind", sorted(fact_classes()))
def test_a_class_has_the_shape_that_was_noted_for_its_version(kind: str) -> None:
    ((version, shape),) = present()[kind].items()
    assert version in kept().get(kind, {}), "note it: python -m tests.facts.shapes"
    assert fits(kept()[kind][version], shape), "stored entries have another shape: raise VERSION, and add an upcaster"
    assert kept()[kind][version] == shape, "there is a code or a question more, note it: python -m tests.facts.shapes"


def test_no_kind_is_dropped_that_a_stored_job_may_hold() -> None:
    assert kept().keys() == fact_classes().keys()


def test_there_is_a_way_from_every_version_to_the_present_one() -> None:
    wanted = {(kind, old) for kind, cls in fact_classes().items() for old in range(1, cls.VERSION)}
    assert set(UPCASTERS) == wanted


def test_what_counts_as_a_change() -> None:
    """One more code, or one more question, leaves what was stored as it is; anything else does not."""
    shape = present()["asked"]["1"]
    code, field, number, question, unit = (copy.deepcopy(present()) for _ in range(5))
    code["refused"]["1"]["properties"]["why"]["enum"].append("tired")
    assert fits(present()["refused"]["1"], code["refused"]["1"])
    assert not fits(code["refused"]["1"], present()["refused"]["1"])
    question["asked"]["1"]["properties"]["question"]["anyOf"].append({"type": "object", "properties": {}})
    assert fits(shape, question["asked"]["1"])
    assert not fits(question["asked"]["1"], shape)
    field["asked"]["1"]["properties"]["who"] = {"type": "string"}
    assert not fits(shape, field["asked"]["1"])
    number["asked"]["1"]["properties"]["at_ms"] = {"type": "string"}
    assert not fits(shape, number["asked"]["1"])
    target = unit["asked"]["1"]["properties"]["question"]["anyOf"]
    next(one for one in target if "reading" in one["properties"])["properties"]["reading"]["properties"].pop("unit")
    assert not fits(shape, unit["asked"]["1"])
