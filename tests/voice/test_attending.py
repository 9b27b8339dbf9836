"""Words are found where they are heard: by the recogniser that attends to all, where a voice detector notices none."""

from __future__ import annotations

import json
from collections.abc import Sequence

import numpy as np
import pytest

from assistant.events import Clarity, Grammar, Heard, SlotKind, Then
from assistant.events import Slot as PhraseSlot
from assistant.language.chosen import LANGUAGE
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.attending import KEPT_S, Attending
from assistant.voice.listening.endpoint import BLOCK_S, Edge, Endpointer
from assistant.voice.listening.endpointing import Endpointing
from assistant.voice.listening.heard_again import REACHES_S, heard_again
from assistant.voice.listening.listener import Listener
from assistant.voice.ports import BLOCK, RATE, SILENCE, Block, Opinion
from assistant.worker import Failure
from tests.bench.noisy_talk import Said, beside, counted, hear, of_a_job, talk
from tests.fakes.recogniser import TellRecogniser
from tests.voice.noises import drilling, engine
from tests.voice.people import blocks, in_room, silence
from tests.voice.test_endpoint import hiss, tone

KNOBS = Endpointing()
BLOCK_OF_SOUND = np.ones(BLOCK, dtype=np.int16)
WORDS = Opinion(0.2, is_phrase=False)
PHRASE = Opinion(0.4, is_phrase=True)


class Script:
    """An engine that hears, block by block, what it was told; a text that ends with a full stop ends a piece."""

    def __init__(self, *texts: str) -> None:
        self._texts = [*texts]
        self._now = ""
        self.fed = 0

    def AcceptWaveform(self, data: bytes) -> int:  # noqa: N802
        self.fed += len(data) // 2
        self._now = self._texts.pop(0) if self._texts else ""
        return self._now.endswith(".")

    def PartialResult(self) -> str:  # noqa: N802
        return json.dumps({"partial": self._now})

    def Result(self) -> str:  # noqa: N802
        return json.dumps({"text": self._now.rstrip(".")})

    FinalResult = Result


def opinions(*texts: str) -> list[Opinion]:
    attending = Attending()
    attending.use(Script(*texts), lambda text: text == "go back")
    return [attending.feed(BLOCK_OF_SOUND) for _ in texts]


def test_it_tells_for_how_long_words_are_heard_whether_they_are_a_phrase_and_when_they_are_over() -> None:
    assert opinions("", "go", "go back", "go back.", "") == [
        SILENCE,
        Opinion(BLOCK_S, is_phrase=False, is_over=False),
        Opinion(2 * BLOCK_S, is_phrase=True, is_over=False),
        Opinion(3 * BLOCK_S, is_phrase=True, is_over=True),
        SILENCE,
    ]


def test_words_that_the_engine_takes_back_are_no_words() -> None:
    assert opinions("go", "", "go back")[1:] == [SILENCE, Opinion(BLOCK_S, is_phrase=True, is_over=False)]


def test_another_grammar_hears_what_was_said_last_and_no_more() -> None:
    attending = Attending()
    attending.use(Script(), str.isalpha)
    for _ in range(200):
        attending.feed(BLOCK_OF_SOUND)
    other = Script()
    attending.use(other, str.isalpha)
    assert other.fed == pytest.approx(KEPT_S * RATE, abs=BLOCK)
    attending.forget()
    third = Script()
    attending.use(third, str.isalpha)
    assert third.fed == 0


# Beginnings and ends


def edges(heard: Sequence[Opinion], *, voice: float = 0.0, settled: bool = False) -> list[tuple[Edge, Endpointer]]:
    """Push two seconds of noise without an opinion, then a block for each of ``heard``; return what is no NONE."""
    ends, found = Endpointer(), []
    for number, block in enumerate(blocks(hiss(2.0 + len(heard) * BLOCK_S, -30.0))):
        late = number - round(2.0 / BLOCK_S)
        opinion = heard[late] if 0 <= late < len(heard) else SILENCE
        edge = ends.push(block, voice, lambda _pause: settled, opinion)
        if edge is not Edge.NONE:
            found.append((edge, ends))
    return found


def test_a_phrase_that_no_voice_detector_noticed_begins_an_utterance_that_reaches_back_before_it() -> None:
    edge, ends = edges([PHRASE])[0]
    assert edge is Edge.BEGIN
    assert len(ends.taken) * BLOCK_S == pytest.approx(PHRASE.words_s + KNOBS.words_preroll_s, abs=BLOCK_S)
    assert not ends.is_voiced
    assert ends.is_noisy


