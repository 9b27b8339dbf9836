"""How the words of a model are said, read out of the model itself: which outputs of its net follow one another.

The graph ``HCLr.fst`` is a tree of sounds with a word at each leaf (OpenFst's ``const`` form behind a head of
``olabel_lookahead``: openfst/const-fst.h and add-on.h, from memory; that the words come out as the dictionary has them
is the check). The transition model in ``final.mdl`` says which outputs of the net a sound has.
"""

from __future__ import annotations

import itertools
import struct
from pathlib import Path

import numpy as np

from assistant.voice.listening.engine_phrases import TWIN

Sounds = tuple[tuple[int, int], ...]
"""A way to say something: for each sound the outputs of the net for its first frame and for those that follow."""

_STATE = np.dtype([("final", "<f4"), ("first", "<u4"), ("arcs", "<u4"), ("silent", "<u4"), ("wordless", "<u4")])
_ARC = np.dtype([("heard", "<i4"), ("word", "<i4"), ("cost", "<f4"), ("target", "<i4")])
_HEAD = "<iiQqqq"
_MOST_WAYS = 6
"""So many ways to say a phrase are looked at, at most."""


class Dictionary:
    """The words of one model and the ways to say each."""

    def __init__(self, folder: Path) -> None:
        """Read the model directory ``folder``.

        Raises:
            ValueError: its graph or its net is not written as those of the recipe are.
            OSError: a file cannot be read.
        """
        try:
            self.silence, outputs = _outputs((folder / "am/final.mdl").read_bytes())
            states, arcs = _graph((folder / "graph/HCLr.fst").read_bytes())
            self._ways = _words(states, arcs, outputs, _numbers(folder / "graph/words.txt"))
        except (struct.error, IndexError, KeyError) as error:
            raise ValueError(f"The graph of {folder} is written in another way.") from error
        if not self._ways:
            raise ValueError(f"The graph of {folder} holds no words.")

    def ways(self, phrase: str) -> list[Sounds]:
        """Return the ways to say ``phrase``, with pauses between its words and without; none if a word is unknown."""
        words = [self._ways.get(word, []) for word in phrase.split()]
        said = list(itertools.islice(itertools.product(*words), _MOST_WAYS)) if all(words) else []
        ways = [sum(way, ()) for way in said]
        if len(words) > 1:
            ways += [tuple(sound for part in way for sound in (*part, self.silence))[:-1] for way in said]
        return ways


def _outputs(record: bytes) -> tuple[tuple[int, int], list[tuple[int, int]]]:
    """Return the outputs of silence, and those of the sound of each pair of transition ids."""
    mark = b"<Tuples> \x04"
    place = record.index(mark) + len(mark)
    (count,) = struct.unpack_from("<i", record, place)
    rows = np.frombuffer(record, np.dtype([("size", "u1"), ("value", "<i4")]), 4 * count, place + 4)["value"]
    pairs = [(int(enter), int(stay)) for _, _, enter, stay in rows.reshape(count, 4)]
    return pairs[0], pairs


def _graph(data: bytes) -> tuple[np.ndarray, np.ndarray]:
    """Return the states and the arcs of a graph."""
    place = 0
    for form in (b"olabel_lookahead", b"const"):
        place += 4
        for name in (form, b"standard"):
            (size,) = struct.unpack_from("<i", data, place)
            if data[place + 4 : place + 4 + size] != name:
                raise ValueError("The graph is written in another way.")
            place += 4 + size
        *_, states, arcs = struct.unpack_from("<iiQqqq", data, place)
        place += struct.calcsize(_HEAD)
        if form != b"const":
            place += 4  # the magic number of the add-on
    found = np.frombuffer(data, _STATE, states, place)
    return found, np.frombuffer(data, _ARC, arcs, place + states * _STATE.itemsize)


def _numbers(path: Path) -> dict[int, str]:
    return {int(number): word for word, number in map(str.split, path.read_text("utf-8").splitlines())}


def _words(
    states: np.ndarray, arcs: np.ndarray, outputs: list[tuple[int, int]], names: dict[int, str]
) -> dict[str, list[Sounds]]:
    """Walk from each leaf back to the root; the tree behind the unknown word, where ways meet, is left out."""
    sources = np.repeat(np.arange(len(states)), states["arcs"])
    enters = (arcs["heard"] > 0) & (arcs["heard"] % 2 == 0) & (sources != arcs["target"])
    leaves = (arcs["heard"] == 0) & (arcs["word"] > 0)
    branches = np.bincount(sources[enters], minlength=len(states)) > 2  # a pause, to which the others lead, has two
    root = int((np.bincount(arcs["target"][leaves], minlength=len(states)) * branches).argmax())
    parent: dict[int, tuple[int, int]] = {}
    for source, arc in zip(sources[enters], arcs[enters], strict=True):
        parent[int(arc["target"])] = (int(source), int(arc["heard"]))
    ways: dict[str, list[Sounds]] = {}
    for source, arc in zip(sources[leaves], arcs[leaves], strict=True):
        name = names[int(arc["word"])]
        if TWIN in name:  # the same sounds again, for a phrase
            continue
        here, said = int(source), []
        while here != root and here in parent:
            here, heard = parent[here]
            said.append(outputs[(heard - 1) // 2])
        if here == root and said:
            found = ways.setdefault(name, [])
            way = tuple(reversed(said))
            if way not in found:
                found.append(way)
    return ways
