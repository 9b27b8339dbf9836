"""``assistant test-hearing``: intervals as printed elsewhere, counts by hand, recordings whose words are known."""

import json
import math

import numpy as np
import pytest
import soundfile
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.events import Thresholds
from assistant.hearing.mixing import AFTER_S, BEFORE_S, mixed
from assistant.hearing.score import HourlyRate, Marks, Share, Trial, confusions, snr_rows
from assistant.terminal.exits import Exit
from tests.voice.noises import compressor
from tests.voice.people import Person

RATE = 16_000
LIMITS = Thresholds(0.4, 0.6, 0.8)
PEOPLE = (Person("flite", "rms"), Person("espeak-ng", "en-us"))
FORMATS = [
    ("wav", 16_000, "PCM_16"), ("flac", 44_100, "PCM_16"), ("ogg", 48_000, "VORBIS"), ("wav", 8_000, "FLOAT"),
    ("opus", 48_000, "OPUS"), ("wav", 22_050, "PCM_24"), ("mp3", 44_100, "MPEG_LAYER_III"), ("wav", 96_000, "ULAW"),
]  # fmt: skip
HEAD = "path\tlabel\tspeaker\tseconds\n"


def hearing_test(*words):
    result = CliRunner().invoke(app, ["test-hearing", *map(str, words)])
    assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
    return result


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """Three phrases by two people, and one sentence that is none, in many formats and rates."""
    made = tmp_path_factory.mktemp("set")
    lines = []
    for number, text in enumerate(["go back", "which bolts", "carry on", "the radio is far too loud"]):
        for person, kind in zip(PEOPLE, FORMATS[2 * number :], strict=False):
            name, hz, subtype = f"{number}-{person.engine}.{kind[0]}", *kind[1:]
            speech = person.say(text).astype(float) / 32_768
            t = np.arange(round(speech.size * hz / RATE)) * RATE / hz
            sound = np.interp(t, np.arange(speech.size), speech)
            container = {"opus": "OGG", "ogg": "OGG"}.get(kind[0], kind[0].upper())
            soundfile.write(made / name, np.stack([sound, sound], axis=1), hz, subtype, format=container)
            label = text.replace(" ", "_").upper() if number == 0 else text
            lines.append(f"{name}\t{label}\t{person.engine}\t{sound.size / hz:.2f}\n")
    (made / "all.tsv").write_text("﻿" + HEAD + "".join(lines), "utf-8")
    noise = compressor(6.0, np.random.default_rng(1))
    soundfile.write(made / "noise.wav", 0.2 * noise / np.abs(noise).max(), RATE)
    (made / "noise.tsv").write_text("path\nnoise.wav\n")
    return made


@pytest.mark.parametrize(
    ("hits", "trials", "low", "high"),
    [
        # Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17, 1998,
        # table I, method 3 (Wilson), from memory: 81/263, 15/148, 0/20, 1/29.
        (81, 263, 0.2553, 0.3662),
        (15, 148, 0.0624, 0.1605),
        (0, 20, 0.0000, 0.1611),
        (1, 29, 0.0061, 0.1718),
    ],
)
def test_the_interval_of_a_share_is_the_printed_one(hits, trials, low, high):
    assert Share(hits, trials).interval == (pytest.approx(low, abs=5e-5), pytest.approx(high, abs=5e-5))


@pytest.mark.parametrize(
    ("count", "low", "high"),
    # Exact Poisson limits as in Garwood, Biometrika 28, 1936, from memory: 0 gives 3.689, 1 gives 0.0253 and 5.572.
    [(0, 0.0, 3.689), (1, 0.0253, 5.572), (10, 4.795, 18.39), (100, 81.36, 121.63)],
)
def test_the_interval_of_a_rate_is_the_exact_one(count, low, high):
    assert HourlyRate(count, 1.0).interval == (pytest.approx(low, abs=5e-3), pytest.approx(high, abs=5e-3))
    assert HourlyRate(count, 2.0).interval == (pytest.approx(low / 2, abs=5e-3), pytest.approx(high / 2, abs=5e-3))


