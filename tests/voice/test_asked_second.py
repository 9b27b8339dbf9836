"""Who is asked for a second opinion, when and for how long, and the real writer on a real voice."""

from __future__ import annotations

import subprocess
import sys
import threading
import time
from collections.abc import Sequence

import pytest

from assistant.bay.engines import second_opinion
from assistant.events import Clarity, Heard, Then
from assistant.hearing.measuring import phrases_for
from assistant.language.chosen import LANGUAGE
from assistant.voice.adapters.moonshine import MoonshineWriter
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.asked_second import AskedAtOnce, AskedInTime, SecondOpinion
from assistant.voice.listening.listener import Listener
from assistant.voice.listening.second_opinion import (
    DOUBT_IN_NOISE,
    as_words,
)
from assistant.voice.listening.writing import ProcessWriter
from assistant.voice.ports import RATE, Samples, Written
from assistant.worker import Failure
from tests.devices.waiting import until
from tests.fakes import breaking_writer
from tests.fakes.breaking_writer import TellWriter
from tests.fakes.detector import EverythingIsVoice
from tests.fakes.recogniser import TellRecogniser
from tests.voice.people import Person, blocks, in_room, silence
from tests.voice.test_endpoint import tone
from tests.voice.test_second_opinion import GRAMMAR, LIMITS, NOTHING, SOUND, WORD, heard


class Slow(TellWriter):
    """Writes nothing into the silence that it is warmed with, then what it was told to, as soon as it may ``go``."""

    def __init__(self, *texts: str) -> None:
        super().__init__("", *texts)


def in_time(writer: TellWriter, patience_s: float = 10.0) -> AskedInTime:
    asked = AskedInTime(lambda: writer, on_failure=[].append, patience_s=patience_s)
    assert asked.wait_until_warm(10.0)
    return asked


def test_whoever_listens_in_real_time_gets_the_answer() -> None:
    asked = in_time(Slow("No.", "Yes."))
    assert [asked.ask(SOUND), asked.ask(SOUND)] == [Written("No."), Written("Yes.")]
    asked.close()


def test_an_answer_that_comes_late_is_dropped_and_nothing_is_asked_meanwhile() -> None:
    writer = Slow("No.", "Yes.")
    asked = in_time(writer, patience_s=0.05)
    writer.go.clear()
    assert asked.ask(SOUND) is None
    assert asked.ask(SOUND) is None, "it is still at the first"
    writer.go.set()
    until(lambda: len(writer.took) == 2, "the first answer came")
    until(lambda: asked.ask(SOUND) == Written("Yes."), "it answers again")
    asked.close()


def test_who_is_not_loaded_yet_is_not_waited_for() -> None:
    load = threading.Event()

    def make() -> TellWriter:
        assert load.wait(10)
        return Slow("No.")

    asked = AskedInTime(make, on_failure=[].append, patience_s=60.0)
    began = time.monotonic()
    assert asked.ask(SOUND) is None
    assert time.monotonic() - began < 30.0
    load.set()
    assert asked.wait_until_warm(10.0)
    assert asked.ask(SOUND) == Written("No.")
    asked.close()


@pytest.mark.audio
@pytest.mark.parametrize(
    "cls", [breaking_writer.OddWriter, breaking_writer.EndingWriter, breaking_writer.HangingWriter]
)
def test_a_writer_that_breaks_is_told_and_the_word_of_the_recogniser_stands(cls: type) -> None:
    failures: list[Failure] = []
    make = lambda: ProcessWriter(f"{cls.__module__}:{cls.__name__}", patience_s=0.1)  # noqa: E731
    live = SecondOpinion(AskedInTime(make, on_failure=failures.append), LANGUAGE)
    live.prepare()
    until(lambda: len(failures) == 3, "it failed three times", 60.0)
    assert live.on(heard("next", 0.8), lambda: SOUND, GRAMMAR, LIMITS) == heard("next", 0.8)
    live.close()
    assert [(one.part, one.then) for one in failures] == [("second_opinion", Then.AGAIN)] * 2 + [
        ("second_opinion", Then.ENDED)
    ]
    failures.clear()
    waits = SecondOpinion(AskedAtOnce(make, on_failure=failures.append), LANGUAGE)
    assert [waits.on(NOTHING, lambda: SOUND, GRAMMAR, LIMITS) for _ in range(4)] == [NOTHING] * 4
    assert len(failures) == 3
    waits.close()


class Unsure(TellRecogniser):
    """Hears the word "nah", which is no phrase."""

    limits = LIMITS

    def finish(self, started_at: float, ended_at: float) -> Heard:
        return Heard("nah", 0.5, started_at, ended_at, Clarity.UNCLEAR)


def test_a_listener_takes_the_phrase_that_only_the_writer_knew() -> None:
    found: list[Heard] = []
    second = SecondOpinion(AskedAtOnce(lambda: TellWriter("No.", "Hello."), on_failure=[].append), LANGUAGE)
    listener = Listener(Unsure(), found.append, detector=EverythingIsVoice(), second=second)
    listener.set_grammar(GRAMMAR)
    for at in (0.0, 10.0):
        for block in blocks(WORD, at):
            listener.push(block)
    assert [(one.text, one.clarity) for one in found] == [("no", Clarity.PHRASE), ("nah", Clarity.UNCLEAR)]
    assert found[0].started_at == pytest.approx(1.0, abs=0.05)


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_the_real_writer_knows_a_word_that_the_recogniser_refuses() -> None:
    """A voice of flite says *help* in quiet, with all phrases open; asked as the bay and the recordings ask."""
    loaded = VoskRecogniser(LANGUAGE)
    failures: list[Failure] = []
    second = second_opinion(failures.append, waits=True)
    assert second is not None
    said = in_room(silence(1.5), Person("flite", "kal16").say("help"), silence(1.2))
    found: list[Heard] = []
    for asked in (None, second):
        listener = Listener(loaded.fresh(), found.append, headset=True, second=asked)
        listener.set_grammar(phrases_for(()))
        for block in blocks(said):
            listener.push(block)
    second.close()
    alone, both = found
    assert alone.clarity is Clarity.UNCLEAR
    assert (both.text, both.clarity, failures) == ("help", Clarity.PHRASE, [])
    assert both.confidence >= loaded.limits.moving


