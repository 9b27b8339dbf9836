"""The spoken side of a rehearsal: the words that a loudspeaker would give, each at its time on a clock of its own."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.events import Adjust, ToneKind, VoiceKnob
from assistant.voice.adapters.pyttsx3 import Pyttsx3Synthesiser
from assistant.voice.adapters.wav import WavLoudspeaker
from assistant.voice.ports import RATE
from assistant.voice.speaking.file_speaker import FileSpeaker
from assistant.voice.speaking.rendering import breath_groups


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self) -> None:
        self.now = 1_700_000_000.0

    def __call__(self) -> float:
        return self.now


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def said() -> list[tuple[str, bool]]:
    return []


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "spoken.wav"


@pytest.fixture
def speaker(clock: Clock, path: Path, said: list[tuple[str, bool]]) -> FileSpeaker:
    return FileSpeaker(
        Pyttsx3Synthesiser(), clock, WavLoudspeaker(path), volume=0, on_said=lambda *told: said.append(told)
    )


def heard(path: Path) -> list[tuple[float, float]]:
    """Return the pieces of sound in the file as (begin, end) in seconds; pauses under 0.15 s do not part them."""
    samples, rate = soundfile.read(path, dtype="int16")
    places = np.flatnonzero(np.abs(samples.astype(int)) > 100)
    if not places.size:
        return []
    breaks = np.flatnonzero(np.diff(places) > 0.15 * rate)
    firsts, lasts = np.r_[places[0], places[breaks + 1]], np.r_[places[breaks], places[-1]]
    return [(first / rate, last / rate) for first, last in zip(firsts, lasts, strict=True)]


def test_words_lie_in_the_file_at_the_time_at_which_they_were_said(
    speaker: FileSpeaker, clock: Clock, path: Path, said: list[tuple[str, bool]]
) -> None:
    speaker.say("Next.")
    clock.now += 3
    assert not speaker.is_sounding()
    speaker.say("Back.")
    assert speaker.is_sounding()
    clock.now += 2
    speaker.close()
    starts = [first for first, _ in heard(path)]
    assert starts == pytest.approx([0, 3], abs=0.05)
    assert soundfile.info(path).duration == pytest.approx(5, abs=0.01)
    assert said == [("Next.", True), ("Back.", True)]


def test_it_knows_how_long_it_will_sound(speaker: FileSpeaker, clock: Clock, path: Path) -> None:
    speaker.say("Stage two of four. Bolts four to eight. Thirty-two newton metres.")
    seconds = speaker.seconds_left()
    clock.now += seconds - 0.02
    assert speaker.is_sounding()
    assert speaker.quiet_s() == 0
    clock.now += 0.03
    assert not speaker.is_sounding()
    assert speaker.seconds_left() == 0
    clock.now += 2
    assert speaker.quiet_s() == pytest.approx(2.01, abs=0.001)
    speaker.close()
    assert heard(path)[-1][1] == pytest.approx(seconds, abs=0.1)


def test_a_tone_is_no_word_and_what_was_asked_waits_no_longer_for_it(speaker: FileSpeaker, clock: Clock) -> None:
    """Each noise of the bay that is not understood has a tone; it must not keep a question open."""
    speaker.say("Next.")
    clock.now += speaker.seconds_left() + 5
    speaker.tone(ToneKind.NOT_UNDERSTOOD)
    assert speaker.is_sounding()
    clock.now += 5
    assert speaker.quiet_s() == pytest.approx(10, abs=0.05)
    speaker.close()


def test_hush_ends_the_words_there(
    speaker: FileSpeaker, clock: Clock, path: Path, said: list[tuple[str, bool]]
) -> None:
    speaker.say("This sentence is long enough to be cut in the middle of it.")
    clock.now += 1
    speaker.hush()
    clock.now += 2
    speaker.close()
    assert heard(path)[-1][1] < 1.02
    assert said == [("This sentence is long enough to be cut in the middle of it.", False)]


def test_a_tone_sounds_while_words_go_on(speaker: FileSpeaker, clock: Clock, path: Path) -> None:
    speaker.tone(ToneKind.ACCEPTED)
    clock.now += 1
    speaker.close()
    ((first, last),) = heard(path)
    assert 0.060 <= last - first <= 0.150


def test_what_is_rendered_alone_is_what_would_be_spoken(speaker: FileSpeaker, path: Path) -> None:
    text = "Stage two of four. Thirty-two newton metres."
    alone = speaker.render(text)
    speaker.say(text)
    speaker.close()
    samples, rate = soundfile.read(path, dtype="int16")
    assert rate == RATE
    assert np.array_equal(samples[: alone.size], alone)


def test_the_knobs_stop_at_their_ends_and_one_step_back_is_heard(speaker: FileSpeaker, clock: Clock) -> None:
    text = "Bolts four to eight."
    usual = speaker.render(text).size
    assert speaker.adjust(Adjust(VoiceKnob.RATE, 50))
    fastest = speaker.render(text).size
    assert not speaker.adjust(Adjust(VoiceKnob.RATE, 50))
    assert speaker.render(text).size == fastest
    assert speaker.adjust(Adjust(VoiceKnob.RATE, -1))
    assert speaker.render(text).size > fastest * 1.05
    assert usual > fastest
    # Asked by voice it goes no faster than 200 words a minute: from 165, at most 1.21 times as fast.
    assert usual / fastest == pytest.approx(200 / 165, rel=0.05)
    speaker.adjust(Adjust(VoiceKnob.RATE, -100))
    assert speaker.render(text).size > usual


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("Stage two of four. Bolts four to eight.", ["Stage two of four.", "Bolts four to eight."]),
        ("Danger: hot coolant! Wait.", ["Danger:", "hot coolant!", "Wait."]),
        ("No stop at the end", ["No stop at the end"]),
        ("  ", []),
        ("...", []),
        ("One.\n\nTwo?", ["One.", "Two?"]),
    ],
)
def test_speech_is_parted_where_a_speaker_breathes(text: str, parts: list[str]) -> None:
    assert breath_groups(text) == parts


def test_what_was_not_yet_spoken_is_known_sentence_by_sentence(speaker: FileSpeaker, clock: Clock, path: Path) -> None:
    """When each sentence ends is taken from the sound in the file itself, which has silence between sentences."""
    speaker.say("The lid is hot. Wear gloves.")
    assert speaker.unsaid(0) == "The lid is hot. Wear gloves."
    clock.now += 20
    assert speaker.unsaid(0) == ""
    speaker.close()
    (_, first), (_, second) = [(began, ended) for began, ended in heard(path) if ended < 20]
    assert speaker.unsaid(20 - first + 0.15) == "The lid is hot. Wear gloves."
    assert speaker.unsaid(20 - first - 0.15) == "Wear gloves."
    assert speaker.unsaid(20 - second - 0.15) == ""


def test_what_was_hushed_was_not_spoken_until_something_else_is_said(speaker: FileSpeaker, clock: Clock) -> None:
    speaker.say("The lid is hot. Wear gloves.")
    clock.now += 0.2
    speaker.hush()
    clock.now += 20
    assert speaker.unsaid(0) == "The lid is hot. Wear gloves."
    speaker.say("A timer is over.", cut=False)
    assert speaker.unsaid(0) == "The lid is hot. Wear gloves. A timer is over."
    speaker.say("Step one.")
    assert speaker.unsaid(0) == "Step one."
