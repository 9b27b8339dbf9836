"""Words one sound away from a phrase are not taken for it, and what may be said decides what was said."""

from __future__ import annotations

import math
import shutil
from collections import Counter
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from assistant.events import Clarity, Grammar, Slot, SlotKind
from assistant.hearing.measuring import phrases_for
from assistant.hearing.mixing import mixed
from assistant.language.en import ENGLISH
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.engine_phrases import engine_phrases, is_whole_phrase
from assistant.voice.listening.model_files import NEAR_WORDS, OWN_MODEL, read_near_words
from assistant.voice.listening.n_best import Candidate, choose, joined, likelier
from assistant.voice.ports import VoiceFault
from tests.voice.noises import engine
from tests.voice.people import Person, blocks, in_room, silence

PEOPLE = [Person("flite", "kal16", pace) for pace in (0.9, 1.0, 1.15)]
"""A voice that training never heard (models/README.md)."""
NEAR = ("foster", "helped", "problems", "pastor", "repeal", "health", "gun")
"""Words that were taken for faster, help, problem, faster, repeat, help and done before the list was there."""
CONFIRM_LIKE = ("conform", "confer", "conformed", "conferred", "inform", "affirm", "infirm", "comfort")
"""Words that were taken for confirmed, or for confirm, before the model knew them."""
PHRASES = ("faster", "help", "problem", "repeat", "done", "next", "cancel", "pause", "go back", "which bolts")


def accepted(recogniser: VoskRecogniser, texts: tuple[str, ...]) -> list[str]:
    """Return which of ``texts``, said by people at three paces, were taken for any phrase of the assistant."""
    recogniser.set_grammar(phrases_for(()))
    taken = []
    for text in texts:
        for person in PEOPLE:
            recogniser.start()
            for block in blocks(in_room(silence(0.24), person.say(text), silence(0.2))):
                recogniser.feed(block.samples)
            heard = recogniser.finish(0.0, 1.0)
            if heard.clarity is Clarity.PHRASE and heard.confidence >= recogniser.limits.harmless:
                taken.append(heard.text)
    return taken


@pytest.fixture
def without_list(tmp_path: Path) -> Path:
    """The own model without its list of near words, as another maker's model would be."""
    folder = tmp_path / "model"
    shutil.copytree(OWN_MODEL, folder)
    (folder / NEAR_WORDS).unlink()
    sums = folder / "SHA256SUMS"
    sums.write_text("".join(line for line in sums.read_text().splitlines(True) if NEAR_WORDS not in line))
    return folder


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_a_word_one_sound_away_is_no_command(without_list: Path) -> None:
    taken, before = accepted(VoskRecogniser(ENGLISH), NEAR), accepted(VoskRecogniser(ENGLISH, without_list), NEAR)
    print(f"taken for a phrase: {taken} of {3 * len(NEAR)}; without the list: {before}")
    assert len(before) >= 4  # the words do sound like phrases
    assert len(taken) <= len(before) / 2


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_the_phrases_themselves_are_still_heard() -> None:
    heard = accepted(VoskRecogniser(ENGLISH), PHRASES)
    print(f"{len(heard)} of {3 * len(PHRASES)}")
    assert len(heard) >= 0.75 * 3 * len(PHRASES)  # kal16 is the least natural of the voices
    assert set(heard) <= {*PHRASES, "which bolt"}


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_confirmed_in_noise_counts_and_words_near_it_do_not() -> None:
    """The D is lost in noise: what is left is "confirm", which means the same; "conform" does not."""
    recogniser = VoskRecogniser(ENGLISH)
    recogniser.set_grammar(replace(phrases_for(()), expected=("confirmed", "confirm", "i confirm")))
    beside = engine(8.0, np.random.default_rng(1))
    noise = np.rint(beside / np.abs(beside).max() * 9000).astype(np.int16)
    taken = Counter[str]()
    for word in ("confirmed", *CONFIRM_LIKE):
        for person in PEOPLE:
            sound = mixed(person.say(word), noise, 5.0, np.random.default_rng(3))
            recogniser.start()
            for at in range(0, sound.size, 3200):
                recogniser.feed(sound[at : at + 3200])
            heard = recogniser.finish(0.0, 1.0)
            means_it = heard.clarity is Clarity.PHRASE and heard.text in ("confirmed", "confirm", "i confirm")
            taken[word] += means_it and heard.confidence >= recogniser.limits.critical
    print(taken)
    assert taken.pop("confirmed") == len(PEOPLE)
    assert taken.total() <= 2  # of 24; most of them were taken before the model knew them


@pytest.mark.parametrize(
    ("text", "said"),
    [("foster\ntwo words\n", "line 2 is not one word"), ("Foster\n", "line 1 is not one word")],
)
def test_a_broken_list_is_told(tmp_path: Path, text: str, said: str) -> None:
    (tmp_path / "conf").mkdir()
    (tmp_path / NEAR_WORDS).write_text(text)
    with pytest.raises(VoiceFault) as caught:
        read_near_words(tmp_path)
    assert f"{tmp_path / NEAR_WORDS}, {said}" in caught.value.sentence


