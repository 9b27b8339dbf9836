"""Numbers by people are put behind phrases so that a rare number is heard as often as a common one."""

from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from models.recipe.blocks import RATE, Audio, PartWriter, read_clips
from models.recipe.joining import BEFORE, DIGITS, PART, join
from models.recipe.people import whole_numbers


def word(seconds: float, level: float) -> Audio:
    """Return a hum between two pauses: what a recording of one word looks like."""
    pause = np.zeros(RATE // 5)
    hum = level * np.sin(2 * np.pi * 200 * np.arange(int(seconds * RATE)) / RATE)
    return np.rint(np.concatenate([pause, hum, pause])).astype(np.int16)


def gathered(parts: Path, *, before: bool = True) -> None:
    """Write parts in which *zero* is said forty times as often as any other number."""
    human = PartWriter(parts, "train-human")
    for text in whole_numbers():
        for nth in range(40 if text == "zero" else 1):
            human.add(word(0.3, 3000), text, f"person {nth % 2}", "gsc_9words")
    human.close()
    synthetic = PartWriter(parts, "train-synthetic")
    synthetic.add(word(0.4, 20_000), "count" if before else "next", "voice", "synthetic-command")
    synthetic.close()


def test_each_number_comes_as_often_as_any_other_behind_a_phrase_as_loud_as_it_is(tmp_path: Path) -> None:
    gathered(tmp_path)
    assert join(tmp_path, 2000) == 2000
    clips = list(read_clips(tmp_path, PART))
    texts = [clip.text for clip, _ in clips]
    last = Counter(text.split()[-1] for text in texts if text.startswith("count"))
    assert set(last) == set(whole_numbers())
    assert last["zero"] < 3 * last["two"]
    assert any(len(text.split()) > 2 and set(text.split()) <= set(DIGITS) for text in texts)
    assert {text.split()[0] for text in texts if text.split()[0] not in whole_numbers()} == {"count"} <= set(BEFORE)
    audio = next(audio for clip, audio in clips if clip.text == "count two").astype(float)
    first, second = audio[: RATE // 4], audio[-RATE // 4 :]
    assert np.std(first) == pytest.approx(np.std(second), rel=0.2)
    assert len(audio) < 1.1 * RATE  # the pauses of both recordings are gone


def test_without_a_phrase_there_is_nothing_to_join(tmp_path: Path) -> None:
    gathered(tmp_path, before=False)
    with pytest.raises(ValueError, match="gather and speak these first"):
        join(tmp_path, 10)
