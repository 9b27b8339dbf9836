"""The examples in the docstrings are run, and every sentence and phrase has words."""

import doctest
import importlib
import pkgutil

import pytest

import assistant.language
from assistant.language.en import ENGLISH
from assistant.language.sentence import Sentence
from assistant.session.intents import INTENTS

MODULES = [one.name for one in pkgutil.walk_packages(assistant.language.__path__, "assistant.language.")]


@pytest.mark.parametrize("name", MODULES)
def test_the_examples_are_right(name: str) -> None:
    assert doctest.testmod(importlib.import_module(name)).failed == 0


@pytest.mark.parametrize("sentence", Sentence)
def test_every_sentence_has_words(sentence: Sentence) -> None:
    assert ENGLISH.talk.text(sentence)


def test_every_intent_has_phrases_and_a_meaning() -> None:
    for intent in INTENTS:
        assert ENGLISH.phrases.phrases(intent.name)
        assert ENGLISH.phrases.meaning(intent.name).endswith(".")
