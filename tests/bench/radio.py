"""A radio in the bay, and the noise of it, for hours of which none is like another: read English, music, machines.

The sound of one piece of an hour depends on its hour and its number alone. Speech and music come through the band of a
small loudspeaker, at a level of its own, with the echoes of a room (``tests/voice/echo_bay.py``); recordings are in
another order each time, with other pauses and up to 8 % slower or faster. Noise of the bay is added beside it.
"""

from __future__ import annotations

import csv
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import numpy.typing as npt

from assistant.hearing.mixing import rms
from assistant.voice.adapters.wav import read_recording
from assistant.voice.ports import RATE, Samples
from tests.bench.running_talk import MUSIC, PAUSES_S, READ
from tests.voice.echo_bay import Path as EchoPath
from tests.voice.noises import MACHINES

PEOPLE = (*READ, "common_voice_en", "ljspeech_part", "vctk_p239")
"""Sets in which people read sentences."""
WORDS = ("art4apps_en", "asterisk_en_us")
"""Sets of single words and short prompts, which stand alone between silences as commands do."""
PIECE_S = 300.0
HOUR = (
    "talk",
    "talk",
    "talk, echoes",
    "talk, music",
    "talk, kitchen",
    "talk, rooms",
    "talk, machines",
    "talk, hammering",
    "single words",
    "music",
    "kitchen and rooms",
    "machines and blows",
)
"""What an hour is made of, piece by piece."""
LEVELS_DB = (-50.0, -15.0)
"""Root mean square of the radio, or of the noise where there is no radio [dBFS]."""
SNRS_DB = (20.0, 10.0, 5.0, 0.0)
_WORD_PAUSES_S = (0.5, 3.0)
_ECHO_DIES_S = (0.15, 0.5)
_FAR_DIES_S = (0.5, 1.2)
_CUT_S = 20.0
"""Music and noises are cut into parts of at most this length [s], each at another place of the recording."""
Floats = npt.NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Material:
    """The recordings of each kind of sound: "people", "words", "music", "kitchen", "rooms", "machines", "blows"."""

    paths: Mapping[str, tuple[Path, ...]]


@dataclass(frozen=True, slots=True)
class Piece:
    """Five minutes: the hour, its number in it, and what it is."""

    hour: int
    number: int
    kind: str


@dataclass(frozen=True, slots=True)
class Aired:
    """The sound of a piece, 16 kHz, shape (n,), its level [dBFS], the noise below it [dB], and what begins when [s]."""

    samples: Samples
    level_db: float
    snr_db: float | None
    begins: tuple[tuple[float, str], ...]


def material(shared: Path) -> Material:
    """Return what there is in ``shared``, a folder with ``manifest.tsv``."""
    with (shared / "manifest.tsv").open(encoding="utf-8", newline="") as opened:
        rows = list(csv.DictReader(opened, delimiter="\t", quoting=csv.QUOTE_NONE))
    found: dict[str, list[Path]] = {}
    for row in rows:
        if kind := _kind(row["set"], row["label"]):
            found.setdefault(kind, []).append(shared / row["path"])
    return Material({kind: tuple(sorted(paths)) for kind, paths in found.items()})


def _kind(source: str, label: str) -> str:
    if source in PEOPLE:
        return "people"
    if source in WORDS:
        return "words"
    plain = {MUSIC: "music", "noise_kitchen": "kitchen", "noise_precise_rooms": "rooms", "noise_opensfx": "machines"}
    if source in plain:
        return plain[source]
    if source == "noise_snu_b36":
        return "machines" if label == "vacuum_cleaner" else "blows"
    if source == "noise_esc10":
        return "machines" if label in ("chainsaw", "helicopter") else "rooms"
    return ""


def pieces_of(hour: int) -> list[Piece]:
    """Return the pieces of an hour, in an order of its own."""
    order = np.random.default_rng((hour, 0)).permutation(len(HOUR))
    return [Piece(hour, number, HOUR[at]) for number, at in enumerate(order)]


def air(piece: Piece, given: Material) -> Aired:
    """Return the sound of ``piece``."""
    random = np.random.default_rng((piece.hour, piece.number, 1))
    head, _, beside = piece.kind.partition(", ")
    size = round(PIECE_S * RATE)
    level_db = float(random.uniform(*LEVELS_DB))
    snr_db: float | None = None
    begins: tuple[tuple[float, str], ...] = ()
    if head in ("kitchen and rooms", "machines and blows"):
        sound = _noise(head, given, size, random)
    else:
        sound, begins = _radio(head, given, size, random)
        if beside == "music":
            snr_db = float(random.choice(SNRS_DB))
            sound = _under(sound, _joined(given.paths["music"], size, random), snr_db)
        far = beside == "echoes"
        sound = through_loudspeaker(sound, random, _FAR_DIES_S if far else _ECHO_DIES_S, 0.0 if far else 6.0)
    sound *= 32_768 * 10 ** (level_db / 20) / max(rms(sound), 1e-9)
    if beside and beside not in ("music", "echoes"):
        snr_db = float(random.choice(SNRS_DB))
        sound = _under(sound, _noise(beside, given, size, random), snr_db)
    sound += random.normal(0.0, random.uniform(2.0, 20.0), size)  # no microphone is digitally silent
    return Aired(np.clip(np.rint(sound), -32_768, 32_767).astype(np.int16), level_db, snr_db, begins)


