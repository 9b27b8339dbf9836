"""People as lines of their own: who is in a list, that it is alike in every run, and how their words are marked."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.events import Thresholds
from models.recipe import measure, people
from models.recipe.parting import part_of
from tests.bench import people_heard
from tests.bench.hearing import Wanted, gathered

LIMITS = Thresholds(0.6, 0.75, 0.9)
WORDS = ("yes", "no", "off", "seven", "marvin", "two three")


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Forty people, each of whom says all of ``WORDS``, and thirty recordings of noise."""
    folder = tmp_path_factory.mktemp("shared")
    soundfile.write(folder / "word.wav", np.sin(np.arange(8000) / 5), 16_000)
    lines = ["kind\tset\tpath\tlabel\tspeaker\tseconds\textra"]
    lines += [f"speech\tgsc_more_people\tword.wav\t{word}\tp{who}\t0.5\t" for who in range(40) for word in WORDS]
    for number in range(30):
        soundfile.write(folder / f"n{number}.wav", np.cos(np.arange(8000) / 3), 16_000)
        lines.append(f"noise\tnoise_esc10\tn{number}.wav\train\t-\t0.5\t")
    (folder / "manifest.tsv").write_text("\n".join([*lines, ""]), "utf-8")
    return folder


def test_nobody_who_trained_is_in_a_list_and_nobody_is_in_both(shared: Path, tmp_path: Path) -> None:
    persons: dict[str, set[str]] = {}
    for split in ("dev", "test"):
        lists = dict(people_heard.lists(shared, split, tmp_path / split, 100))
        words = lists[people_heard.WORDS]
        persons[split] = {one.speaker for one in words}
        assert persons[split] == {
            f"p{who}" for who in range(40) if part_of("gsc_more_people", f"p{who}") == f"{split}-human"
        }
        assert {one.label for one in words} == {"yes", "no", "off", "seven", "marvin"}
        assert {one.label for one in lists[people_heard.TEN]} == {"yes", "no", "off"}
        assert {one.label for one in lists[people_heard.NUMBERS]} == {"seven"}
        if joined := lists.get(people_heard.JOINED):
            assert {one.label for one in joined} == {"count seven"}
            assert soundfile.info(joined[0].path).duration > 0.5
    assert not persons["dev"] & persons["test"]


def test_the_lot_is_alike_in_every_run_and_lets_nobody_say_more_than_others() -> None:
    clips = [("talks a lot", "yes", n) for n in range(50)] + [(f"p{n}", "yes", n) for n in range(50)]
    drawn = people.drawn(clips, 100)
    assert sum(speaker == "talks a lot" for speaker, _, _ in drawn) == people.EACH
    assert len(drawn) == 50 + people.EACH
    told = "from models.recipe import people; print(people.lot('p1', 'yes', 1), people.lot('p2', 'no', 5))"
    again = subprocess.run(
        [sys.executable, "-c", told], capture_output=True, check=True, text=True, env={"PYTHONHASHSEED": "1"}
    )
    assert again.stdout == f"{people.lot('p1', 'yes', 1)} {people.lot('p2', 'no', 5)}\n"


def test_a_number_is_joined_as_loud_as_the_word_before_it() -> None:
    loud = np.rint(20_000 * np.sin(np.arange(4000) / 5)).astype(np.int16)
    both = people.joined(loud, np.concatenate([np.zeros(6000, np.int16), loud // 20]))
    assert both.size == pytest.approx(8000 + (0.08 + 0.05) * 16_000, abs=20)  # of the pause 50 ms are left
    first, second = both[:4000].astype(float), both[-4000:].astype(float)
    assert second.std() == pytest.approx(first.std(), rel=0.02)


def test_words_of_people_are_marked_with_the_limits_of_the_assistant() -> None:
    def row(test: str, truth: str, heard: str, confidence: float) -> measure.Row:
        return measure.Row(test, truth, 5, heard, confidence, 1.0, 0.1, heard, "p")

    rows = [
        row(people.PHRASES, "yes", "yes", 0.8),
        row(people.PHRASES, "no", "no", 0.7), row(people.PHRASES, "no", "yes", 0.9),
        row(people.OTHERS, "right", "why", 0.65), row(people.OTHERS, "one", "no", 0.7),
        row(people.JOINED, "count seven", "count seven", 0.8), row(people.JOINED, "count seven", "count eleven", 0.8),
        row(people.TEN, "off", "off", 0.0), row(people.TEN, "off", "up", 1.0),
    ]  # fmt: skip
    found = {line["test"]: (line["right %"], line["wrong %"], line["n"]) for line in measure.table(rows, LIMITS)}
    # By hand: no at 0.7 is below the limit of a moving phrase, as one taken for no is; why at 0.65 is harmless.
    assert found == {
        people.PHRASES: (33.33, 33.33, 3),
        people.OTHERS: (None, 50.0, 2),
        people.JOINED: (50.0, 50.0, 2),
        people.TEN: (50.0, 50.0, 2),
    }


def test_what_is_left_out_without_people_is_said(tmp_path: Path) -> None:
    every, remarks = gathered(Wanted(only=(people_heard.WORDS,)), tmp_path)
    assert people_heard.WORDS not in every
    assert people_heard.MISSING in remarks
    with pytest.raises(SystemExit, match="no recorded people in"):
        gathered(Wanted(people=tmp_path), tmp_path)
