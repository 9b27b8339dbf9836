"""The bench's counting of a whole talk: what was right, missed, read back, asked, or would have been done wrongly."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.events import Clarity, Heard
from assistant.voice.ports import RATE
from tests.bench.noisy_talk import Count, Said, beside, counted

SAID = (Said("next", 1.0, 1.5), Said("count four", 3.0, 3.6), Said("reading zero point one", 5.0, 6.4))


def count(*heard: tuple[str, float, float, float]) -> Count:
    """Count utterances, each with its beginning [s], when it was known [s] and how sure it was; below 0.6 it fails."""
    return counted(
        SAID,
        [
            (known, Heard(text, sure, began, known - 0.2, WHOLE if text else UNCLEAR), bool(text) and sure >= 0.6)
            for text, began, known, sure in heard
        ],
    )


WHOLE, UNCLEAR = Clarity.PHRASE, Clarity.UNCLEAR
RIGHT = (("next", 1.0, 1.7, 1.0), ("count four", 3.1, 3.9, 0.8), ("reading zero point one", 5.0, 6.6, 0.89))


def test_all_right_and_how_long_after_the_last_sound_each_was_known() -> None:
    found = count(*RIGHT)
    assert (found.right, found.unclear, found.unnoticed, found.bothered) == (3, 0, 0, 0)
    assert found.delays_s == pytest.approx((0.2, 0.3, 0.2))
    assert found.wrong == found.asked == found.questions == ()


def test_what_is_not_sure_enough_is_not_understood_and_what_nobody_heard_was_not_noticed() -> None:
    found = count(("next", 1.0, 1.7, 0.5), ("", 3.1, 3.9, 1.0))
    assert (found.right, found.unclear, found.unnoticed) == (0, 2, 1)


def test_a_wrong_phrase_that_moves_the_job_is_a_wrong_action_and_one_that_asks_is_a_question() -> None:
    found = count(("skip this", 1.0, 1.7, 1.0), ("repeat", 3.1, 3.9, 1.0))
    assert found.wrong == ("skip this for next",)
    assert found.questions == ("repeat for count four",)


def test_a_wrong_number_is_a_wrong_action_unless_the_job_reads_it_back() -> None:
    """Every count of the talk is the expected one, so another is read back; a reading is read back below 0.9."""
    assert count(("count zero", 3.0, 3.8, 1.0)).asked == ("count zero for count four",)
    assert count(("reading zero", 5.0, 6.6, 0.89)).asked == ("reading zero for reading zero point one",)
    assert count(("reading zero", 5.0, 6.6, 1.0)).wrong == ("reading zero for reading zero point one",)
    assert count(("count one", 5.0, 6.6, 1.0)).wrong == ("count one for reading zero point one",)


def test_what_is_heard_where_nobody_spoke_is_wrong_or_bothers() -> None:
    found = count(*RIGHT, ("next", 8.0, 8.7, 1.0), ("", 9.0, 9.7, 1.0))
    assert (found.right, found.wrong, found.bothered) == (3, ("next",), 1)


def test_a_right_word_that_is_heard_twice_counts_twice_as_an_action() -> None:
    found = count(RIGHT[0], ("next", 1.4, 2.4, 1.0))
    assert (found.right, found.wrong) == (1, ("next for next",))


@pytest.mark.parametrize("snr", [10.0, 0.0])
def test_noise_lies_so_far_below_the_words_alone(snr: float) -> None:
    t = np.arange(8 * RATE) / RATE
    speech = np.where((t > 1.0) & (t < 1.5), 8000 * np.sin(2 * np.pi * 300 * t), 0).astype(np.int16)
    noise = np.random.default_rng(2).standard_normal(RATE)
    both = beside(speech, SAID[:1], noise, snr)
    alone = both[2 * RATE : 3 * RATE].astype(np.float64)  # the words are 8000 / sqrt(2) root mean square
    assert 20 * np.log10(8000 / np.sqrt(2) / alone.std()) == pytest.approx(snr, abs=0.2)
