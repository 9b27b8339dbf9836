"""A voice of their own: the file, what is learnt, and a recogniser that hears whoever works by their own voice."""

from __future__ import annotations

import itertools
import json
import stat
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from assistant.bay.job_opening import open_job
from assistant.bay.runner import JobRunner
from assistant.bay.screen import Screen
from assistant.events import Clarity, Grammar, Heard, Thresholds
from assistant.journal.opening import open_journal
from assistant.language.en import ENGLISH
from assistant.procedure.format.reader import read_procedure
from assistant.settings import Settings
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.limits import hash_of_net
from assistant.voice.listening.model_files import OWN_MODEL
from assistant.voice.own.chances import SideBySide, Ways
from assistant.voice.own.fitted import fitted_model
from assistant.voice.own.learning import VoiceChange, as_heard, learn, lessons, sureness
from assistant.voice.own.net import NarrowNet
from assistant.voice.own.profile import HeardCount, Profile, ProfileFault, profile_path, read_profile, write_profile
from assistant.voice.own.sounds import Dictionary
from assistant.voice.own.tables import tables
from assistant.voice.own.voices import hear_everybody
from assistant.voice.ports import Recogniser
from tests.fakes.silent_speaker import SilentSpeaker
from tests.jobs import SHORT
from tests.voice.people import Person, blocks, in_room, silence

PHRASES = ("next", "go back", "repeat stage", "yes")
RMS = Person("flite", "rms")
NOON = 1_790_000_000.0


def profile(name: str, factor: float = 1.0, width: int = 0, net: str = "") -> Profile:
    """A profile whose every factor is ``factor``."""
    width = width or NarrowNet(OWN_MODEL).width
    change = VoiceChange(np.full(width, factor), np.zeros(width))
    made_for = net or hash_of_net(OWN_MODEL)
    return Profile(name, made_for, "desk", "2026-11-27", HeardCount(10, 2, 20), HeardCount(15, 1, 20), change)


def test_a_profile_comes_back_from_its_file_which_is_for_its_owner_alone_and_names_nobody(tmp_path: Path) -> None:
    kept = replace(
        profile("Kim Example", width=3), change=VoiceChange(np.array([1.0, 0.9, 1.2]), np.array([0.0, -1.5, 2.0]))
    )
    path = write_profile(tmp_path / "voices", kept)
    found = read_profile(profile_path(tmp_path / "voices", " kim  EXAMPLE "))
    assert found is not None
    assert (found.name, found.net, found.without, found.with_it) == (kept.name, kept.net, kept.without, kept.with_it)
    assert np.array_equal(found.change.factor, kept.change.factor)
    assert np.array_equal(found.change.offset, kept.change.offset)
    assert stat.S_IMODE(path.stat().st_mode) == 0o600
    assert stat.S_IMODE(path.parent.stat().st_mode) == 0o700
    assert "kim" not in path.name.lower()
    assert read_profile(profile_path(tmp_path / "voices", "Robin Example")) is None


@pytest.mark.parametrize(
    "damage",
    [
        {"version": 2},
        {"factor": [1.0, 1e9, 1.0]},
        {"factor": [1.0, float("nan"), 1.0]},
        {"factor": [True, 1.0, 1.0]},
        {"factor": []},
        {"offset": [0.0]},
        {"offset": [0.0, 99.0, 0.0]},
        {"offset": "000"},
        {"name": "Kim\x1b[2J"},
        {"name": 3},
        {"with": [30, 0, 20]},
        {"with": [1, 2]},
        {"net": None},
    ],
)
def test_a_file_that_anybody_may_have_written_gets_one_sentence(tmp_path: Path, damage: dict[str, object]) -> None:
    path = write_profile(tmp_path, profile("Kim Example", width=3))
    path.write_text(json.dumps(json.loads(path.read_text()) | damage))
    with pytest.raises(ProfileFault) as caught:
        read_profile(path)
    assert "make it anew with assistant voice" in caught.value.sentence
    assert "\n" not in caught.value.sentence


@pytest.mark.parametrize("text", ["", "[]", "{", "[" * 100_000, "\udc80", '{"version": 1}', "1" * 300_000])
def test_a_file_that_is_no_profile_at_all_gets_one_sentence(tmp_path: Path, text: str) -> None:
    path = tmp_path / "some.json"
    path.write_bytes(text.encode("utf-8", "surrogateescape"))
    with pytest.raises(ProfileFault):
        read_profile(path)


def test_a_link_in_its_place_is_not_followed(tmp_path: Path) -> None:
    there = write_profile(tmp_path / "elsewhere", profile("Kim Example", width=3))
    (tmp_path / "link.json").symlink_to(there)
    with pytest.raises(ProfileFault):
        read_profile(tmp_path / "link.json")


