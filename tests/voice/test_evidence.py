"""The measure of sureness, worked by hand."""

from __future__ import annotations

import pytest

from assistant.voice.evidence import Span, confidence, is_speech_like, ratios, weigh

PHONES = [Span("SIL", 0, 9, -20.0), Span("N", 10, 19, -40.0), Span("EH", 20, 39, -80.0), Span("SIL", 40, 49, -20.0)]


def test_the_ratio_is_the_difference_of_log_likelihoods_per_frame() -> None:
    # Frames 10 to 39: the word has -60 nats, free phones -120 nats, so (-60 + 120) / 30 frames.
    assert ratios([Span("next", 10, 39, -60.0)], PHONES) == [pytest.approx(2.0)]


def test_a_word_over_part_of_a_phone_shares_its_score_by_frames() -> None:
    # Half of EH (10 of 20 frames) is -40 nats: (-50 + 40) / 10.
    assert ratios([Span("a", 20, 29, -50.0)], PHONES) == [pytest.approx(-1.0)]


def test_even_evidence_is_one_half() -> None:
    assert confidence(0.0) == 0.5
    assert confidence(1e9) == pytest.approx(1.0)
    assert confidence(-1e9) == pytest.approx(0.0)


def test_a_worse_fit_a_worse_edge_and_a_shorter_word_are_less_sure() -> None:
    def sure(word: float, edge: float = -20.0, last: int = 39) -> float:
        return weigh([Span("<sil>", 0, 9, edge), Span("next", 10, last, word)], PHONES)[0]

    assert sure(-100.0) > sure(-150.0) > sure(-250.0)
    assert sure(-100.0) > sure(-100.0, edge=-60.0)
    assert sure(-100.0) > sure(-33.0, last=19)


def test_silence_alone_is_no_phrase() -> None:
    assert weigh([Span("<sil>", 0, 49, -100.0)], PHONES) == (0.0, [])


def test_a_word_is_speech_like_and_a_bang_is_not() -> None:
    assert is_speech_like([*PHONES[:3], Span("K", 40, 45, -20.0), Span("S", 46, 60, -50.0)])
    assert not is_speech_like([Span("SIL", 0, 9, -20.0), Span("+NSN+", 10, 39, -90.0), Span("T", 40, 45, -20.0)])
    assert not is_speech_like([Span("S", 0, 40, -90.0), Span("F", 41, 60, -90.0), Span("T", 61, 70, -20.0)])
    assert not is_speech_like([])