def test_a_list_that_is_no_text_is_told(tmp_path: Path) -> None:
    (tmp_path / "conf").mkdir()
    (tmp_path / NEAR_WORDS).write_bytes(b"foster\n\xff\xfe\n")
    with pytest.raises(VoiceFault, match="line 2 is not one word in small letters: copy the speech model again"):
        read_near_words(tmp_path)


def test_a_model_without_a_list_has_no_near_words(tmp_path: Path) -> None:
    assert read_near_words(tmp_path) == ()


def test_a_word_that_the_model_lacks_is_named(without_list: Path) -> None:
    (without_list / NEAR_WORDS).write_text("foster\nzyxxlorp\n")
    with pytest.raises(VoiceFault, match='near-words.txt holds "zyxxlorp", which is no word of this model'):
        VoskRecogniser(ENGLISH, without_list)


def test_a_list_that_is_missing_is_named(tmp_path: Path) -> None:
    folder = tmp_path / "model"
    shutil.copytree(OWN_MODEL, folder)
    (folder / NEAR_WORDS).unlink()
    with pytest.raises(VoiceFault, match=f"lacks {NEAR_WORDS}"):
        VoskRecogniser(ENGLISH, folder)


def test_near_words_stand_beside_the_phrases_unless_they_are_words_of_one() -> None:
    grammar = Grammar(("go back", "odd thing"))
    told = engine_phrases(grammar, ENGLISH.numbers, ("foster", "back"), lambda word: word.isalpha() and word != "odd")
    assert set(told) == {"go back", "foster", "[unk]"}
    assert told.count("go back") == told.count("[unk]") > told.count("foster") == 1
    assert engine_phrases(grammar, ENGLISH.numbers, (), str.isalpha) == ["go back", "odd thing", "[unk]"]
    assert engine_phrases(grammar, ENGLISH.numbers, (), str.isalpha, closed=True) == ["go back", "odd thing"]
    assert engine_phrases(Grammar(()), ENGLISH.numbers, ("foster",), str.isalpha) == ["[unk]"]


def test_a_number_phrase_is_whole_only_with_its_number() -> None:
    grammar = Grammar(("next",), (Slot("count", SlotKind.WHOLE),))
    texts = ("next", "count four", "count", "count next", "foster")
    whole = [is_whole_phrase(grammar, text, ENGLISH.numbers) for text in texts]
    assert whole == [True, True, False, False, False]


def test_the_chance_is_shared_among_what_may_be_said() -> None:
    # Chances of 5 : 3 : 2; the first is no phrase, so the second has 3 of 5.
    ways = [
        Candidate("repeat this step", math.log(5)),
        Candidate("repeat the step", math.log(3)),
        Candidate("foster", math.log(2)),
    ]
    chosen = choose(ways, {"repeat the step", "foster"}.__contains__)
    assert chosen.text == "repeat the step"
    assert chosen.confidence == pytest.approx(0.6)


def test_phrases_of_one_meaning_have_their_chances_together() -> None:
    """Of chances of 4 : 3 : 2 the meaning that two of them have has 5 of 9, though neither is the likeliest."""
    ways = [
        Candidate("conform", math.log(4)),
        Candidate("confirm", math.log(3)),
        Candidate("confirmed", math.log(2)),
    ]
    words = {"conform", "confirm", "confirmed"}
    together = choose(ways, words.__contains__, alike={"confirm": "confirmed", "confirmed": "confirmed"})
    assert together.text == "confirm"
    assert together.confidence == pytest.approx(5 / 9)
    assert choose(ways, words.__contains__).text == "conform"


def test_talk_that_no_phrase_fits_is_no_phrase() -> None:
    ways = [Candidate("what so fast", math.log(9)), Candidate("not so fast", 0.0)]
    assert choose(ways, {"not so fast"}.__contains__).text == "what so fast"
    assert choose(ways, {"not so fast"}.__contains__, 0.0).text == "not so fast"


def test_what_the_engine_hears_in_pieces_is_joined_likeliest_first() -> None:
    ways = joined(
        [
            [Candidate("reading thirty", -1.0), Candidate("reading", -3.0)],
            [],
            [Candidate("five", -1.0), Candidate("", -2.0)],
        ]
    )
    assert [(way.text, way.score) for way in ways] == [
        ("reading thirty five", -2.0), ("reading thirty", -3.0), ("reading five", -4.0), ("reading", -5.0),
    ]  # fmt: skip


def test_what_is_expected_wins_over_a_word_near_it_that_fits_a_little_better() -> None:
    """With equal chances before, 16 to 1 for "no" makes two thirds of one in eight: 16 / (16 + 8)."""
    ways = [Candidate("knew", math.log(8.0)), Candidate("no", 0.0)]
    both = choose(likelier(ways, {"no": 16.0}), {"no", "knew"}.__contains__)
    assert (both.text, round(both.confidence, 3)) == ("no", 0.667)
    assert choose(likelier(ways, {}), {"no", "knew"}.__contains__).text == "knew"
