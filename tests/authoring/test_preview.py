"""A preview says what the session says, takes as long as it takes, and tells what is too much."""

import struct
import wave
from pathlib import Path

import mutagen
import numpy as np
import pytest
import soundfile
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.authoring.mind import too_much
from assistant.desk.dry_run import dry_run
from assistant.events import Heard, Say
from assistant.language.en import ENGLISH
from assistant.language.sentence import Sentence
from assistant.procedure.format.reader import read_procedure, read_text
from assistant.session.session import Session
from tests.fakes.mechanic import next_words
from tests.jobs import bare, source_of

ROOT = Path(__file__).parents[2]
WHOLE = sorted([*(ROOT / "procedures").glob("*.yaml"), *(ROOT / "tests" / "procedure" / "good").glob("*.yaml")])
SHORT = ROOT / "procedures" / "coolant-pump-cover.yaml"

TINY = """
procedure: {id: tiny, title: Tiny, revision: 1, source: Bench book, machine: Plate, hazard_scheme: ansi,
            book_time: 30 min}
preliminary: {conditions: [], persons: [], support_equipment: [], supplies: [], spares: [], safety: []}
timers:
  - {id: glue, name: glue time, open: 4 min}
  - {id: drying, name: drying time, cure: 10 min}
chapters:
  - chapter: Glue
    steps:
      - {do: Put the glue on., minutes: 1, starts: glue}
      - {do: Smooth it., minutes: 3}
      - {do: Join the plates., minutes: 2, before: glue, starts: drying}
      - {do: Tidy up., minutes: 4}
      - {wait: Let it dry., timer: drying}
closing: [{check: "Are all the tools back?"}]
"""


def call(*words):
    return CliRunner().invoke(app, [str(word) for word in words])


@pytest.mark.parametrize("path", WHOLE, ids=lambda path: path.stem)
def test_every_sentence_is_one_that_the_session_says_to_another_mechanic(path):
    procedure = read_procedure(path).procedure
    session, now, said = Session(procedure, language=ENGLISH), 0.0, []
    reply = session.open(bare(), now)
    while True:
        said += [effect.text for effect in reply.effects if isinstance(effect, Say)]
        words = next_words(session.view(now))
        if session.closed:
            break
        if words is None:
            now = session.next_tick()
            reply = session.tick(now)
        else:
            now += 1
            phase = session.view(now)["phase"]
            words = ENGLISH.talk.text(Sentence.SECOND_PERSON) if phase == "naming" else words
            reply = session.hear(Heard(words, 1.0, now, now, source=source_of(words, phase)), now)
    turns = [turn for stop in dry_run(procedure, lambda _text, _stop: 0.5) for turn in stop.turns]
    # Sentences about the time that is left differ with the clock; all others are the same, in the same order.
    assert [turn for turn in turns if "left" not in turn] == [turn for turn in said if "left" not in turn]
    assert {stop.step.id for stop in dry_run(procedure, lambda _text, _stop: 0.0) if stop.step} == {
        step.id for step in (*procedure.steps, *procedure.closing)
    }


def test_time_is_work_waits_and_speech_and_an_open_time_that_does_not_hold_is_told():
    procedure = read_text(TINY.encode(), "tiny").procedure
    stops = {stop.title.split()[-1]: stop for stop in dry_run(procedure, lambda _text, _stop: 0.0)}
    # By hand: glue at 1 min, over at 5 min; smoothed at 4 min, joined at 6 min: a minute too late. The drying began
    # at 6 min, the work goes on to 10 min, so that 6 of its 10 minutes are left to wait.
    assert stops["plates."].overdue == ["glue time"]
    assert stops["dry."].waited == pytest.approx(360, abs=10)
    assert sum(stop.hands for stop in stops.values()) == 600
    fast = read_text(TINY.replace("minutes: 3", "minutes: 0.5").encode(), "tiny").procedure
    assert not any(stop.overdue for stop in dry_run(fast, lambda _text, _stop: 0.0))


@pytest.mark.parametrize(
    ("turn", "says"),
    [
        ("Turn it left. Push it in. Hold it there. Look at the mark. Let it go.", "5 things are said in one breath"),
        ("Check the cover, the hose, the clamp, the plug and the tap.", "5 things stand in one sentence"),
        ("Turn the screw two turns and back four turns.", "2 numbers stand in one sentence"),
    ],
)
def test_what_is_too_much_to_hold_is_told(turn, says):
    (fault,) = too_much([f"Step one of two. {turn} Say next when it is done."])
    assert says in fault


def test_what_the_session_says_by_itself_is_not_too_much():
    assert not list(too_much([
        "Stage two of three. Long bolts. Bolts three to four, two, five and one. Twelve newton metres. "
        "Bolt five is hidden: under the hose neck.",
        "At least zero point two millimetres. At most zero point three millimetres.",
        "Have at hand: straight edge and feeler gauges, seal driver, small torque wrench, rags times two.",
        "Step five of sixteen. Put one bead around the face and inside every hole.",
    ]))  # fmt: skip


