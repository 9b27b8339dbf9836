"""Puts a net between two: each weight of the exported file goes part of the way from one net to another.

A short training on new people pulls a net away from what it knew. Between a net and what was trained on from it the
scores change smoothly, so a net on the way has most of what was gained and less of what was lost (weight-space
ensembles of fine-tuned models: Wortsman et al., CVPR 2022).
"""

from __future__ import annotations

from pathlib import Path

from assistant.voice.listening.limits import LIMITS_FILE
from assistant.voice.own.tables import tables
from models.recipe.respell import write_checksums

_NET = "am/final.mdl"


def mix(old: Path, new: Path, share: float) -> None:
    """Move the net of the model directory ``old`` by ``share`` (0 to 1) towards that of ``new``; its graph stays.

    Raises:
        ValueError: the nets are of different form, or the share is not from 0 to 1.
        OSError: a directory has no net.
    """
    if not 0 <= share <= 1:
        raise ValueError(f"The share must be from 0 to 1, not {share}.")
    first, second = (old / _NET).read_bytes(), (new / _NET).read_bytes()
    places = list(tables(first))
    if places != list(tables(second)):
        raise ValueError(f"{old} and {new} hold nets of different form.")
    mixed = bytearray(first)
    for _, weights, bias in places:
        for table in (weights, bias):
            table.write(mixed, (1 - share) * table.read(first) + share * table.read(second))
    (old / _NET).write_bytes(mixed)
    (old / LIMITS_FILE).unlink(missing_ok=True)  # they were chosen for the net that was there
    write_checksums(old)
