"""The model that ships: small, quick to load, and able to hear a voice that training never heard (flite's ``slt``)."""

import json
import shutil
import subprocess
import time
import wave
from pathlib import Path

import pytest
import vosk

from assistant.language.en.phrases import phrases
from assistant.session.intents import INTENTS
from assistant.voice.adapters.vosk import check_model

MODEL = Path(__file__).parents[2] / "models/bay-en"
PHRASES = [phrase for intent in INTENTS for phrase in phrases(intent.name)]
SPOKEN = ("next", "go back", "repeat", "say that again", "where am i", "which bolts", "what torque", "how many bolts",
          "cancel", "carry on", "take a note", "end note", "slower", "start the timer", "time left")  # fmt: skip
LOAD_S, SIZE_MB, MOST_MISSED = 0.5, 20, 3
"""Bars of the project; of fifteen phrases three may be asked for again, none may be taken for another."""


@pytest.fixture(scope="module")
def model() -> vosk.Model:
    vosk.SetLogLevel(-1)
    return vosk.Model(str(MODEL))


def test_is_small_complete_and_quick_to_load() -> None:
    check_model(MODEL)
    assert sum(path.stat().st_size for path in MODEL.rglob("*") if path.is_file()) < SIZE_MB * 1e6
    vosk.SetLogLevel(-1)
    vosk.Model(str(MODEL))  # once before, so that the disk's speed is left out
    took = []
    for _ in range(3):  # time of the processor, and the best: other work on this machine is no fault of the model
        begun = time.process_time()
        vosk.Model(str(MODEL))
        took.append(time.process_time() - begun)
    assert min(took) < LOAD_S


def test_knows_every_word_of_every_phrase(model: vosk.Model) -> None:
    words = {word for phrase in PHRASES for word in phrase.split()} - {"{}"}
    assert [word for word in sorted(words) if model.vosk_model_find_word(word) < 0] == []


@pytest.mark.audio
@pytest.mark.skipif(not shutil.which("flite"), reason="the synthesiser flite (Debian: flite) is not installed")
def test_hears_phrases_in_a_voice_it_was_never_trained_on(model: vosk.Model, tmp_path: Path) -> None:
    missed, wrong = [], []
    for phrase in SPOKEN:
        recording = tmp_path / "said.wav"
        subprocess.run(["flite", "-voice", "slt", "-t", phrase, "-o", str(recording)], check=True, capture_output=True)
        with wave.open(str(recording)) as opened:
            assert opened.getframerate() == 16_000
            samples = opened.readframes(opened.getnframes())
        recogniser = vosk.KaldiRecognizer(model, 16_000, json.dumps([*PHRASES, "[unk]"]))
        quiet = bytes(2 * 8000)
        recogniser.AcceptWaveform(quiet + samples + quiet)
        heard = json.loads(recogniser.FinalResult())["text"]
        if heard != phrase:
            (wrong if heard in PHRASES else missed).append((phrase, heard))
    assert wrong == []
    assert len(missed) <= MOST_MISSED, missed
