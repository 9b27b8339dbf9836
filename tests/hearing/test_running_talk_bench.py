"""The bench's talk that is meant for nobody: who is in it, that it is alike in every run, and how it is counted."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.voice.ports import RATE
from models.recipe.parting import part_of
from tests.bench import running_talk
from tests.bench.running_talk import Taken, show, sound, states, tracks


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Sixty people, each of whom reads ten seconds, and three pieces of music."""
    folder = tmp_path_factory.mktemp("shared")
    lines = ["kind\tset\tpath\tlabel\tspeaker\tseconds\textra"]
    for who in range(60):
        soundfile.write(folder / f"r{who}.wav", 0.01 * np.sin(np.arange(10 * RATE) / 5), RATE)
        lines.append(f"speech\tlibrispeech_part\tr{who}.wav\t[speech]\tp{who}\t10.0\t")
    for number in range(3):
        soundfile.write(folder / f"m{number}.wav", 0.2 * np.cos(np.arange(3 * RATE) / (3 + number)), RATE)
        lines.append(f"noise\tnoise_music_opsound\tm{number}.wav\tmusic\t-\t3.0\t")
    (folder / "manifest.tsv").write_text("\n".join([*lines, ""]), "utf-8")
    return folder


def test_nobody_who_trained_talks_and_nobody_in_both_parts(shared: Path) -> None:
    said = {split: {path.name for one in tracks(shared, split, ["quiet"]) for path in one.paths}
            for split in ("dev", "test")}  # fmt: skip
    for split, names in said.items():
        assert names == {
            f"r{who}.wav" for who in range(60) if part_of("librispeech_part", f"p{who}") == f"{split}-human"
        }
    assert not said["dev"] & said["test"]
    music = [{path for one in tracks(shared, split, ["music:5"]) for path in one.music} for split in ("dev", "test")]
    assert not music[0] & music[1]


def test_the_talk_is_alike_in_every_run_even_loud_and_with_the_music_so_far_below(shared: Path) -> None:
    [quiet, *_], [loud, *_] = (tracks(shared, "test", [beside]) for beside in ("quiet", "music:10"))
    first, begins = sound(quiet)
    assert np.array_equal(first, sound(quiet)[0])
    assert [name for _, name in begins] == [path.name for path in quiet.paths]
    clip = first[: 10 * RATE].astype(float)
    assert clip.std() == pytest.approx(running_talk._LEVEL, rel=0.02)
    music = sound(loud)[0].astype(float) - first[: sound(loud)[0].size]
    assert 20 * np.log10(clip.std() / music.std()) == pytest.approx(10, abs=0.2)


def test_states_of_a_job_have_phrases_of_their_own() -> None:
    phases = {here.phase for here, _ in states().values()}
    assert {"preparing", "hazard", "doing", "counting", "tightening", "confirming"} <= phases
    assert all(grammar.expected and not grammar.dictation for _, grammar in states().values())


def test_what_was_taken_is_counted_by_what_it_would_do() -> None:
    def one(how: str) -> Taken:
        return Taken("quiet", "doing 4", how, "next", 0.9, "r1.wav", 3.0)

    told = show([("quiet", 1800.0, [one("harmless"), one("asked"), one("unclear")]), ("music:10", 1800.0, [])])
    assert "in an hour, none critical: 1.00 MISSED 0.3" in told
    assert "critical: 0.00 ok 0.3" in show([("quiet", 1800.0, [one("asked"), one("unclear")])])
    assert "critical: 0.10 MISSED 0.3" in show([("quiet", 36_000.0, [one("critical")])])
    assert "critical: 0.10 ok 0.3" in show([("quiet", 36_000.0, [one("moving")])])