def through_loudspeaker(
    sound: Floats, random: np.random.Generator, dies_s: tuple[float, float], room_db: float
) -> Floats:
    """Return ``sound``, shape (n,), as a small loudspeaker plays it into a room whose echoes die in so many seconds.

    ``room_db`` is how far the echoes lie under the direct sound.
    """
    from scipy.signal import butter, fftconvolve, sosfilt  # it takes as long to load as many tests to run

    band = butter(2, (random.uniform(150, 400), random.uniform(3_000, 6_500)), "bandpass", fs=RATE, output="sos")
    room = EchoPath(0.0, 0.0, random.uniform(*dies_s), room_db, seed=int(random.integers(1 << 30))).response()
    return np.asarray(fftconvolve(sosfilt(band, sound), room)[: sound.size])


def _radio(
    head: str, given: Material, size: int, random: np.random.Generator
) -> tuple[Floats, tuple[tuple[float, str], ...]]:
    """Return what is on the air, before it is played, and when each recording begins."""
    if head == "music":
        return _joined(given.paths["music"], size, random), ()
    paths = given.paths["words" if head == "single words" else "people"]
    pauses = _WORD_PAUSES_S if head == "single words" else PAUSES_S
    sound, at, begins = np.zeros(size), 0, []
    for path in _shuffled(paths, random):
        clip = _as_fast(read_recording(path).astype(np.float64), random.uniform(0.92, 1.08))
        clip *= 10 ** (random.uniform(-6, 6) / 20) / max(rms(clip), 1.0)
        part = clip[: size - at]
        sound[at : at + part.size] = part
        begins.append((round(at / RATE, 2), path.name))
        at += part.size + round(random.uniform(*pauses) * RATE)
        if at >= size:
            break
    return sound, tuple(begins)


def _noise(kind: str, given: Material, size: int, random: np.random.Generator) -> Floats:
    """Return the noise of the bay of that ``kind``, recorded or made from its physics."""
    made: Mapping[str, Callable[[float, np.random.Generator], Floats]] = MACHINES
    recorded = {
        "kitchen": ("kitchen",),
        "rooms": ("rooms",),
        "machines": ("machines",),
        "hammering": ("blows",),
        "kitchen and rooms": ("kitchen", "rooms"),
        "machines and blows": ("machines", "blows"),
    }[kind]
    by_physics = {
        "machines": tuple(name for name in made if name != "hammering"),
        "hammering": ("hammering",),
        "machines and blows": tuple(made),
    }.get(kind, ())
    if by_physics and random.random() < 0.5:  # half of it is recorded, half made
        names = random.choice(by_physics, size=5)
        parts = [made[name](size / RATE / 5 + 1, random) for name in names]
        return np.concatenate([part / max(rms(part), 1e-9) for part in parts])[:size]
    which = [kind for kind in recorded if kind in given.paths]
    paths = [path for one in which for path in random.permutation(np.array(given.paths[one], dtype=object))[:200]]
    return _joined(paths, size, random)


def _joined(paths: Sequence[Path], size: int, random: np.random.Generator) -> Floats:
    """Return parts of the recordings one after another, of even level, shape (``size``,)."""
    sound, at = np.zeros(size), 0
    for path in _shuffled(paths, random):
        clip = read_recording(path).astype(np.float64)
        first = int(random.integers(max(1, clip.size - round(_CUT_S * RATE))))
        part = clip[first : first + round(_CUT_S * RATE)][: size - at]
        sound[at : at + part.size] = part * (10 ** (random.uniform(-6, 6) / 20) / max(rms(part), 1.0))
        at += part.size
        if at >= size:
            break
    return sound


def _shuffled(paths: Sequence[Path], random: np.random.Generator) -> Iterator[Path]:
    """Yield all of them in one order after another, for ever."""
    while True:
        for at in random.permutation(len(paths)):
            yield paths[at]


def _as_fast(clip: Floats, speed: float) -> Floats:
    """Return ``clip``, shape (n,), played ``speed`` times as fast, and as much higher."""
    return np.asarray(np.interp(np.arange(0, clip.size - 1, speed), np.arange(clip.size), clip))


def _under(sound: Floats, noise: Floats, snr_db: float) -> Floats:
    """Return ``sound`` with ``noise``, both shape (n,), so far below it."""
    return np.asarray(sound + noise * (rms(sound) / max(rms(noise), 1e-9) * 10 ** (-snr_db / 20)))
