"""The counting of the closed loop, on jobs of which it is known what was heard; and the sound that it is fed with."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from assistant.events import Clarity, Heard, Thresholds
from assistant.voice.ports import BLOCK
from tests.bench.closed_loop import MOST_TIMES, PATIENCE_S, Line, Loop, work_through
from tests.bench.hearing_data import UNHEARD
from tests.bench.mechanic_voice import RESPONSE_SAMPLES, Floats, Machines, Voice, one_metre
from tests.fakes.recogniser import TellRecogniser
from tests.jobs import SHORT, SHORTEST

UNCLEAR = ""
Hears = Callable[[str, int], str]


class ToldLoop(Loop):
    """A loop without sound: ``hears`` says what is heard of words, and of how many that were said before them."""

    def __init__(self, hears: Hears, from_nobody: str = "", job: Path = SHORTEST) -> None:
        """Hear ``from_nobody`` once, before anything was said, where it may be said."""
        self.said: list[str] = []
        self._hears, self._from_nobody = hears, from_nobody
        super().__init__(TellRecogniser(""), Voice(UNHEARD), Machines(np.zeros(BLOCK), 1.0, None, _random()), job=job)

    def say(self, words: str, again: int) -> None:
        self.now += 1.0
        heard = self._hears(words, len(self.said))
        self.said.append(words)
        self._hear(heard, Clarity.PHRASE if heard else Clarity.UNCLEAR)

    def _play(self, sound: Floats) -> None:
        self.now += sound.size / 16_000
        if self._from_nobody in self.session.grammar().phrases:
            heard, self._from_nobody = self._from_nobody, ""
            self._hear(heard, Clarity.PHRASE)
        if (due := self.session.next_tick()) is not None and due <= self.now:
            self._take(self.session.tick(self.now))

    def _hear(self, text: str, clarity: Clarity) -> None:
        self._take(self.session.hear(Heard(text, 1.0, self.now - 0.5, self.now, clarity), self.now))


def _random() -> np.random.Generator:
    return np.random.default_rng(1)


def test_who_is_always_understood_says_each_command_once():
    loop = ToldLoop(lambda words, _: words, job=SHORT)
    talk = work_through(loop)
    assert (talk.closed, talk.utterances, talk.keys) == (True, talk.commands, 0)
    assert (talk.actions, talk.answers, talk.lost_s) == ([], [], 0.0)
    assert {"where am i", "confirmed", "yes", "count four", "finish job"} <= set(loop.said)


def test_who_is_not_understood_says_it_again():
    loop = ToldLoop(lambda words, before: UNCLEAR if before % 4 == 1 else words)
    talk = work_through(loop)
    in_vain = len(range(1, len(loop.said), 4))
    assert talk.closed
    assert talk.utterances == len(loop.said) == talk.commands + in_vain
    assert talk.lost_s >= in_vain
    assert (talk.actions, talk.answers) == ([], [])
    assert Line("here", (talk,)).each == pytest.approx(len(loop.said) / talk.commands)


def test_what_was_done_and_not_said_is_counted_with_its_words():
    talk = work_through(ToldLoop(lambda words, _: "next" if words == "where am i" else words, job=SHORT))
    assert talk.closed
    assert set(talk.actions) == {"next for where am i"}


def test_what_the_noise_was_taken_for_is_cancelled_before_anything_is_done():
    talk = work_through(ToldLoop(lambda words, _: words, from_nobody="finish job"))
    assert (talk.closed, talk.actions, talk.answers) == (True, [], ["finish for nothing"])


def test_what_nobody_understands_is_keyed_and_the_job_was_not_closed_by_voice():
    talk = work_through(ToldLoop(lambda words, _: UNCLEAR if words == "yes" else words))
    assert talk.keys == 2
    assert talk.utterances - talk.commands == 2 * MOST_TIMES
    assert Line("here", (talk,)).cells()[-2:] == ("0 of 1", "2")


def test_silence_is_waited_for_as_long_as_said():
    class Deaf(ToldLoop):
        """Hears nothing the first time."""

        def say(self, words: str, again: int) -> None:
            if again or words != "next":
                super().say(words, again)
            else:
                self.now += 1.0

    talk = work_through(Deaf(lambda words, _: words))
    nexts = talk.utterances - talk.commands
    assert talk.closed
    assert talk.lost_s == pytest.approx(nexts * (1.0 + PATIENCE_S), rel=0.15)


def test_a_metre_away_the_echoes_are_as_strong_as_the_voice():
    response = one_metre(_random())
    assert response.shape == (RESPONSE_SAMPLES,)
    assert response[0] == 1.0
    assert np.sum(response[1:] ** 2) == pytest.approx(1.0)
    early, late = (np.sum(response[part] ** 2) for part in (slice(1, 2400), slice(5600, 8000)))
    assert early > 30 * late  # 60 dB in 0.6 s: a fifth of a second later it is 20 dB down, half a second 50 dB


def test_machines_lie_so_far_below_the_voice():
    tone = np.sin(np.arange(16_000) / 7)
    machines = Machines(tone, 3000.0, 10.0, _random())
    sound = np.concatenate([machines.block() for _ in range(50)])
    assert 20 * np.log10(3000.0 / np.sqrt(np.mean(sound**2))) == pytest.approx(10.0, abs=0.2)


def test_what_is_asked_back_is_answered_and_costs_one_utterance_more():
    class Unsure(ToldLoop):
        """Hears the first *next* unsurely, so that it is asked back."""

        def _hear(self, text: str, clarity: Clarity) -> None:
            confidence = 0.5 if text == "next" and "yes" not in self.said else 1.0
            self._take(self.session.hear(Heard(text, confidence, self.now - 0.5, self.now, clarity), self.now))

    loop = Unsure(lambda words, _: words)
    loop.session._limits = Thresholds(0.6, 0.75, 0.9, asked=0.45)
    talk = work_through(loop)
    assert loop.said[:2] == ["next", "yes"]
    assert (talk.closed, talk.utterances, talk.actions) == (True, talk.commands + 1, [])
    assert talk.again == ["next as next?"]


def test_a_word_said_anew_is_another_persons_and_said_again_the_same_persons():
    """Tones of 400, 500, 600 and 700 periods stand for two recordings each of two people."""

    def tone(periods: int) -> np.ndarray:
        return np.rint(8000 * np.sin(np.arange(16_000) * periods * 2 * np.pi / 16_000)).astype(np.int16)

    voice = Voice(UNHEARD, [{"yes": [tone(400), tone(500)]}, {"yes": [tone(600), tone(700)]}])
    said = [voice.say("yes", again) for again in (0, 1, 0, 1, 0)]
    pitches = [np.argmax(np.abs(np.fft.rfft(one, 16_000))) for one in said]
    assert pitches == [400, 500, 600, 700, 400]
