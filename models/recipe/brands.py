"""Names of makers and brands stay out of every word list and of the shipped graph.

The list of them names none: it holds digests (``words/brands.sha256``). A word with an ordinary sense that somebody at
work may need, such as a shell or a target, is no brand here.
"""

from __future__ import annotations

import functools
import hashlib
from collections.abc import Iterable
from pathlib import Path

from assistant.voice.listening.model_files import NEAR_WORDS
from models.recipe.respell import respell, write_checksums

LIST = Path(__file__).parent / "words" / "brands.sha256"
_DIGITS = 16


def is_brand(word: str) -> bool:
    """Return whether ``word`` (small letters) is the name of a maker or a brand."""
    return hashlib.sha256(word.encode()).hexdigest()[:_DIGITS] in _digests()


def without_brands(words: Iterable[str]) -> list[str]:
    """Return ``words`` in their order, without those that are the name of a maker or a brand."""
    return [word for word in words if not is_brand(word)]


@functools.cache
def _digests() -> frozenset[str]:
    lines = LIST.read_text("utf-8").splitlines()
    return frozenset(line for line in lines if not line.startswith("#"))


def leave_brands_out(folder: Path) -> int:
    """Take the brands out of the finished model directory ``folder``; return how many words that were.

    The net knows phones and no words, so it stays as it is; words.txt, the graphs, the near words and the checksums
    are written anew.

    Raises:
        OSError: OpenFst is not installed.
        subprocess.CalledProcessError: OpenFst refused the graph.
    """
    words = [line.split()[0] for line in (folder / "graph/words.txt").read_text("utf-8").splitlines()]
    gone = [word for word in words if is_brand(word)]
    if gone:
        respell(folder, {}, gone)
    near = folder / NEAR_WORDS
    near.write_text("".join(f"{word}\n" for word in without_brands(near.read_text("utf-8").split())), "utf-8")
    write_checksums(folder)
    return len(gone)
