"""The pieces of words that a model writes: its table of them, text as pieces, and pieces as text. Pure.

Pairs of neighbours are joined, those first that come first in the table: byte-pair encoding (Sennrich, Haddow and Birch
2016, arXiv:1508.07909), a space being a letter of its own (Kudo and Richardson 2018, arXiv:1808.06226).
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache
from itertools import pairwise

TEXT_BEGINS, TEXT_ENDS = 1, 2
"""The pieces that stand before and behind all text."""
_SPACE = "\N{LOWER ONE EIGHTH BLOCK}"
_FIRST = 259
"""Before it stand the marks and the 256 single bytes, of which no word of a phrase is made."""
_MANY = 0x80
_KEPT = 4096


class WordPieces:
    """A table of pieces."""

    def __init__(self, table: bytes) -> None:
        """Read ``table``: each piece behind its length in bytes, seven bits of that in a first byte, more in a second.

        Raises:
            ValueError: it ends within a piece.
        """
        self._pieces: list[bytes] = []
        at = 0
        while at < len(table):
            size = table[at]
            at += 1
            if size >= _MANY and at < len(table):
                size, at = size - _MANY + _MANY * table[at], at + 1
            if at + size > len(table):
                raise ValueError
            self._pieces.append(table[at : at + size])
            at += size
        self._number: dict[bytes, int] = {}
        for number, piece in enumerate(self._pieces[_FIRST:], _FIRST):
            self._number.setdefault(piece, number)
        self.numbers = lru_cache(_KEPT)(self._numbers)

    def text(self, numbers: Iterable[int]) -> str:
        """Return what the pieces ``numbers`` say, without marks before and behind it."""
        joined = b"".join(self._pieces[number] for number in numbers if number > TEXT_ENDS)
        return joined.decode("utf-8", "replace").replace(_SPACE, " ").strip()

    def _numbers(self, text: str) -> tuple[int, ...]:
        """Return the pieces of ``text``, without marks.

        Raises:
            KeyError: a letter of it is in no piece.
        """
        parts = [letter.encode() for letter in _SPACE + text.replace(" ", _SPACE)]
        while True:
            pairs = (
                (self._number[both], at)
                for at, both in enumerate(left + right for left, right in pairwise(parts))
                if both in self._number
            )
            first = min(pairs, default=None)
            if first is None:
                return tuple(self._number[part] for part in parts)
            at = first[1]
            parts[at : at + 2] = [parts[at] + parts[at + 1]]