def test_words_are_said_in_the_model_as_the_dictionary_has_them() -> None:
    """Pronunciations from the CMU dictionary, by hand: yes Y EH S, no N OW, carry K AE R IY or K EH R IY."""
    dictionary = Dictionary(OWN_MODEL)
    assert [len(way) for way in dictionary.ways("yes")] == [3]
    assert [len(way) for way in dictionary.ways("no")] == [2]
    assert {len(way) for way in dictionary.ways("carry on")} == {6, 7}  # with a pause and without
    assert dictionary.ways("no")[0][0] == dictionary.ways("next")[0][0]  # N at the beginning of a word
    assert dictionary.ways("xyzzy") == []


def test_a_change_alters_the_narrow_layer_and_nothing_else(tmp_path: Path) -> None:
    record = (OWN_MODEL / "am/final.mdl").read_bytes()
    before = {name: (weights.read(record), bias.read(record)) for name, weights, bias in tables(record)}
    width = before["last"][1].size
    change = VoiceChange(np.linspace(0.8, 1.2, width), np.linspace(-1, 1, width))
    with fitted_model(OWN_MODEL, change) as folder:
        made = (folder / "am/final.mdl").read_bytes()
        assert stat.S_IMODE(folder.stat().st_mode) == 0o700
    assert not folder.exists()
    for name, weights, bias in tables(made):
        wanted, offset = before[name]
        if name == "last":
            wanted, offset = wanted * change.factor[:, None], offset * change.factor + change.offset
        assert np.allclose(weights.read(made), wanted, atol=2 * np.ptp(wanted) / 65_535)
        assert np.allclose(bias.read(made), offset, atol=1e-5)
    with (
        pytest.raises(ValueError, match="another width"),
        fitted_model(OWN_MODEL, VoiceChange(np.ones(3), np.zeros(3))),
    ):
        pass


def test_the_chance_of_a_way_is_that_of_all_times_at_which_its_sounds_may_begin() -> None:
    """Against all rows of times, written out one by one; the slope against small steps of each score.

    Two recordings side by side, of six frames with two ways and of four frames with one.
    """
    random = np.random.default_rng(3)
    tables = [random.normal(0, 2, (6, 6)), random.normal(0, 2, (4, 4))]
    ways = [
        Ways(
            np.array(["a", "b"], object),
            np.array([0.0, 0.7]),
            np.array([[0, 2, 4], [0, 4, 0]]),
            np.array([[1, 3, 5], [1, 5, 1]]),
            np.array([2, 1]),
            np.arange(6),
        ),
        Ways(
            np.array(["a"], object),
            np.zeros(1),
            np.array([[0, 2]]),
            np.array([[1, 3]]),
            np.array([1]),
            np.arange(4),
        ),
    ]
    beside = SideBySide(ways, [len(table) for table in tables])

    def written_out(n: int, row: int) -> float:
        table, way, total = tables[n], ways[n], -np.inf
        last = int(way.last[row])
        for begins in itertools.combinations(range(1, len(table)), last):
            times = [0, *begins, len(table)]
            spent = [
                table[t, (way.enter if t == times[k] else way.stay)[row, k]]
                for k in range(last + 1)
                for t in range(times[k], times[k + 1])
            ]
            total = np.logaddexp(total, sum(spent))
        return float(total - way.costs[row])

    sums = beside.sums(tables)
    assert np.allclose(sums.chances[0], [written_out(0, 0), written_out(0, 1)])
    assert np.allclose(sums.chances[1], [written_out(1, 0), -np.inf])
    weights = np.array([[1.0, -0.5], [2.0, 0.0]])
    for n, slope in enumerate(beside.slopes(sums, weights)):
        for place in np.ndindex(tables[n].shape):
            was = tables[n][place]
            ends = []
            for step in (1e-5, -1e-5):
                tables[n][place] = was + step
                chances = beside.sums(tables).chances
                ends.append(chances[0] @ weights[0] + 2.0 * chances[1, 0])
            tables[n][place] = was
            assert slope[place] == pytest.approx((ends[0] - ends[1]) / 2e-5, abs=1e-6)