def opinion_of(writer: TellWriter) -> SecondOpinion:
    return SecondOpinion(AskedAtOnce(lambda: writer, on_failure=[].append), LANGUAGE)


def test_whoever_says_again_at_once_what_was_kept_out_is_believed() -> None:
    """A voice that the writer does not know must not be shut out; talk says the same twice seldom."""
    writer = TellWriter(*["Prussy jerseys."] * 4)
    writer.doubt = 40.0
    second, found = opinion_of(writer), []
    for text, at in (("next", 0.0), ("repeat", 4.0), ("repeat", 13.0), ("repeat", 60.0)):
        said = Heard(text, 1.0, at, at + 0.6, Clarity.PHRASE)
        found.append(second.on(said, lambda: SOUND, GRAMMAR, LIMITS).text)
    assert found == ["", "", "repeat", ""]


class Doubting(TellWriter):
    """Doubts whatever it is asked about as much as it was told, one after another."""

    def __init__(self, *doubts: float) -> None:
        super().__init__(*["Something else."] * len(doubts))
        self.doubts = list(doubts)

    def weigh(self, samples: Samples, said: Sequence[str]) -> Written:
        if said:
            self.doubt = self.doubts.pop(0)
        return super().weigh(samples, said)


@pytest.mark.parametrize(
    ("doubts", "clarity"), [((1.0,), "phrase"), ((40.0, 1.0), "phrase"), ((40.0, 40.0), "unclear")]
)
def test_a_sure_phrase_is_asked_about_before_its_end_is_sure_and_by_all_of_its_sound_in_doubt(
    doubts: tuple[float, ...], clarity: str
) -> None:
    writer, found = Doubting(*doubts), []
    listener = Listener(TellRecogniser(), found.append, detector=EverythingIsVoice(), second=opinion_of(writer))
    listener.set_grammar(GRAMMAR)
    for block in blocks(WORD):
        listener.push(block)
    assert [one.clarity.value for one in found] == [clarity]
    assert writer.doubts == []
    if len(doubts) > 1:
        early, whole = writer.took
        assert whole - early == pytest.approx(0.08 * RATE), "0.04 s of silence in place of 0.12 s"


def test_of_sounds_that_were_begun_with_only_the_last_is_written_down() -> None:
    """A word that pauses begins several times; whoever asks waits for the present one at most, and for that asked."""
    writer = Slow("Three.", "Four.", "Four.")
    asked = in_time(writer)
    writer.go.clear()
    for samples in (1, 2, 3):
        asked.begin(SOUND[:samples])
    timer = threading.Timer(0.2, writer.go.set)
    timer.start()
    assert asked.ask(SOUND[:4], ["next"]) is not None
    timer.join()
    asked.close()
    assert writer.took[0] == RATE // 2, "the silence that warms it"
    assert writer.took[-1] == 4
    assert 2 not in writer.took


@pytest.mark.audio
def test_the_real_writer_tells_how_unlikely_other_words_are() -> None:
    """What it writes by itself must be as likely when it is given word by word: two ways through the same net."""
    writer = MoonshineWriter()
    said = in_room(silence(0.3), Person("flite", "rms").say("what is left"), silence(0.3))
    written = writer.weigh(said, ["what is left", "which bolt", "yes"])
    assert as_words(written.text, LANGUAGE) == "what is left"
    same, other, short = written.doubts
    assert -1.0 < same < 0.01
    assert min(other, short) > DOUBT_IN_NOISE * len("which bolt")
    assert writer.weigh(said, [written.text[:-1]]).doubts[0] < 0.01
    assert MoonshineWriter().write(said) == written.text
    writer.close()


def test_what_is_not_alone_is_not_asked_about() -> None:
    """A word close on other talk is talk, whatever is written of it."""
    writer = TellWriter("No.", "No.")
    found: list[Heard] = []
    second = SecondOpinion(AskedAtOnce(lambda: writer, on_failure=[].append), LANGUAGE)
    listener = Listener(Unsure(), found.append, detector=EverythingIsVoice(), second=second)
    listener.set_grammar(GRAMMAR)
    word = tone(0.4, -15.0)
    for block in blocks(in_room(silence(1), word, silence(0.25), word, silence(0.7))):
        listener.push(block)
    assert [one.clarity for one in found] == [Clarity.PHRASE, Clarity.SPEECH]
    assert len(writer.took) == 1


def test_without_the_extra_nobody_is_asked_and_one_sentence_says_so() -> None:
    """In a process of its own, which cannot see the package."""
    program = (
        "import sys; sys.modules['moonshine_voice'] = None\n"
        "import importlib.util as u; find = u.find_spec\n"
        "u.find_spec = lambda name, *more: None if name == 'moonshine_voice' else find(name, *more)\n"
        "from assistant.bay.engines import second_opinion\n"
        "print(second_opinion(print, print))"
    )
    told = subprocess.run([sys.executable, "-c", program], check=True, capture_output=True, text=True).stdout
    sentence, nobody = told.splitlines()
    assert sentence.startswith("The extra for notes is not installed, so notes and unsure words are heard less well;")
    assert nobody == "None"
