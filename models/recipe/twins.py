"""Twins of words in a finished model: other names for the same sounds, so that each phrase can have words of its own.

The engine lets any word follow any that it followed in a phrase that it is told. Where all phrases share their words it
hears rows of words that nobody says ("zero is a problem"), and with twins it does not
(:mod:`assistant.voice.listening.engine_phrases`). Only the graph changes: at the end of each way to say a word it gets
one more arc for each twin. Needs OpenFst, as ``graph`` does.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Mapping
from pathlib import Path

from assistant.events import NUMBERS, SlotKind
from assistant.language.chosen import LANGUAGE
from assistant.language.en.phrases import phrases
from assistant.session.intents import INTENTS
from assistant.voice.listening.engine_phrases import TWIN, twin
from models.recipe.lexicon import number_slots
from models.recipe.respell import read_graph, read_names, write_tree


def twins_wanted() -> dict[str, int]:
    """Return how many twins each word needs for every phrase of the assistant to have words of its own."""
    slots = number_slots()
    wanted = Counter[str]()
    for intent in INTENTS:
        for phrase in phrases(intent.name) if intent.slot not in NUMBERS else ():
            wanted.update(set(phrase.replace("{}", "").split()))
    endings = {word for ending in LANGUAGE.units.unit_endings(None) for word in ending.split()}
    for slot in slots:
        said = {*LANGUAGE.numbers.number_vocabulary(slot.kind), *slot.before.split(), *slot.after.split()}
        wanted.update(said | endings if slot.kind is not SlotKind.WHOLE else said)
    return dict(wanted)


def add_twins(folder: Path, wanted: Mapping[str, int]) -> int:
    """Give the words of the model in ``folder`` so many twins each, in place of those that it has; return how many.

    A word that the model does not know gets none.

    Raises:
        OSError: OpenFst is not installed.
        subprocess.CalledProcessError: OpenFst refused the graph.
    """
    names = read_names(folder)
    arcs, final = read_graph(folder / "graph/HCLr.fst")
    words = [word for word in names.values() if TWIN not in word]
    place = {word: number for number, word in enumerate(words)}
    more: dict[str, list[int]] = defaultdict(list)
    for word in sorted(wanted.keys() & place.keys()):
        more[word] = [*range(len(words), len(words) + wanted[word])]
        words += [twin(word, number) for number in range(1, wanted[word] + 1)]
    told = []
    for source, target, heard, said, cost in arcs:
        word = names[said]
        if TWIN not in word:
            told += [(source, target, heard, number, cost) for number in (place[word], *more[word])]
    write_tree(folder, words, told, final)
    return sum(map(len, more.values()))