def test_recordings_are_counted_as_the_docs_say():
    trials = [
        Trial("next", "a", None, "next", 0.9),
        Trial("next", "a", None, "done", 0.9),  # another phrase for the same thing
        Trial("next", "a", None, "next", 0.5),  # below the limit of what moves the job
        Trial("next", "b", None, "cancel", 0.9),
        Trial("confirmed", "b", None, "confirmed", 0.7),  # below the limit of what is critical
        Trial("repeat", "b", None, "repeat", 0.5),
        Trial("count seventeen", "b", None, "count one seven", 0.9),
        Trial("count seventeen", "b", None, "count seventy", 0.9),
        Trial("teapot", "b", None, "repeat", 0.9),
        Trial("teapot", "b", None, "", 0.0),
        Trial("", "b", None, "next", 0.5),
        Trial("next", "b", 5.0, "", 0.0),
    ]
    clean, noisy = snr_rows(trials, Marks((), LIMITS))
    assert (clean.recall.hits, clean.wrong.hits, clean.miss.hits, clean.recall.trials) == (4, 2, 2, 8)
    assert (clean.false_accept.hits, clean.false_accept.trials) == (1, 3)
    assert (noisy.snr, noisy.miss.hits, noisy.recall.trials, noisy.false_accept.value) == (5.0, 1, 1, None)
    assert confusions(trials, Marks((), LIMITS))["next", "cancel"] == 1
    (forced,) = snr_rows(
        [Trial("left", "a", None, "left", 0.1), Trial("up", "a", None, "left", 0.1)], Marks(("left", "right"), None)
    )
    assert (forced.recall.hits, forced.recall.trials, forced.false_accept.hits) == (1, 1, 1)


@pytest.mark.parametrize("snr", [20.0, 5.0, -5.0])
def test_the_noise_lies_as_far_below_the_recordings_own_level_as_asked(snr):
    random = np.random.default_rng(3)
    clip = np.rint(random.normal(0, 1500, RATE)).astype(np.int16)
    noise = np.rint(random.normal(0, 200, 3 * RATE)).astype(np.int16)
    both = mixed(clip, noise, snr, np.random.default_rng(1)).astype(float)
    before = both[: round(BEFORE_S * RATE)]
    assert both.size == clip.size + round((BEFORE_S + AFTER_S) * RATE)
    # What was scaled to keep it from clipping was scaled as a whole: the clip's part is found by least squares.
    part = both[before.size : before.size + clip.size]
    scale = float(part @ clip) / float(clip.astype(float) @ clip)
    measured = 20 * math.log10(scale * clip.std() / before.std())
    assert measured == pytest.approx(snr, abs=0.6)
    assert np.abs(both).max() <= 32_767


@pytest.mark.audio
def test_phrases_in_any_format_are_heard_and_a_sentence_is_not(folder, tmp_path):
    out, picture = tmp_path / "out.json", tmp_path / "out.png"
    result = hearing_test(
        folder / "all.tsv",
        "--phrases",
        "--noise",
        folder / "noise.tsv",
        "--snr",
        "20",
        "--json",
        out,
        "--picture",
        picture,
    )
    assert result.exit_code == 0, result.output
    assert "8 recordings of 2 speakers" in result.output
    clean, noisy = json.loads(out.read_text())["rows"]
    assert (clean["snr"], clean["n"], clean["n_other"], noisy["snr"]) == ("clean", 6, 2, 20.0)
    assert clean["recall"] >= 4 / 6
    assert clean["recall"] + clean["wrong"] + clean["miss"] == pytest.approx(1)
    assert clean["false_accept"] == 0
    assert clean["recall_interval"][0] < clean["recall"] <= clean["recall_interval"][1]
    assert picture.read_bytes().startswith(b"\x89PNG")


