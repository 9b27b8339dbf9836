"""A stage opens with few words: nobody keeps more in mind until the wrench is set."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.events import Source
from assistant.facts.kinds.tighten import Reached
from assistant.language.en import ENGLISH
from assistant.procedure.format.reader import read_procedure
from assistant.session.telling.stage_openings import STAGE_WORDS, stage_openings
from tests.fakes.mechanic import SECOND, next_words
from tests.jobs import DEMOS
from tests.session.bench import Bench


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_every_stage_of_a_demo_opens_with_at_most_twenty_five_words(path: Path) -> None:
    procedure = read_procedure(path).procedure
    assert procedure is not None
    openings = stage_openings(procedure, ENGLISH)
    assert openings
    assert [opening.text for opening in openings if opening.words > STAGE_WORDS] == []


TOOLS = (DEMOS[0].parent / "tools/practice-bay.yaml").read_text("utf-8")


@pytest.mark.parametrize("path", DEMOS, ids=lambda path: path.stem)
def test_with_the_tools_of_the_bay_it_opens_with_no_more_either(path: Path) -> None:
    """A careful mechanic works through the whole job, with wrench, setting and what is to be known of them."""
    bench = Bench(read_procedure(path).usable, tools=TOOLS)
    openings, begun = {}, set()
    while not bench.session.closed:
        before = len(bench.entries)
        words = next_words(bench.session.view(bench.now))
        by_key = Source.KEY if words == SECOND else Source.VOICE
        said = bench.wait(600) if words is None else bench.hear(words, source=by_key)
        for fact, _ in bench.entries[before:]:
            if isinstance(fact, Reached) and fact.bolt is not None and (fact.step, fact.bolt.turn) not in begun:
                begun.add((fact.step, fact.bolt.turn))
                openings[fact.step, fact.bolt.turn] = said
    assert openings
    assert [said for said in openings.values() if len(said.split()) > STAGE_WORDS] == []
