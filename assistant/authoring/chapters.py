"""Sound with chapters: FLAC and Ogg carry them inside (the adapter of mutagen), a WAV has a cue sheet beside it.

Chapters in Vorbis comments: CHAPTER000=HH:MM:SS.mmm and CHAPTER000NAME=..., as the Xiph.Org wiki proposes ("Chapter
Extension", from memory).
"""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

import mutagen

from assistant.terminal.exits import Exit, Refusal
from assistant.voice.adapters.wav import WavLoudspeaker
from assistant.voice.ports import Samples, VoiceFault

SOUND_ENDINGS = (".flac", ".ogg", ".wav")
_CUE_FRAMES = 75
"""A cue sheet counts in frames of a compact disc, 75 a second (IEC 60908, from memory)."""


@dataclass(frozen=True, slots=True)
class SoundChapter:
    """Where a chapter begins [s], and what it is called."""

    begins: float
    title: str


def check_kind(path: Path) -> None:
    """Make sure that the name of an audio file says a kind that can be written.

    Raises:
        Refusal: it does not.
    """
    if path.suffix.lower() not in SOUND_ENDINGS:
        raise Refusal(f"{path} must end in .flac, .ogg or .wav: that is the kind of sound that is written.", Exit.USAGE)


def audio_bytes(path: Path, samples: Samples, chapters: Sequence[SoundChapter], title: str) -> list[tuple[str, bytes]]:
    """Return the names and contents of the files for ``samples``, shape (n,), with ``chapters``: one, or two for a WAV.

    Raises:
        VoiceFault: there is no room for it.
    """
    try:
        with tempfile.TemporaryDirectory() as folder:
            made = Path(folder) / path.name
            out = WavLoudspeaker(made)
            out.play(samples)
            out.close()
            texts = [cue_sheet(path.name, chapters, title).encode("utf-8")]
            if path.suffix.lower() != ".wav":
                _tag(made, chapters, title)
            return list(zip(files_beside(path), [made.read_bytes(), *texts], strict=False))
    except (OSError, mutagen.MutagenError) as error:
        sentence = f"The speech cannot be made in {tempfile.gettempdir()} ({error}): make room there, then do it again."
        raise VoiceFault(sentence) from error


def files_beside(path: Path) -> list[str]:
    """Return the names of the files that belong to ``path``: itself, and the cue sheet of a WAV."""
    return [path.name, f"{path.stem}.cue"] if path.suffix.lower() == ".wav" else [path.name]


def _tag(made: Path, chapters: Sequence[SoundChapter], title: str) -> None:
    tags = mutagen.File(made)
    tags["TITLE"] = title
    for number, chapter in enumerate(chapters):
        tags[f"CHAPTER{number:03d}"] = _stamp(chapter.begins)
        tags[f"CHAPTER{number:03d}NAME"] = chapter.title
    tags.save()


def cue_sheet(name: str, chapters: Sequence[SoundChapter], title: str) -> str:
    """Return a cue sheet for the WAV file ``name``: one track for each chapter."""
    lines = [f'TITLE "{_plain(title)}"', f'FILE "{_plain(name)}" WAVE']
    for number, chapter in enumerate(chapters, 1):
        frames = int(chapter.begins * _CUE_FRAMES + 1e-6)
        minutes, rest = divmod(frames, 60 * _CUE_FRAMES)
        seconds, frames = divmod(rest, _CUE_FRAMES)
        lines += [
            f"  TRACK {number:02d} AUDIO",
            f'    TITLE "{_plain(chapter.title)}"',
            f"    INDEX 01 {minutes:02d}:{seconds:02d}:{frames:02d}",
        ]
    return "".join(f"{line}\n" for line in lines)


def _stamp(seconds: float) -> str:
    whole = int(seconds * 1000 + 1e-6)  # never after the first sound
    return f"{whole // 3_600_000:02d}:{whole // 60_000 % 60:02d}:{whole // 1000 % 60:02d}.{whole % 1000:03d}"


def _plain(text: str) -> str:
    """Return ``text`` without quotation marks, which a cue sheet has no way to write."""
    return " ".join(text.replace('"', "'").split())
