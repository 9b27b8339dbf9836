"""Recordings for measuring, as lists that ``assistant test-hearing`` takes: held-out ones of the recipe, or made here.

``python -m tests.bench.hearing_data PARTS OUT`` writes the recordings that the recipe kept out of training and tuning
(``models/recipe``, parts ``test-human``, ``test-noise`` and ``test-synthetic``) to ``OUT``, one list for each test.
"""

from __future__ import annotations

import sys
from collections.abc import Iterable
from pathlib import Path

import numpy as np
import soundfile

from assistant.hearing.record import prompts
from assistant.hearing.score import as_meant
from assistant.voice.listening.model_files import OWN_MODEL, words_of
from assistant.voice.ports import RATE
from tests.voice.noises import NOISES
from tests.voice.people import Person

NAMES = ("nine-words", "ten-words", "control-words", "phrases", "numbers", "other-words", "running", "notes", "noise")
"""The lists, each ``NAME.tsv``."""
UNHEARD = [Person("flite", "slt", pace) for pace in (0.88, 1.0, 1.15)]
"""A voice that the recipe keeps out of training (its docs say which), at three paces."""
Clip = tuple[str, str, np.ndarray]
"""Label, speaker, and 16-bit samples at 16 kHz, shape (n,)."""


def write_list(out: Path, name: str, clips: Iterable[Clip]) -> int:
    """Write the sounds to ``out/name`` and the list to ``out/name.tsv``; return how many."""
    folder = out / name
    folder.mkdir(parents=True, exist_ok=True)
    lines = []
    for number, (label, speaker, samples) in enumerate(clips):
        path = folder / f"{number:05d}.flac"
        soundfile.write(path, samples, RATE, subtype="PCM_16")
        lines.append(f"{name}/{path.name}\t{label}\t{speaker}\t{samples.size / RATE:.2f}\n")
    (out / f"{name}.tsv").write_text("path\tlabel\tspeaker\tseconds\n" + "".join(lines), "utf-8")
    return len(lines)


def from_parts(parts: Path, out: Path) -> dict[str, int]:
    """Write the held-out recordings of the recipe; return how many there are in each list."""
    from models.recipe.blocks import read_clips

    lists: dict[str, list[Clip]] = {name: [] for name in NAMES}
    for part in ("test-human", "test-synthetic", "test-noise"):
        for clip, samples in read_clips(parts, part):
            one = (clip.text or "[speech]", clip.speaker, samples)
            if part == "test-noise":
                lists["noise"].append(one)
            elif clip.source in ("librispeech_part", "speechocean762"):
                lists["running"].append(one)
            elif meant := as_meant(clip.text):
                lists["phrases" if meant[1] is None else "numbers"].append(one)
            elif " " not in clip.text and clip.text:
                lists["other-words"].append(one)
            if clip.source == "gsc_9words":
                lists["nine-words"].append(one)
    return {name: write_list(out, name, clips) for name, clips in lists.items() if clips}


def made(out: Path, name: str) -> bool:
    """Make the list ``name`` with synthesisers or from physics in ``out``; return whether that can be done here."""
    random = np.random.default_rng(1)
    if name == "noise":
        sounds = [(kind, make(10.0, random)) for kind, make in NOISES.items()]
        clips = [(f"[{kind}]", kind, np.rint(9_000 * s / np.abs(s).max()).astype(np.int16)) for kind, s in sounds]
        return bool(write_list(out, name, clips))
    if not UNHEARD[0].is_here or name not in ("phrases", "numbers", "other-words"):
        return False
    texts = [text for text in prompts() if (_number(text) is not None) == (name == "numbers")]
    if name == "other-words":
        ours = {word for text in prompts() for word in text.split()}
        known = [word for word in words_of(OWN_MODEL) if word not in ours and len(word) > 2]
        texts = [known[number] for number in random.permutation(len(known))[:120]]
    return bool(write_list(out, name, [(text, person.name, person.say(text)) for text in texts for person in UNHEARD]))


def _number(text: str) -> object:
    meant = as_meant(text)
    return meant[1] if meant else None


if __name__ == "__main__":
    if len(sys.argv) != 3:
        sys.exit("Say: python -m tests.bench.hearing_data PARTS OUT")
    for listed, count in from_parts(Path(sys.argv[1]), Path(sys.argv[2])).items():
        print(f"{listed}.tsv: {count} recordings")