def vorbis_comments(data):
    """Read the comments of a FLAC file as RFC 9639 (sections 8 and 8.6) lays them out."""
    assert data[:4] == b"fLaC"
    at, last = 4, False
    while not last:
        last, kind = bool(data[at] & 0x80), data[at] & 0x7F
        size = int.from_bytes(data[at + 1 : at + 4], "big")
        block = data[at + 4 : at + 4 + size]
        at += 4 + size
        if kind == 4:
            (vendor,) = struct.unpack_from("<I", block)
            (count,) = struct.unpack_from("<I", block, 4 + vendor)
            place, found = 8 + vendor, {}
            for _ in range(count):
                (length,) = struct.unpack_from("<I", block, place)
                name, _, value = block[place + 4 : place + 4 + length].decode("utf-8").partition("=")
                found[name.upper()] = value
                place += 4 + length
            return found
    return {}


def seconds(stamp):
    hours, minutes, rest = stamp.split(":")
    return int(hours) * 3600 + int(minutes) * 60 + float(rest)


@pytest.mark.audio
def test_the_speech_is_written_with_a_chapter_for_each_step(tmp_path):
    out = tmp_path / "preview.flac"
    result = call("preview", SHORT, "--audio", out)
    assert result.exit_code == 0, result.output
    procedure = read_procedure(SHORT).procedure
    tags = vorbis_comments(out.read_bytes())
    names = [tags[f"CHAPTER{number:03d}NAME"] for number in range(len([t for t in tags if t.endswith("NAME")]))]
    for step in (*procedure.steps, *procedure.closing):
        assert sum(name.endswith(f". {step.text}") for name in names) == 1, step.text
    begins = [seconds(tags[f"CHAPTER{number:03d}"]) for number in range(len(names))]
    sound, rate = soundfile.read(out, dtype="int16")
    assert begins[0] == 0
    assert begins == sorted(set(begins))
    assert begins[-1] < len(sound) / rate
    loud = np.abs(sound.astype(int)) > 200
    for begin in begins:  # a chapter begins where it is said, behind a pause
        at = round(begin * rate)
        assert loud[at : at + rate].any()
        assert not loud[max(0, at - rate // 4) : at].any()
    # The lengths that are printed are those of the chapters, less their pauses of six tenths of a second.
    row = next(line for line in result.output.splitlines() if line.startswith("13. "))
    number = next(place for place, name in enumerate(names) if name.startswith("13. "))
    turns = next(len(stop.turns) for stop in dry_run(procedure, lambda _t, _s: 1.0) if stop.title.startswith("13. "))
    spoken = float(row.split(" s ")[0].split()[-1])
    assert begins[number + 1] - begins[number] == pytest.approx(spoken + 0.6 * turns, abs=0.1)


@pytest.mark.audio
def test_ogg_has_its_chapters_inside_too(tmp_path):
    out = tmp_path / "strip.ogg"
    result = call("preview", SHORT, "--chapter", "strip", "--audio", out)
    assert result.exit_code == 0, result.output
    tags = mutagen.File(out)
    steps = read_procedure(SHORT).procedure.chapters[0].steps
    assert [tags[f"CHAPTER{number:03d}NAME"][0] for number in range(len(steps))] == [
        f"{number}. {step.text}" for number, step in enumerate(steps, 1)
    ]
    assert seconds(tags[f"CHAPTER{len(steps) - 1:03d}"][0]) < soundfile.info(out).duration


@pytest.mark.audio
def test_a_part_goes_into_a_wav_with_a_cue_sheet(tmp_path):
    out = tmp_path / "refit.wav"
    result = call("preview", SHORT, "--chapter", "refit", "--audio", out)
    assert result.exit_code == 0, result.output
    assert "[Refit]" in result.output
    assert "[Strip]" not in result.output
    assert "Book time" not in result.output
    with wave.open(str(out)) as sound:
        length = sound.getnframes() / sound.getframerate()
    cue = (tmp_path / "refit.cue").read_text("utf-8").splitlines()
    marks = [line.split()[-1].split(":") for line in cue if "INDEX 01" in line]
    begins = [int(mm) * 60 + int(ss) + int(ff) / 75 for mm, ss, ff in marks]
    assert len(begins) == 5
    assert begins[0] == 0
    assert begins[-1] < length
    assert cue[1] == 'FILE "refit.wav" WAVE'
    again = call("preview", SHORT, "--chapter", "refit", "--audio", out)
    assert again.exit_code == 8
    assert "is there already" in again.output
    out.unlink()
    again = call("preview", SHORT, "--chapter", "refit", "--audio", out)
    assert again.exit_code == 8, "the cue sheet is not replaced either"
    assert not out.exists()


@pytest.mark.parametrize(
    ("options", "code", "says"),
    [
        (["--chapter", "Paint"], 2, "name one of Preparation, Strip, Clean and check, Refit, Closing"),
        (["--audio", "speech.mp3"], 2, "must end in .flac, .ogg or .wav"),
        (["--audio", "no/folder/speech.flac"], 8, "is not there"),
        (["--rate", "5000"], 2, "words per minute"),
        (["--synthesiser", "nobody"], 2, "synthesiser"),
    ],
)
def test_a_wrong_option_is_one_sentence(options, code, says, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    result = call("preview", SHORT, *options)
    assert result.exit_code == code, result.output
    assert says in result.output
    assert len(result.output.strip().splitlines()) == 1


def test_a_procedure_with_errors_gives_its_findings(tmp_path):
    path = tmp_path / "bad.yaml"
    path.write_text(TINY.replace("timer: drying", "timer: dyring"), "utf-8")
    result = call("preview", path)
    assert result.exit_code == 4
    assert 'did you mean "drying"' in result.output
