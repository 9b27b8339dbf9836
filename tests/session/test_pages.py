"""The pages of the docs that come from the tables are not stale, and the table allows no jump."""

from __future__ import annotations

from pathlib import Path

import pytest
from transitions import MachineError

from assistant.language.en.phrases import phrases
from assistant.session import diagram
from assistant.session.intents import INTENTS
from assistant.session.table import Layer, all_rows, machine_of, step_to

DOCS = Path(__file__).parents[2] / "docs"


@pytest.mark.parametrize(("name", "page"), [("states", diagram.states_page), ("commands", diagram.commands_page)])
def test_the_page_is_what_the_table_says_now(name: str, page: object) -> None:
    assert callable(page)
    text = (DOCS / f"{name}.md").read_text(encoding="utf-8")
    assert text == page(), f"docs/{name}.md is stale: run python -m assistant.session.diagram {name} > docs/{name}.md"


def test_every_phrase_is_in_the_docs() -> None:
    text = (DOCS / "commands.md").read_text(encoding="utf-8")
    said = [phrase.replace("{}", "…") for intent in INTENTS for phrase in phrases(intent.name)]
    assert [phrase for phrase in said if f"*{phrase}*" not in text] == []


def test_no_phrase_means_two_things() -> None:
    said = [phrase for intent in INTENTS for phrase in phrases(intent.name)]
    assert len(said) == len(set(said))


def test_every_intent_can_be_said_somewhere() -> None:
    anywhere = {name for row in all_rows().values() for name in row.acts}
    assert {intent.name for intent in INTENTS} <= anywhere


def test_every_state_but_the_last_leads_on() -> None:
    _, machine = machine_of()
    ways = [edges for event in machine.events.values() for edges in event.transitions.values()]
    edges = {(edge.source, edge.dest) for some in ways for edge in some}
    assert set(all_rows()) - {source for source, _ in edges} == {"closed"}
    assert set(all_rows()) - {dest for _, dest in edges} == {"new"}


@pytest.mark.parametrize("state", [row.name for row in all_rows().values() if row.layer in (Layer.WORK, Layer.OVER)])
def test_every_state_tells_what_it_is_and_what_helps_most(state: str) -> None:
    row = all_rows()[state]
    assert row.means
    assert row.acts
    assert 1 <= len(row.helps) <= 4
    assert set(row.helps) <= {intent.name for intent in INTENTS}


@pytest.mark.parametrize("state", ["closed", "new"])
def test_the_table_has_no_jump_out_of_the_end_or_back_to_the_begin(state: str) -> None:
    with pytest.raises(MachineError):
        step_to("closed" if state == "closed" else "doing", "doing" if state == "closed" else "new")


def test_the_table_has_no_jump_from_a_new_job_to_its_end() -> None:
    with pytest.raises(MachineError):
        step_to("new", "closed")