def test_words_that_are_no_phrase_begin_none() -> None:
    assert edges([WORDS] * 30) == []


def test_where_no_voice_was_found_its_absence_ends_nothing_but_the_recogniser_does() -> None:
    """Of "reading zero point one" it would be "reading zero": silence for the detector, not for the recogniser."""
    longer = round(2 * KNOBS.hang_s / BLOCK_S)
    assert Edge.END not in [edge for edge, _ in edges([PHRASE] * longer)]
    over = Opinion(0.8, is_phrase=True, is_over=True)
    assert [edge for edge, _ in edges([*[PHRASE] * longer, over])][-1] is Edge.END
    assert [edge for edge, _ in edges([PHRASE] * 2, settled=True)] == [Edge.BEGIN, Edge.END]
    # words that turned out to be none are over after the usual silence
    assert [edge for edge, _ in edges([PHRASE, *[SILENCE] * longer])].count(Edge.END) == 1


def test_words_that_go_on_are_not_ended_though_they_hold_a_phrase() -> None:
    assert Edge.END not in [edge for edge, _ in edges([PHRASE, *[WORDS] * 10], settled=True)][1:-1]


def test_a_noise_that_a_voice_detector_took_for_a_voice_hides_no_word_after_it() -> None:
    """The sound of what held no word at all is there for the word that was being said meanwhile."""
    ends = Endpointer()
    begun: list[Block] = []
    for block in blocks(in_room(silence(1), tone(0.5), silence(0.6))):
        edge = ends.push(block)
        begun = list(ends.taken) if edge is Edge.BEGIN else [*begun, block]
        if edge is Edge.END:
            break
    ends.take_back(begun)
    assert ends.push(Block(BLOCK_OF_SOUND, block.ended_at + BLOCK_S), 0.0, opinion=PHRASE) is Edge.BEGIN
    assert ends.taken[0].ended_at < ends.started_at + 0.4
    assert ends.is_alone


# Heard again


class Teller(TellRecogniser):
    """Hears the texts in turn, one at each end."""

    def __init__(self, *told: tuple[str, float, Clarity]) -> None:
        super().__init__()
        self._told = [*told]
        self.lengths: list[int] = []

    def finish(self, started_at: float, ended_at: float) -> Heard:
        self.lengths.append(self.fed)
        text, sure, clarity = self._told.pop(0)
        return Heard(text, sure, started_at, ended_at, clarity)


NOT_SURE = 0.89
"""No value that is read off is surer in noise: less than the limit of a reading."""
SECOND = [Block(BLOCK_OF_SOUND, n * BLOCK_S) for n in range(50)]
GRAMMAR = Grammar(("next", "all together"), (PhraseSlot.of("count {}", SlotKind.WHOLE),))
WHOLE, PART = Clarity.PHRASE, Clarity.UNCLEAR
Told = tuple[str, float, Clarity]


def again(first: Told, *later: Told, earlier: Sequence[Block] = SECOND) -> tuple[Heard, list[float]]:
    """Return what is heard in the end, and how much more of before each hearing after the first was given [s]."""
    teller = Teller(*later)
    text, sure, clarity = first
    heard = heard_again(Heard(text, sure, 0.0, 1.0, clarity), teller, GRAMMAR, earlier, SECOND)
    return heard, [round(length / RATE - len(SECOND) * BLOCK_S, 2) for length in teller.lengths]


def test_what_was_no_sure_phrase_is_heard_again_from_earlier_on() -> None:
    short, long = REACHES_S
    ours = ("all together", 0.8, WHOLE)
    part = ("together", 1.0, PART)
    heard, reaches = again(part, ours)
    assert (heard.text, heard.clarity, reaches) == ("all together", WHOLE, [short])
    heard, reaches = again(part, part, ours)
    assert (heard.text, reaches) == ("all together", [short, long])
    heard, reaches = again(part, part, part)
    assert (heard.text, heard.clarity, reaches) == ("together", PART, [short, long])


def test_two_hearings_that_agree_are_as_sure_as_the_surer_one_and_others_change_nothing() -> None:
    assert again(("next", 0.45, WHOLE), ("next", 0.9, WHOLE))[0].confidence == 0.9
    heard, _ = again(("next", 0.45, WHOLE), ("all together", 0.9, WHOLE), ("all together", 0.9, WHOLE))
    assert (heard.text, heard.confidence) == ("next", 0.45)


