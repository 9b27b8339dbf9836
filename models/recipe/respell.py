"""Words into and out of a finished model: its graph is changed, its net stays as it is.

So a new phrase can be heard, or a word taken out, without the recordings and the net's checkpoint. A word that is put
in is heard as well as its phones were trained; measure it before it is relied upon. Needs OpenFst, as ``graph`` does.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterable, Mapping, Sequence
from pathlib import Path

from assistant.voice.listening.engine_phrases import TWIN
from assistant.voice.listening.model_files import CHECKSUMS
from models.recipe.graph import LOOKAHEAD, Costs, finish, leave_costs, run_fst
from models.recipe.phones import ARPABET, BASE_INDEX, engine_phones, enter_id, stay_id

Arc = tuple[int, int, int, int, float]
"""Source, target, transition id, number of a word (0 for none), cost."""


def respell(
    folder: Path,
    add: Mapping[str, Sequence[Sequence[str]]],
    without: Collection[str] = (),
    costs: Costs | None = None,
) -> None:
    """Put the words ``add`` (each with its pronunciations) into the model in ``folder``; take out those in ``without``.

    Raises:
        ValueError: a phone is not known, a word to be taken out is not there, or one to be put in is there already.
        OSError: OpenFst is not installed.
    """
    known = {word: place for place, word in read_names(folder).items()}
    _check(set(known), add, without)
    arcs, final = read_graph(folder / "graph/HCLr.fst")
    words = [word for word in known if word.partition(TWIN)[0] not in without] + sorted(add)
    number = {word: place for place, word in enumerate(words)}
    old = {place: number.get(word, -1) for word, place in known.items()}
    arcs = [(a, b, heard, old[word], cost) for a, b, heard, word, cost in arcs if old[word] >= 0]
    for word, ways in add.items():
        for phones in ways:
            arcs += _path(arcs, final, number[word], phones, costs or Costs())
    write_tree(folder, words, arcs, final)


def read_names(folder: Path) -> dict[int, str]:
    """Return the words of the model in ``folder`` by the numbers that its graph has for them."""
    lines = (folder / "graph/words.txt").read_text("utf-8").splitlines()
    return {int(number): word for word, number in map(str.split, lines)}


def write_tree(folder: Path, words: Sequence[str], arcs: Iterable[Arc], final: int) -> None:
    """Write the graph of the model in ``folder`` anew, in whose ``arcs`` a word has its place in ``words``.

    Raises:
        OSError: OpenFst is not installed.
        subprocess.CalledProcessError: OpenFst refused the graph.
    """
    lines = (f"{a} {b} {heard} {word} {cost:.6g}\n" for a, b, heard, word, cost in sorted(arcs))
    finish("".join(lines) + f"{final} 0\n", words, folder / "graph")
    write_checksums(folder)


def _check(known: Collection[str], add: Mapping[str, Sequence[Sequence[str]]], without: Collection[str]) -> None:
    for word, ways in add.items():
        if word in known:
            raise ValueError(f"The model knows {word!r} already.")
        for phone in (phone for phones in ways for phone in phones):
            if phone not in ARPABET:
                raise ValueError(f"{phone!r} in {word!r} is no ARPAbet phone.")
    for word in without:
        if word not in known:
            raise ValueError(f"The model has no word {word!r}.")


def read_graph(tree: Path) -> tuple[list[Arc], int]:
    """Return the arcs of a compiled word tree and its final state; OpenFst numbers the start state first."""
    plain = run_fst(["fstconvert", "--fst_type=vector", str(tree)], b"", {"LD_PRELOAD": LOOKAHEAD})
    arcs: list[Arc] = []
    final = -1
    for line in run_fst(["fstprint"], plain).decode().splitlines():
        fields = line.split()
        if len(fields) <= 2:
            final = int(fields[0])
            continue
        source, target, heard, word = map(int, fields[:4])
        arcs.append((source, target, heard, word, float(fields[4]) if len(fields) > 4 else 0.0))
    return arcs, final


def _path(arcs: Sequence[Arc], loop: int, word: int, phones: Sequence[str], costs: Costs) -> list[Arc]:
    """Return new arcs that hear a word from the state ``loop``, along what is there as far as it goes."""
    follow = {(source, heard): target for source, target, heard, said, _ in arcs if not said and source != target}
    states = max(max(source, target) for source, target, *_ in arcs) + 1
    start = arcs[0][0]
    quiet = next(target for source, target, heard, *_ in arcs if source == start and not heard and target != loop)
    found: list[Arc] = []
    here, left = loop, 0
    for name, base in zip(engine_phones(phones), phones, strict=True):
        heard = enter_id(name, left)
        if (here, heard) not in follow:
            found += [(here, states, heard, 0, 0.0), (states, states, stay_id(name, left), 0, 0.0)]
            follow[here, heard] = states
            states += 1
        here, left = follow[here, heard], BASE_INDEX[base]
    none, silence = leave_costs(costs)
    return [*found, (here, loop, 0, word, none + costs.word), (here, quiet, 0, word, silence + costs.word)]


def write_checksums(folder: Path) -> None:
    """Write SHA256SUMS as ``sha256sum`` would, so that the assistant can tell a damaged copy."""
    files = sorted(path for path in folder.rglob("*") if path.is_file() and path.name not in {CHECKSUMS, "README.md"})
    lines = [
        f"{hashlib.sha256(path.read_bytes()).hexdigest()}  {path.relative_to(folder).as_posix()}\n" for path in files
    ]
    (folder / CHECKSUMS).write_text("".join(lines), "utf-8")
