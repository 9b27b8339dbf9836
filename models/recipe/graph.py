"""Stage 5: the run-time graph: words as a tree of phones (HCLr.fst), all words as a loop (Gr.fst), and word tables.

``[unk]`` stands for what is no word of the grammar: a noise phone, or any row of phones as likely as in English. The
engine puts a grammar of phrases together with HCLr.fst at run time. Needs OpenFst with its lookahead extension
(Debian: ``libfst-tools``).
"""

from __future__ import annotations

import itertools
import math
import os
import subprocess
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from models.recipe.phones import (
    ARPABET,
    BASE_INDEX,
    ENGINE_PHONES,
    TRANSITION_IDS,
    engine_phones,
    enter_id,
    stay_id,
)

if TYPE_CHECKING:
    from models.recipe.lexicon import Lexicon

LOOKAHEAD = "libfstlookahead.so.22"
UNKNOWN = "[unk]"


@dataclass(frozen=True, slots=True)
class Costs:
    """Negative log chances that the scores of LF-MMI need besides themselves; chosen on held-out speakers.

    ``word`` for each word, ``unknown`` for each ``[unk]`` and ``unknown_phone`` for each phone in it, ``noise`` for
    noise in place of silence between words. ``silence`` is the chance of a silence between two words.
    """

    word: float = 0.5
    unknown: float = -3.0
    unknown_phone: float = -0.75
    noise: float = 3.0
    silence: float = 0.5


@dataclass(frozen=True, slots=True)
class _Arc:
    source: int
    target: int
    heard: int
    word: int
    cost: float


def phone_pairs_of(words: Iterable[tuple[tuple[str, ...], float]]) -> np.ndarray:
    """Return -log P(phone | phone before) within words, shape (40, 40); index 0 is the edge of a word.

    ``words`` are pronunciations with how often each is said.
    """
    counts = np.full((len(ARPABET) + 1, len(ARPABET) + 1), 0.3)
    number = {phone: index for index, phone in enumerate(ARPABET, 1)}
    for pronunciation, weight in words:
        row = [0, *(number[phone] for phone in pronunciation), 0]
        for before, after in itertools.pairwise(row):
            counts[before, after] += weight
    return -np.log(counts / counts.sum(1, keepdims=True))


def build_graph(lexicon: Lexicon, pairs: np.ndarray, folder: Path, costs: Costs) -> None:
    """Write ``folder``/graph for the words of ``lexicon``; ``pairs`` as ``phone_pairs_of`` returns them.

    Raises:
        OSError: OpenFst is not installed.
        subprocess.CalledProcessError: OpenFst refused the graph.
    """
    graph = folder / "graph"
    (graph / "phones").mkdir(parents=True, exist_ok=True)
    words = ["<eps>", UNKNOWN, *sorted(lexicon)]
    arcs, final = _tree(lexicon, {word: number for number, word in enumerate(words)}, pairs, costs)
    text = "".join(f"{a.source} {a.target} {a.heard} {a.word} {a.cost:.5g}\n" for a in arcs) + f"{final} 0\n"
    finish(text, words, graph)
    (graph / "disambig_tid.int").write_text(f"{TRANSITION_IDS + 1}\n")
    boundaries = "".join(f"{number} {kind}\n" for number, (_, _, kind) in enumerate(ENGINE_PHONES, 1))
    (graph / "phones/word_boundary.int").write_text(boundaries)


def finish(text: str, words: Sequence[str], graph: Path) -> None:
    """Compile the word tree ``text``, in which a word has its place in ``words``; write tree, loop and table of words.

    Raises:
        OSError: OpenFst is not installed.
        subprocess.CalledProcessError: OpenFst refused the graph.
    """
    numbers = _compile_tree(text, graph, len(words))
    table = sorted(zip(numbers, words, strict=True))
    (graph / "words.txt").write_text("".join(f"{word} {number}\n" for number, word in table), "utf-8")
    even = math.log(len(words))
    loop = "".join(f"0 0 {number} {number} {even:.4g}\n" for number, _ in table if number) + "0 0\n"
    compiled = run_fst(["fstcompile"], loop.encode())
    run_fst(["fstconvert", "--fst_type=const", "-", str(graph / "Gr.fst")], run_fst(["fstarcsort"], compiled))


