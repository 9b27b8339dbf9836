"""The bench's day beside a radio: no hour is another, who speaks to the bay is counted, and it can be gone on with."""

from __future__ import annotations

import json
from dataclasses import asdict
from pathlib import Path

import numpy as np
import pytest
import soundfile

from assistant.hearing.mixing import rms
from assistant.voice.listening.model_files import OWN_MODEL
from assistant.voice.ports import RATE
from tests.bench.idle_day import WAKE_PHRASE, lines_of, missing, note, show
from tests.bench.idle_ear import IdleEar, Waited
from tests.bench.radio import HOUR, LEVELS_DB, PIECE_S, Aired, Piece, air, material, pieces_of
from tests.voice.people import Person, in_room, silence

pytestmark = pytest.mark.timeout(300)
SETS = ("librispeech_part", "asterisk_en_us", "noise_music_opsound", "noise_kitchen", "noise_precise_rooms",
        "noise_opensfx", "noise_snu_b36", "noise_esc10")  # fmt: skip


@pytest.fixture(scope="module")
def shared(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three recordings of ten seconds in each set: noise that stands for people, music and machines."""
    folder = tmp_path_factory.mktemp("radio")
    random = np.random.default_rng(1)
    lines = ["kind\tset\tpath\tlabel\tspeaker\tseconds\textra"]
    for number, name in enumerate(SETS * 3):
        soundfile.write(folder / f"{number}.wav", 0.05 * random.standard_normal(10 * RATE), RATE)
        lines.append(f"any\t{name}\t{number}.wav\train\tp{number}\t10.0\t")
    (folder / "manifest.tsv").write_text("\n".join([*lines, ""]), "utf-8")
    return folder


def test_no_hour_is_the_hour_before_and_each_is_alike_in_every_run(shared: Path) -> None:
    given = material(shared)
    first, second = pieces_of(1), pieces_of(2)
    assert sorted(one.kind for one in first) == sorted(one.kind for one in second) == sorted(HOUR)
    assert [one.kind for one in first] != [one.kind for one in second]
    once, again, other = (air(Piece(hour, 3, "talk, machines"), given) for hour in (1, 1, 2))
    assert np.array_equal(once.samples, again.samples)
    assert once.begins == again.begins != other.begins
    assert (once.level_db, once.samples.size) != (other.level_db, 0)
    assert once.samples.size == round(PIECE_S * RATE)


def test_a_radio_is_as_loud_as_told_and_has_the_band_of_a_small_loudspeaker(shared: Path) -> None:
    for hour in range(3):
        aired = air(Piece(hour, 0, "talk"), material(shared))
        assert LEVELS_DB[0] <= aired.level_db <= LEVELS_DB[1]
        assert 20 * np.log10(rms(aired.samples.astype(float)) / 32_768) == pytest.approx(aired.level_db, abs=1.5)
        power = np.abs(np.fft.rfft(aired.samples[: 60 * RATE].astype(float))) ** 2
        hz = np.fft.rfftfreq(60 * RATE, 1 / RATE)
        inside, above = power[(hz > 500) & (hz < 2500)].mean(), power[hz > 7800].mean()
        assert 10 * np.log10(inside / above) > 4  # the recordings are white: the band is the loudspeaker's


def spoken(*texts: str) -> Aired:
    """What a person near the bay says, with pauses in which the bay answers."""
    person = Person("flite", "slt")
    pieces = [silence(1.0)]
    for text in texts:
        pieces += [person.say(text), silence(8.0)]
    return Aired(in_room(*pieces), -20.0, None, ((0.0, "spoken.wav"),))


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_what_is_said_to_the_bay_is_counted_as_a_wake_and_a_start(shared: Path) -> None:
    ear = IdleEar(shared, OWN_MODEL, 0.0)
    piece = Piece(1, 1, "talk")
    woken = ear.wait_beside(spoken("the weather will be fine", WAKE_PHRASE, "resume"), piece, WAKE_PHRASE)
    assert [(one.intent, one.awake) for one in woken.acted] == [("wake", False), ("resume_job", True)]
    assert woken.windows == 1
    assert [one.split()[0] for one in woken.begun] == ["resume"]
    open_all_day = ear.wait_beside(spoken("open jobs", "resume the job", "confirmed"), piece, "")
    assert [(one.intent, one.awake) for one in open_all_day.acted] == [
        ("list_jobs", False), ("resume_job", True), ("confirmed", True),
    ]  # fmt: skip
    assert len(open_all_day.begun) == 1
    nobody = ear.wait_beside(spoken("open jobs"), piece, WAKE_PHRASE)
    assert (nobody.acted, nobody.windows, nobody.awake_s) == ((), 0, 0.0)
    by_hand = IdleEar(shared, OWN_MODEL, 8.0).wait_beside(spoken("good weather", "procedures"), piece, WAKE_PHRASE)
    assert [(one.intent, one.awake) for one in by_hand.acted] == [("list_procedures", True)]
    assert by_hand.windows == 1
    assert 0 < by_hand.awake_s < by_hand.seconds
    told = show([json.loads(json.dumps(asdict(one))) for one in (woken, nobody)])
    assert "good morning workshop (wake" in told
    assert "talk: resume" in told


def test_a_day_goes_on_where_it_was_and_a_line_that_broke_off_is_heard_again(tmp_path: Path) -> None:
    pieces = pieces_of(7)
    done = [{"hour": 7, "number": piece.number, "wake": ""} for piece in pieces[:5]]
    out = tmp_path / "day.jsonl"
    assert lines_of(out) == []
    out.write_text("".join(f"{json.dumps(one)}\n" for one in done) + '{"hour": 7, "num')
    assert lines_of(out) == done
    note(out, {"hour": 7, "number": pieces[5].number, "wake": WAKE_PHRASE})
    assert lines_of(out) == [*done, {"hour": 7, "number": pieces[5].number, "wake": WAKE_PHRASE}]
    left = missing([7], ["", WAKE_PHRASE], lines_of(out))
    assert [wakes for _, wakes in left] == [(WAKE_PHRASE,)] * 5 + [("",)] + [("", WAKE_PHRASE)] * 6
    assert missing([7], [""], [{"hour": 7, "number": piece.number, "wake": ""} for piece in pieces]) == []


def test_nothing_in_an_hour_may_still_be_some_in_an_hour() -> None:
    quiet = Waited(1, 0, "music", "", 0.0, -30.0, None, 3600.0, 0.0, 0, 400.0, (), (), ())
    told = show([asdict(quiet)])
    # Exact Poisson limits as in Garwood, Biometrika 28, 1936, from memory: none in an hour is up to 3.689.
    assert "3.69" in told
    assert "400 s of one core an hour" in told