def test_what_is_sure_or_has_nothing_before_it_is_heard_once() -> None:
    assert again(("next", 0.9, WHOLE))[0].confidence == 0.9
    assert again(("together", 1.0, PART), earlier=[])[0].text == "together"


def test_a_number_in_noise_counts_only_when_both_hearings_agree() -> None:
    """Of "reading zero point one" a late beginning leaves "point one", which sounds like "count one"."""
    one = ("count one", 1.0, WHOLE)
    heard, reaches = again(one, one)
    assert (heard.text, heard.clarity, reaches) == ("count one", WHOLE, [REACHES_S[-1]])
    for other in (("count two", 1.0, WHOLE), ("reading zero point one", 1.0, PART)):
        heard, _ = again(one, other)
        assert (heard.text, heard.clarity) == ("", PART)
    assert again(one, earlier=[])[0].text == "count one"  # nothing is before it: there is no other hearing


@pytest.mark.parametrize(
    ("text", "most"),
    [("reading zero point one", NOT_SURE), ("point two one", NOT_SURE), ("bolt one broke", 1.0)],
)
def test_a_reading_in_noise_is_never_so_sure_that_it_is_not_read_back(text: str, most: float) -> None:
    """A critical phrase may be: it is read back whatever it is."""
    slots = PhraseSlot.of("reading {}", SlotKind.DECIMAL), PhraseSlot.of("bolt {} broke", SlotKind.WHOLE)
    grammar = Grammar(("next", "point two one"), slots, values=frozenset({"point two one"}))
    heard = heard_again(Heard(text, 1.0, 0.0, 1.0), Teller(), grammar, [], SECOND)
    assert (heard.confidence, heard.text) == (most, text)
    assert Teller.limits.reading > NOT_SURE


# When it breaks


def test_a_recogniser_that_fails_at_attending_is_told_and_hears_utterances_all_the_same() -> None:
    told, heard = list[Failure](), list[Heard]()
    recogniser = TellRecogniser()
    listener = Listener(recogniser, heard.append, headset=True, on_failure=told.append, detector=_Level())
    recogniser.attending_breaks = True
    for block in blocks(in_room(silence(1), tone(0.4, -15.0), silence(0.7))):
        listener.push(block)
    assert [one.text for one in heard] == ["next"]
    assert [(one.part, one.error, one.then) for one in told] == [
        ("attending", "RuntimeError", then) for then in (Then.AGAIN, Then.AGAIN, Then.ENDED)
    ]


class _Level:
    """A detector that takes what is loud for a voice."""

    def start(self) -> None:
        """Begin anew."""

    def feed(self, block: np.ndarray) -> float:
        return float(np.abs(block).max() > 1000)


# Real speech, the real recogniser


@pytest.fixture(scope="module")
def loaded() -> VoskRecogniser:
    return VoskRecogniser(LANGUAGE)


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_words_beside_a_drill_as_loud_are_heard(loaded: VoskRecogniser) -> None:
    """Without the recogniser that attends, two utterances of the whole talk are."""
    samples, said = talk()
    first = [one for one in said if one.ended < 17.0]
    noise = drilling(18.0, np.random.default_rng(1))
    mixed = beside(samples[: 18 * RATE], first, noise, 0.0)
    found = counted(first, hear(loaded, mixed, of_a_job(said), loaded.limits))
    assert found.right >= 5, found
    assert not found.wrong


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
@pytest.mark.parametrize("seed", [1, 2, 3])
def test_no_reading_is_cut_after_its_first_digit(loaded: VoskRecogniser, seed: int) -> None:
    samples, said = talk()
    [one] = [one for one in said if one.text == "reading zero point one"]
    here = np.concatenate([silence(1), samples[round((one.began - 0.4) * RATE) : round((one.ended + 0.9) * RATE)]])
    alone = [Said(one.text, 1.4, 1.4 + one.ended - one.began)]
    grammar = of_a_job(said)
    for make in (engine, drilling):
        mixed = beside(here, alone, make(here.size / RATE, np.random.default_rng(seed)), 0.0)
        for _, heard, counts in hear(loaded, mixed, grammar, loaded.limits):
            assert not counts or heard.text == one.text
            assert heard.confidence <= NOT_SURE or heard.clarity is not Clarity.PHRASE
