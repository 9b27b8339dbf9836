"""Words of the shipped model get twins, which sound the same, and nothing else changes."""

from __future__ import annotations

import subprocess
from collections import Counter
from pathlib import Path

import pytest

from assistant.language.en import ENGLISH
from assistant.voice.listening.engine_phrases import TWIN, as_said
from models.recipe.twins import add_twins, twins_wanted
from models.recipe.weighing import OVERHEARD, weigh
from tests.models.test_respell import SHIPPED, arcs, model, needs_openfst, words

__all__ = ["model"]


def without_twins(folder: Path) -> list[tuple[str, ...]]:
    return [arc for arc in arcs(folder) if TWIN not in arc[1]]


@needs_openfst
def test_a_twin_is_said_as_its_word_is_and_the_rest_stays(model: Path) -> None:
    before = without_twins(model)
    assert add_twins(model, {"problem": 2, "next": 1, "zyxxlorp": 3}) == 3
    assert {word for word in words(model) if TWIN in word} == {"problem_1", "problem_2", "next_1"}
    assert without_twins(model) == before
    ends = Counter(arc[1] for arc in arcs(model))
    assert ends["problem"] == ends["problem_1"] == ends["problem_2"] > 0
    subprocess.run(["sha256sum", "--check", "--quiet", "SHA256SUMS"], cwd=model, check=True)


@needs_openfst
def test_the_shipped_model_is_what_the_stage_writes(model: Path) -> None:
    add_twins(model, twins_wanted())
    assert words(model) == words(SHIPPED)
    assert arcs(model) == arcs(SHIPPED)


@needs_openfst
def test_a_word_that_others_are_taken_for_costs_more_and_can_be_put_back(model: Path) -> None:
    def costs() -> dict[str, set[float]]:
        return {
            word: {round(float(arc[2]), 2) for arc in arcs(model) if as_said(arc[1]) == word}
            for word in ("zero", "one")
        }

    weigh(model, {"zero": 0.0})
    usual = costs()
    assert usual["zero"] == usual["one"]
    weigh(model)
    assert costs() == {"one": usual["one"], "zero": {round(cost + OVERHEARD["zero"], 2) for cost in usual["zero"]}}
    assert arcs(model) == arcs(SHIPPED)
    with pytest.raises(ValueError, match="has no word 'zyxxlorp'"):
        weigh(model, {"zyxxlorp": 1.0})


def test_each_word_of_a_phrase_and_of_a_number_has_one_for_each_use() -> None:
    wanted = twins_wanted()
    shipped = Counter(as_said(word) for word in words(SHIPPED) if TWIN in word)
    assert shipped == {word: many for word, many in wanted.items() if word in words(SHIPPED)}
    assert wanted["bolts"] > 1
    assert all(
        wanted[word] >= wanted["forty"] > 30 for word in ("four", "zero", *ENGLISH.numbers.number_words(12).split())
    )
