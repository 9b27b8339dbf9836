"""Stages 4 and 5 together: a checkpoint becomes a whole model directory with checksums."""

from __future__ import annotations

from pathlib import Path

from assistant.voice.listening.limits import LIMITS_FILE
from assistant.voice.listening.model_files import NEAR_WORDS
from models.recipe.blocks import read_index, training_parts
from models.recipe.export import export
from models.recipe.graph import Costs, build_graph, phone_pairs_of
from models.recipe.lexicon import shipped_lexicon, training_words, words_near_phrases
from models.recipe.net import load_net
from models.recipe.respell import write_checksums
from models.recipe.twins import add_twins, twins_wanted
from models.recipe.weighing import weigh


def package(checkpoint: Path, parts: Path, folder: Path, bits: int = 16, everyday: int = 5000) -> None:
    """Write the model directory ``folder`` from a checkpoint; the texts of training say how likely phones follow."""
    export(load_net(str(checkpoint)), folder, bits)
    (folder / LIMITS_FILE).unlink(missing_ok=True)  # they were chosen for the net that was there
    write_graph(folder, parts, Costs(), everyday)


def write_graph(folder: Path, parts: Path, costs: Costs, everyday: int = 5000) -> None:
    """Write all of the model directory ``folder`` but the net: graph, words that sound like a phrase, checksums."""
    words = training_words()
    said = (words[word][0] for clip in read_index(parts, training_parts(parts)) for word in clip.text.split())
    build_graph(shipped_lexicon(everyday), phone_pairs_of((way, 1.0) for way in said), folder, costs)
    add_twins(folder, twins_wanted())
    weigh(folder)
    (folder / NEAR_WORDS).parent.mkdir(exist_ok=True)
    (folder / NEAR_WORDS).write_text("".join(f"{word}\n" for word in words_near_phrases()), "utf-8")
    write_checksums(folder)
