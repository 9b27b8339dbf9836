"""Between phrases are heard by the model and unlike each other; a wake phrase is checked against all of it."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest
from typer.testing import CliRunner

from assistant.__main__ import app
from assistant.idle.intents import INTENTS_HERE, OWN
from assistant.idle.known import people_of
from assistant.idle.opening import first_lines
from assistant.idle.wake import wake_fault
from assistant.language.en import ENGLISH, WRITTEN_ENGLISH
from assistant.settings import Settings
from assistant.voice.adapters.vosk import VoskRecogniser
from assistant.voice.listening.model_files import OWN_MODEL, read_near_words, words_of

KNOWN, NEAR = words_of(OWN_MODEL), read_near_words(OWN_MODEL)
PHRASES = [phrase for name in INTENTS_HERE for phrase in ENGLISH.phrases.phrases(name) if phrase != "{}"]


def test_the_own_model_hears_every_word_of_them() -> None:
    words = {word for phrase in PHRASES for word in phrase.replace("{}", "").split()}
    assert words <= set(KNOWN)


def test_none_is_a_word_that_is_taken_for_a_command() -> None:
    assert not {phrase for phrase in PHRASES if phrase in NEAR}


def test_no_two_of_them_sound_alike() -> None:
    alike = [pair for pair in combinations(PHRASES, 2) if WRITTEN_ENGLISH.wording.sound_alike(*pair)]
    assert not alike


def test_each_says_what_it_does() -> None:
    assert all(ENGLISH.phrases.meaning(one.name).endswith((".", "Kim.", "gearbox.")) for one in OWN)


@pytest.mark.parametrize(
    ("phrase", "fault"),
    [
        ("good morning workshop", ""),
        ("Good Morning", "small letters"),
        ("workshop", "too short"),
        ("one two three four five six", "too short or too long"),
        ("good morning wurkshopp", '"wurkshopp", which the model cannot hear; it knows workshop'),
        ("twenty seven", "is a number"),
        ("new job please", 'has the command "new job" in it'),
        ("extra work", "sounds like the command"),
        ("open jibs", "sounds like the command"),
        ("hello doctor", ""),
    ],
)
def test_a_wake_phrase_is_checked(phrase: str, fault: str) -> None:
    found = wake_fault(phrase, KNOWN if "jibs" not in phrase else (), NEAR)
    assert (fault in found) if fault else found == ""


def test_a_wake_phrase_of_words_near_commands_is_refused() -> None:
    assert "taken for commands" in wake_fault("foster health", KNOWN, NEAR)


def test_it_is_checked_at_the_start_before_anything_is_opened(tmp_path: Path) -> None:
    refused = CliRunner().invoke(app, ["bay", "--wake", "open jibs"], env={"ASSISTANT_HOME": str(tmp_path)})
    assert refused.exit_code == 2
    assert refused.stderr.startswith('The wake phrase "open jibs" has the word "jibs", which the model cannot hear')
    assert not (tmp_path / "journal.sqlite").exists()


def test_names_that_the_model_cannot_hear_are_told_with_what_to_do() -> None:
    people = people_of("Kim, Aoife, Siobhan = shiv on, 4x4")
    told = first_lines(Settings(), VoskRecogniser(ENGLISH), people)
    assert told[0] == "The bay waits. Say: jobs, procedures, or new job. Control-C ends the day."
    assert told[1].startswith("The model cannot hear the names Aoife, Siobhan, 4x4: write beside each how it sounds")
    assert len(first_lines(Settings(wake="good morning workshop"), VoskRecogniser(ENGLISH), people[:1])) == 1


def test_it_is_checked_when_it_is_set(tmp_path: Path) -> None:
    env = {"ASSISTANT_HOME": str(tmp_path)}
    refused = CliRunner().invoke(app, ["settings", "set", "wake", "new job please"], env=env)
    assert refused.exit_code == 2
    assert "wake phrase" in refused.stderr
    assert not (tmp_path / "settings.toml").exists()
    assert CliRunner().invoke(app, ["settings", "set", "wake", "good morning workshop"], env=env).exit_code == 0
