"""A whole job in few words: a careful mechanic makes no mistake, and every word of the assistant is counted."""

from __future__ import annotations

from tests.bench.words import DEMO, MOST_WORDS_OF_DEMO, WRITTEN_OUT, WRITTEN_OUT_WORDS, same_job, words_of


def test_the_job_takes_at_most_sixty_percent_of_the_words_that_it_took_written_out() -> None:
    assert words_of(DEMO, same_job(), typed=True) <= MOST_WORDS_OF_DEMO


def test_even_written_out_it_takes_fewer_words_than_it_did() -> None:
    assert words_of(WRITTEN_OUT, typed=True) <= 0.85 * WRITTEN_OUT_WORDS


def test_what_is_read_back_because_it_sounds_like_another_number_takes_few_words() -> None:
    assert words_of(DEMO, same_job()) <= 1.05 * words_of(DEMO, same_job(), typed=True)