def test_learning_makes_a_small_change_and_always_the_same_and_surer_of_what_it_learnt_from() -> None:
    net, dictionary = NarrowNet(OWN_MODEL), Dictionary(OWN_MODEL)
    clips = [(text, RMS.say(text)) for text in (*PHRASES[:2], "xyzzy next")]
    given = lessons(net, dictionary, clips, PHRASES, ("text", "necks", "yet"))
    assert [len(of_clip) for of_clip in given] == [2, 2, 0]  # in quiet and in hiss; nothing of an unknown word
    taught = [one for of_clip in given for one in of_clip]
    change, again = learn(taught), learn(taught)
    assert change.factor.shape == change.offset.shape == (net.width,)
    assert 0.001 < float(np.std(change.factor)) < 0.2
    assert np.array_equal(change.factor, again.factor)
    half = change.part(0.5)
    assert np.allclose(half.factor - 1, (change.factor - 1) / 2)
    assert np.allclose(half.offset, change.offset / 2)
    assert sureness(taught, change).mean() > sureness(taught, half).mean() > sureness(taught, change.part(0.0)).mean()


def test_hiss_lies_as_far_below_a_clip_as_is_asked_for() -> None:
    clip = RMS.say("next")
    quiet, ten, five = (sound.astype(float) for sound in as_heard(clip, (None, 10.0, 5.0)))
    level = 10 * np.log10(np.mean(clip.astype(float) ** 2))
    for sound, over in ((ten, 10.0), (five, 5.0)):
        hiss = sound[: int(0.3 * 16_000)]  # before anything is said; the whole of it is as loud within a decibel or two
        assert level - 10 * np.log10(np.mean(hiss**2)) == pytest.approx(over, abs=2.5)
    assert np.std(quiet[: int(0.3 * 16_000)]) == pytest.approx(2.0, abs=0.2)


def hear(recogniser: Recogniser, text: str) -> str:
    recogniser.start()
    for block in blocks(in_room(silence(0.24), RMS.say(text), silence(0.2))):
        recogniser.feed(block.samples)
    heard = recogniser.finish(0.0, 1.0)
    return heard.text if heard.clarity is Clarity.PHRASE else ""


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_whoever_works_is_heard_by_their_own_voice_and_nobody_else_is(tmp_path: Path) -> None:
    """With a net that was changed out of all likeness nothing is heard: so it shows whose profile is in use."""
    told: list[str] = []
    write_profile(tmp_path, profile("Kim Example"))
    write_profile(tmp_path, profile("Robin Example", factor=0.2))
    write_profile(tmp_path, profile("Sam Example", factor=0.2, net="0" * 64))
    (profile_path(tmp_path, "Alex Example")).write_text("{}")
    ear = hear_everybody(OWN_MODEL, tmp_path, told.append, lambda: "headset")
    limits = ear.limits
    grammar = Grammar(PHRASES)
    for name, is_heard, says in [
        ("", True, None),
        ("Robin Example", False, "was made with the microphone desk, not this one: it is used, but make it anew"),
        ("Jo Example", True, None),
        ("kim example", True, "was made with the microphone desk"),
        ("Robin Example", False, None),  # it is kept, and was told
        ("Sam Example", True, "was made for another speech model, and is not used: make it anew"),
        ("Alex Example", True, "is of another version"),
        ("", True, None),
    ]:
        told.clear()
        ear.set_grammar(replace(grammar, by=name))
        assert (hear(ear, "go back") == "go back") is is_heard, name
        assert len(told) == (says is not None), told
        assert says is None or says in told[0]
    assert ear.limits == limits
    assert VoskRecogniser(ENGLISH).limits == limits


@pytest.mark.audio
@pytest.mark.xdist_group("recognisers")
def test_a_hand_over_changes_the_voice_at_once(tmp_path: Path) -> None:
    """A job with its own journal and the real recogniser; who is named by the hand-over is heard with no profile."""
    write_profile(tmp_path / "voices", profile("Kim Example", factor=0.2))
    told: list[str] = []
    ear = hear_everybody(OWN_MODEL, tmp_path / "voices", told.append, str)
    names = Settings(operator="Kim Example, Robin Example")
    with open_journal(tmp_path) as journal:
        opened = open_job(journal, read_procedure(SHORT), SHORT.name, names, Thresholds(), NOON)
        runner = JobRunner(opened, SilentSpeaker(), Screen(), listen_for=ear.set_grammar)
        runner.begin(NOON)
        now = NOON
        assert hear(ear, "go back") == ""
        assert told == ["The voice profile of Kim Example is used."]
        for phrase in ("hand over", "confirmed", "take over"):
            now += 5.0
            runner.hear(Heard(phrase, 1.0, now - 1.0, now), now)
        assert runner.session.grammar().by == "Robin Example"
        assert hear(ear, "repeat") == "repeat"
        for phrase in ("hand over", "confirmed", "take over"):
            now += 5.0
            runner.hear(Heard(phrase, 1.0, now - 1.0, now), now)
        assert hear(ear, "repeat") == ""
        assert len(told) == 1