@pytest.mark.audio
def test_a_closed_set_takes_what_is_near_for_one_of_it_and_running_speech_is_counted_by_the_hour(folder, tmp_path):
    out = tmp_path / "out.json"
    # "Which bolts" is none of this set; with everything open it would be heard as itself.
    result = hearing_test(
        folder / "all.tsv", "--closed", "go back,which bolt", "--json", out, "--negatives", folder / "all.tsv"
    )
    assert result.exit_code == 0, result.output
    told = json.loads(out.read_text())
    [row] = told["rows"]
    assert (row["n"], row["n_other"], told["limits"]) == (2, 6, None)
    assert row["recall"] == 1
    assert row["false_accept"] >= 2 / 6
    assert told["negatives"]["hours"] == pytest.approx(0.003, abs=0.002)


@pytest.mark.audio
def test_the_same_recordings_meet_the_same_noise_again(folder, tmp_path):
    told = []
    for name in ("one.json", "two.json"):
        hearing_test(
            folder / "all.tsv", "--limit", "5", "--noise", folder / "noise.tsv", "--snr", "0", "--json", tmp_path / name
        )
        told.append(json.loads((tmp_path / name).read_text())["rows"])
    assert told[0] == told[1]
    assert told[0][0]["n"] + told[0][0]["n_other"] == 5


@pytest.mark.parametrize(
    ("text", "options", "sentence", "code"),
    [
        (None, [], "There is no list of recordings", Exit.PROCEDURE),
        ("", [], "lists no recording", Exit.PROCEDURE),
        (HEAD, [], "lists no recording below its first line", Exit.PROCEDURE),
        (
            "file\tword\nx.wav\tnext\n",
            [],
            "has no column path or label: name the columns path, label, speaker, seconds",
            Exit.PROCEDURE,
        ),
        (
            HEAD + "gone.wav\tnext\ta\t1\ngone2.wav\tnext\ta\t1\n",
            [],
            "names 2 of 2 recordings that are not there",
            Exit.PROCEDURE,
        ),
        (HEAD + "list.tsv\tnext\ta\t1\n", [], "is not a recording that can be read", Exit.DEVICE),
        (HEAD + "list.tsv\tnext\ta\t1\n", ["--snr", "5"], "--snr needs recordings of noise", Exit.USAGE),
        (HEAD + "list.tsv\tnext\ta\t1\n", ["--closed", "left"], "at least two words", Exit.USAGE),
        (
            HEAD + "list.tsv\tnext\ta\t1\n",
            ["--closed", "gaskett,next"],
            'cannot hear "gaskett" (it knows "gasket")',
            Exit.USAGE,
        ),
        (HEAD + "list.tsv\tnext\ta\t1\n", ["--noise", "LIST", "--snr", "loud"], "is no list of decibels", Exit.USAGE),
        (HEAD + "list.tsv\tnext\ta\t1\n", ["--picture", "x.docx"], "name it .png, .svg or .pdf", Exit.USAGE),
        (
            HEAD + "list.tsv\tnext\ta\t1\n",
            ["--json", "/no/folder/x.json"],
            "the folder /no/folder is not there: make it first",
            Exit.OUTPUT,
        ),
        (HEAD + "list.tsv\tnext\ta\t1\n", ["--model", "/nowhere"], "There is no speech model in /nowhere", Exit.DEVICE),
    ],
)
def test_what_cannot_be_used_gets_one_sentence_and_its_exit_code(tmp_path, text, options, sentence, code):
    listed = tmp_path / "list.tsv"
    if text is not None:
        listed.write_text(text)
    result = hearing_test(listed, *[str(listed) if option == "LIST" else option for option in options])
    assert result.exit_code == code
    assert sentence in result.output
    assert len(result.output.strip().splitlines()) <= 2, result.output


def test_a_list_without_names_has_the_usual_columns(tmp_path):
    (tmp_path / "list.tsv").write_text("gone.wav\tnext\ta\t1.0\n")
    assert "names 1 of 1 recordings" in hearing_test(tmp_path / "list.tsv").output


def test_without_anything_to_hear_it_says_what_to_name():
    assert "Name a list of recordings" in hearing_test().output
