"""``assistant voice``: what is asked for and refused, what is told of a voice, and that ``forget`` takes it away."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from assistant.cli.printing.forget import forget_job
from assistant.events import Grammar, Heard
from assistant.hearing.booth import Answer
from assistant.hearing.options import VoiceOptions
from assistant.hearing.own_voice import (
    known_voices,
    recordings_of,
    run_voice,
    still_wanted,
    trouble_with,
)
from assistant.hearing.record import keep_recording
from assistant.hearing.score import as_meant
from assistant.hearing.voice_made import HeardAs, HeldBack, TriedVoice, VoiceLearner
from assistant.hearing.voice_prompts import MOST_PROMPTS, voice_prompts
from assistant.journal.opening import open_journal
from assistant.terminal.exits import Exit
from assistant.voice.listening.model_files import OWN_MODEL
from assistant.voice.own.learning import VoiceChange
from assistant.voice.own.profile import VOICES, profile_path, write_profile
from tests.jobs import SHORTEST, work
from tests.voice.people import Person, silence
from tests.voice.test_own_voices import profile

RMS = Person("flite", "rms")
FAR = Person("espeak-ng", "en-029")


@pytest.fixture
def kept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path / "home"))
    return tmp_path / "home"


def white(seconds: float, level_db: float) -> np.ndarray:
    noise = np.random.default_rng(1).standard_normal(round(seconds * 16_000))
    return np.rint(32_768 * 10 ** (level_db / 20) * noise).astype(np.int16)


def test_what_is_asked_for_are_phrases_of_ours_and_the_same_again_after_a_break(kept: Path) -> None:
    asked = voice_prompts("Kim Example")
    assert len(asked) == MOST_PROMPTS
    assert all(as_meant(text) for text in asked)
    assert Counter(asked)["yes"] == Counter(asked)["next"] == 2
    assert asked == voice_prompts("kim  example") != voice_prompts("Robin Example")
    listing = recordings_of(kept, "Kim Example")
    for text in asked[:3]:
        keep_recording(listing, listing.parent / "sound", text, silence(0.1), "Kim Example")
    left = still_wanted("Kim Example", listing)
    assert Counter(left) + Counter(asked[:3]) == Counter(asked)
    assert still_wanted("Robin Example", recordings_of(kept, "Robin Example")) == voice_prompts("Robin Example")


def test_an_answer_that_teaches_nothing_gets_one_sentence() -> None:
    heard = Heard("next", 0.9, 0.0, 1.0)
    plain = np.concatenate([white(0.2, -60), RMS.say("next"), white(0.2, -60)])
    assert trouble_with(Answer(heard, plain), -60.0) == ""
    assert "I hear nothing" in trouble_with(Answer(None, plain), -60.0)
    clipped = np.clip(plain.astype(np.int32) * 8, -32_768, 32_767).astype(np.int16)
    assert "too strong" in trouble_with(Answer(heard, clipped), -60.0)
    noisy = trouble_with(Answer(heard, white(1.0, -30)), -31.4)
    assert "noise" in noisy
    assert noisy.count(".") <= 2


def test_a_voice_is_listed_used_or_not_and_goes_with_the_job_that_is_forgotten(
    kept: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    width = 256
    for one in (profile("Kim Example", width=width), profile("Robin Example", width=width, net="0" * 64)):
        write_profile(kept / VOICES, one)
    listing = recordings_of(kept, "Kim Example")
    keep_recording(listing, listing.parent / "sound", "next", silence(0.1), "Kim Example")
    (profile_path(kept / VOICES, "Sam Example")).write_text("{}")
    assert {one.name: one.is_used for one in known_voices(kept, OWN_MODEL) if " " in one.name} == {
        "Kim Example": True,
        "Robin Example": False,
    }
    assert run_voice("", VoiceOptions(list=True)) is Exit.OK
    shown = capsys.readouterr().out
    assert "Kim Example" in shown
    assert "10 -> 15 of 20" in shown
    assert "made for another speech model: make it anew" in " ".join(shown.split())
    with open_journal(kept) as journal:
        job = work(journal, SHORTEST, operator="Kim Example")
    assert forget_job(job, sure=False) is Exit.USAGE
    assert "voice profiles of who worked on it" in capsys.readouterr().err
    assert forget_job(job, sure=True) is Exit.OK
    assert "1 voice profile removed" in capsys.readouterr().out
    assert not profile_path(kept / VOICES, "Kim Example").exists()
    assert not listing.parent.exists()
    assert profile_path(kept / VOICES, "Robin Example").exists()
    assert run_voice("Robin Example", VoiceOptions(forget=True)) is Exit.OK
    assert not profile_path(kept / VOICES, "Robin Example").exists()


def test_names_and_lists_that_cannot_be_used_get_one_sentence(
    kept: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    listing = tmp_path / "few.tsv"
    for text in ("yes", "no"):
        keep_recording(listing, tmp_path / "few", text, RMS.say(text), "Kim Example")
    head, line = listing.read_text("utf-8").splitlines()[:2]
    many, strange = tmp_path / "many.tsv", tmp_path / "strange.tsv"
    many.write_text("\n".join([head, *[line] * 241]), "utf-8")
    strange.write_text("\n".join([head, line.replace("\tyes\t", "\txyzzy\t"), *[line] * 23]), "utf-8")
    for name, options, says in [
        ("Kim Example", VoiceOptions(recordings=listing), "2 recordings are too few to learn a voice from: give 24"),
        ("Kim Example", VoiceOptions(recordings=many), "241 recordings would take hours to learn from: give 240"),
        ("Kim Example", VoiceOptions(recordings=strange), 'The model does not know "xyzzy"'),
        ("Kim Example", VoiceOptions(recordings=tmp_path / "none.tsv"), "There is no list of recordings"),
        ("Kim, Robin", VoiceOptions(recordings=listing), "without commas"),
        ("Kim\x1b", VoiceOptions(recordings=listing), "A name is one line"),
    ]:
        assert run_voice(name, options) is not Exit.OK
        said = capsys.readouterr().err
        assert says in " ".join(said.split())
        assert not (kept / VOICES).exists()


R, W, N = HeardAs.RIGHT, HeardAs.WRONG, HeardAs.NOTHING


def tried(*heard: tuple[str, str], surer: tuple[float, ...]) -> TriedVoice:
    """Recordings, each with what it was taken for in quiet, at 10 and at 5 dB, before and after: right, wrong, not."""
    letters = {"r": R, "w": W, "n": N}
    held_back = [
        HeldBack("next", tuple(letters[one] for one in without), tuple(letters[one] for one in with_it), (sure, sure))
        for (without, with_it), sure in zip(heard, surer, strict=True)
    ]
    return TriedVoice(VoiceChange(np.ones(3), np.zeros(3)), held_back)


@pytest.mark.parametrize(
    ("heard", "surer", "helps"),
    [
        ((("rnn", "rrn"), ("rrr", "rrr"), ("rrr", "rrr")), (0.3, 0.2, 0.25), True),
        ((("rnn", "rnn"), ("rrr", "rrr"), ("rrr", "rrr")), (0.3, 0.2, 0.25), False),  # nothing more is right
        ((("rnn", "rrr"), ("rrr", "nrr"), ("rrr", "rrr")), (0.3, 0.2, 0.25), False),  # a word of the quiet is lost
        ((("rnn", "rrr"), ("rrn", "rrw"), ("rrr", "rrr")), (0.3, 0.2, 0.25), False),  # something more is wrong
        ((("rnn", "rrn"), ("rrr", "rrr"), ("rrr", "rrr")), (2.0, -0.3, 0.1), False),  # one word alone made it surer
    ],
)
def test_a_profile_is_used_only_where_more_was_right_and_nothing_was_lost_and_not_by_chance(
    heard: tuple[tuple[str, str], ...], surer: tuple[float, ...], helps: bool
) -> None:
    assert tried(*heard, surer=surer).helps is helps


def test_how_much_surer_is_a_t_of_the_recordings() -> None:
    """By hand: the mean of 1, 2, 3 is 2, its standard error the root of a third."""
    assert tried(*[("rrr", "rrr")] * 3, surer=(1.0, 2.0, 3.0)).surer == pytest.approx(2 * 3**0.5)
    assert tried(("rrr", "rrr"), surer=(5.0,)).surer == 0.0


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_what_is_learnt_is_judged_by_recordings_it_was_not_learnt_from() -> None:
    """A synthetic voice far from those that trained: its words grow surer where each of them was held back."""
    texts = ("next", "repeat", "cancel", "confirmed", "go back", "help")
    learner = VoiceLearner(OWN_MODEL, Grammar(texts))
    made = learner.tried([(text, FAR.say(text)) for text in texts])
    assert [one.text for one in made.held_back] == list(texts)
    assert made.without.of == made.with_it.of == 18  # each in quiet, at 10 and at 5 dB
    assert made.surer > 0
    assert made.with_it.right >= made.without.right
    assert 0.0005 < float(np.std(made.change.factor)) < 0.1
