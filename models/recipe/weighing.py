"""Words that the net takes others for: in a finished model each costs more to be heard.

Of the recordings of *zero* and *two* by people who train nine in ten are *zero* (:mod:`models.recipe.joining`), and
the net hears *yes*, *two* and the end of *cancel* as *zero* where it is unsure. The cost is put on the word and its
twins, in the graph; the net stays. It was chosen on ``dev`` (models/README.md). Needs OpenFst, as ``graph`` does.
"""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from assistant.voice.listening.engine_phrases import as_said
from models.recipe.graph import Costs, leave_costs
from models.recipe.respell import read_graph, read_names, write_tree

OVERHEARD: Mapping[str, float] = {"zero": 6.0}
"""Each such word and the negative log chance that it costs more than others."""


def weigh(folder: Path, more: Mapping[str, float] = OVERHEARD) -> None:
    """Let each word of ``more`` cost so much more than the usual in the model in ``folder``; 0 puts it back.

    Raises:
        ValueError: the model has no such word.
        OSError: OpenFst is not installed.
        subprocess.CalledProcessError: OpenFst refused the graph.
    """
    costs, names = Costs(), read_names(folder)
    if missing := sorted(more.keys() - names.values()):
        raise ValueError(f"The model has no word {missing[0]!r}.")
    arcs, final = read_graph(folder / "graph/HCLr.fst")
    words = [*names.values()]
    place = {word: number for number, word in enumerate(words)}
    none, _silence = leave_costs(costs)  # both are the same: a pause is as likely as none
    told = []
    for source, target, heard, said, cost in arcs:
        extra = more.get(as_said(names[said]))
        weight = cost if extra is None else none + costs.word + extra
        told.append((source, target, heard, place[names[said]], weight))
    write_tree(folder, words, told, final)
