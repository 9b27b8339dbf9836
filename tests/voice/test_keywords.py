"""The classifier of short words on real sound, and files of it that are not what they should be."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from assistant.language.chosen import LANGUAGE
from assistant.voice.adapters.keywords import KEYWORDS, KeywordClassifier
from assistant.voice.adapters.moonshine import ENCODER, MoonshineWriter, model_file
from assistant.voice.listening.by_keywords import NUMBERS_TO
from assistant.voice.ports import NO_KEYWORD, VoiceFault, Written
from tests.voice.people import Person, in_room, silence

UNHEARD = Person("flite", "slt")
"""A voice that the recipe keeps out of training."""


@pytest.fixture(scope="module")
def writer() -> MoonshineWriter:
    return MoonshineWriter()


def written(writer: MoonshineWriter, text: str) -> Written:
    return writer.weigh(in_room(silence(0.3), UNHEARD.say(text), silence(0.4)), ())


def likeliest(chances: dict[str, float] | object) -> str:
    assert isinstance(chances, dict)
    return max(chances, key=lambda one: chances[one])


@pytest.mark.audio
def test_words_of_a_voice_that_it_never_heard_are_told(writer: MoonshineWriter) -> None:
    said = [LANGUAGE.numbers.number_words(number) for number in range(NUMBERS_TO + 1)]
    alone = [likeliest(written(writer, word).keywords) for word in said]
    assert sum(one == word for one, word in zip(alone, said, strict=True)) >= len(said) - 2
    for word in ("yes", "no"):
        assert likeliest(written(writer, word).keywords) == word


@pytest.mark.audio
def test_what_stands_before_a_number_is_told(writer: MoonshineWriter) -> None:
    told = written(writer, "count seven")
    assert (likeliest(told.before), likeliest(told.keywords)) == ("count", "seven")
    assert likeliest(written(writer, "seven").before) == ""
    assert likeliest(written(writer, "which special tools do i need").keywords) == NO_KEYWORD


def test_it_knows_all_words_that_the_rule_asks_it_for() -> None:
    words, before = KeywordClassifier(KEYWORDS, model_file(f"{ENCODER}.ort")).chances(np.zeros((40, 288), np.float32))
    assert {LANGUAGE.numbers.number_words(number) for number in range(NUMBERS_TO + 1)} <= words.keys()
    assert {NO_KEYWORD, "yes", "no"} <= words.keys()
    assert {"", NO_KEYWORD, "count", "i count"} <= before.keys()
    for chances in (words, before):
        assert sum(chances.values()) == pytest.approx(1.0, abs=0.01)


@pytest.mark.audio
def test_in_noise_a_word_counts_by_the_sound_as_it_is_and_without_the_noise(writer: MoonshineWriter) -> None:
    """Both together: the chance of a word is the geometric mean of both, as where independent hearings are pooled."""
    clean = in_room(silence(0.3), UNHEARD.say("seven"), silence(0.4))
    other = in_room(silence(0.3), UNHEARD.say("yes"), silence(0.4))[: clean.size]
    other = np.pad(other, (0, clean.size - other.size))
    apart = [writer.weigh(sound, ()).keywords for sound in (clean, other)]
    both = writer.weigh(np.stack([clean, other]), ())
    assert both.text == writer.weigh(clean, ()).text, "it is written as it was heard"
    means = {word: (apart[0][word] * apart[1][word]) ** 0.5 for word in apart[0]}
    whole = sum(means.values())
    for word in ("seven", "yes"):
        assert both.keywords[word] == pytest.approx(means[word] / whole, abs=0.05)
    assert both.keywords["seven"] < apart[0]["seven"]


def test_a_file_that_is_missing_damaged_or_for_another_encoder_is_told_in_a_sentence(tmp_path: Path) -> None:
    encoder = model_file(f"{ENCODER}.ort")
    damaged, other = tmp_path / "keywords.npz", tmp_path / "other.ort"
    damaged.write_bytes(KEYWORDS.read_bytes()[:5000])
    other.write_bytes(b"another one")
    for path, beside, what in (
        (tmp_path / "none.npz", encoder, "missing or damaged"),
        (damaged, encoder, "missing or damaged"),
        (KEYWORDS, other, "another version of the extra"),
    ):
        with pytest.raises(VoiceFault, match=what) as told:
            KeywordClassifier(path, beside)
        assert str(told.value).count("\n") == 0