def leave_costs(costs: Costs) -> tuple[float, float]:
    """Return what it costs to go on behind a word at once, and with a silence."""
    return -math.log(1 - costs.silence), -math.log(costs.silence)


def _tree(lexicon: Lexicon, number: dict[str, int], pairs: np.ndarray, costs: Costs) -> tuple[list[_Arc], int]:
    """Return all arcs of the word tree, sorted as OpenFst wants them, and the final state."""
    arcs: list[_Arc] = []
    start, loop, quiet, before_quiet, noisy = range(5)
    states = 5

    def new() -> int:
        nonlocal states
        states += 1
        return states - 1

    def arc(source: int, target: int, heard: int, word: int = 0, cost: float = 0.0) -> None:
        arcs.append(_Arc(source, target, heard, word, cost))

    def phone(source: int, name: str, left: int = 0, cost: float = 0.0) -> int:
        target = new()
        arc(source, target, enter_id(name, left), 0, cost)
        arc(target, target, stay_id(name, left))
        return target

    none, silence = leave_costs(costs)

    def leave(source: int, word: int, cost: float) -> None:
        arc(source, loop, 0, word, none + cost)
        arc(source, before_quiet, 0, word, silence + cost)

    arc(start, loop, 0, 0, none)
    arc(start, before_quiet, 0, 0, silence)
    arc(before_quiet, quiet, enter_id("SIL"))
    arc(quiet, quiet, stay_id("SIL"))
    arc(quiet, loop, 0)
    for source in (before_quiet, quiet):
        arc(source, noisy, enter_id("NSN"), 0, costs.noise)
    arc(noisy, noisy, stay_id("NSN"))
    arc(noisy, quiet, enter_id("SIL"), 0, math.log(2))
    arc(noisy, loop, 0, 0, math.log(2))

    node: dict[tuple[str, ...], int] = {}
    for word in sorted(lexicon):
        for pronunciation in lexicon[word]:
            here, left, so_far = loop, 0, ()
            for name, base in zip(engine_phones(pronunciation), pronunciation, strict=True):
                so_far = (*so_far, name)
                if so_far not in node:
                    node[so_far] = phone(here, name, left)
                here, left = node[so_far], BASE_INDEX[base]
            leave(here, number[word], costs.word)

    unknown = new()
    arc(loop, unknown, 0, number[UNKNOWN], costs.unknown)
    leave(phone(unknown, "NSN_S", 0, 1.0), 0, 0.0)
    index = {base: place for place, base in enumerate(ARPABET, 1)}
    after = {base: new() for base in ARPABET}
    for base in ARPABET:
        arc(phone(unknown, f"{base}_B", 0, pairs[0, index[base]] + costs.unknown_phone), after[base], 0)
        for before in ARPABET:
            cost = pairs[index[before], index[base]] + costs.unknown_phone
            arc(phone(after[before], f"{base}_I", BASE_INDEX[before], cost), after[base], 0)
            leave(phone(after[before], f"{base}_E", BASE_INDEX[before], cost), 0, pairs[index[base], 0])
    arcs.sort(key=lambda a: (a.source, a.target, a.heard, a.word))
    return arcs, loop


def _compile_tree(text: str, graph: Path, words: int) -> list[int]:
    """Write HCLr.fst; return the number that each word got when OpenFst sorted them for looking ahead."""
    connected = run_fst(["fstconnect"], run_fst(["fstcompile"], text.encode()))
    compiled = run_fst(["fstarcsort", "--sort_type=olabel"], connected)
    renumbered = graph / "relabel.txt"
    convert = ["fstconvert", "--fst_type=olabel_lookahead", f"--save_relabel_opairs={renumbered}", "-"]
    run_fst([*convert, str(graph / "HCLr.fst")], compiled, {"LD_PRELOAD": LOOKAHEAD})
    new = dict(map(int, line.split()) for line in renumbered.read_text().splitlines())
    renumbered.unlink()
    numbers = [new.get(number, number) for number in range(words)]
    if len(set(numbers)) != words:
        raise ValueError("OpenFst gave two words the same number.")
    return numbers


def run_fst(command: list[str], data: bytes, extra: dict[str, str] | None = None) -> bytes:
    """Return what an OpenFst ``command`` makes of ``data``; ``extra`` goes into its environment."""
    return subprocess.run(
        command, input=data, stdout=subprocess.PIPE, check=True, env={**os.environ, **(extra or {})}
    ).stdout
