"""The pages of the docs that come from the tables are not stale, and the table allows no jump."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.language.en.phrases import phrases
from assistant.session import diagram
from assistant.session.grammar import ACCEPTS, grammar_of
from assistant.session.intents import INTENTS
from assistant.session.machine import BASES, STATES, TABLE, Table

DOCS = Path(__file__).parents[2] / "docs"


@pytest.mark.parametrize(("name", "page"), [("states", diagram.states_page), ("commands", diagram.commands_page)])
def test_the_page_is_what_the_table_says_now(name: str, page: object) -> None:
    assert callable(page)
    text = (DOCS / f"{name}.md").read_text(encoding="utf-8")
    assert text == page(), f"docs/{name}.md is stale: run python -m assistant.session.diagram {name} > docs/{name}.md"


def test_every_phrase_is_in_the_docs() -> None:
    text = (DOCS / "commands.md").read_text(encoding="utf-8")
    assert [phrase for intent in INTENTS for phrase in phrases(intent.name) if f"*{phrase}*" not in text] == []


def test_no_phrase_means_two_things() -> None:
    said = [phrase for intent in INTENTS for phrase in phrases(intent.name)]
    assert len(said) == len(set(said))


def test_every_intent_can_be_said_somewhere() -> None:
    anywhere = {name for names in ACCEPTS.values() for name in names} | {"confirmed", "cancel"}
    assert {intent.name for intent in INTENTS} <= anywhere


def test_every_state_but_the_last_leads_on() -> None:
    leads_on = {source for _, sources, _, _ in TABLE for source in sources}
    assert set(STATES) - leads_on == {"closed"}
    reached = {destination for _, _, destination, _ in TABLE}
    assert set(STATES) - reached == {"new"}


@pytest.mark.parametrize("state", [*BASES, "dictation", "paused"])
def test_every_state_has_something_to_say(state: str) -> None:
    assert grammar_of(state).phrases


class _Place:
    """Stands at an unread hazard and has agreed to nothing."""

    phase = "hazard"

    def stands_at(self, state: str) -> bool:
        return state == "hazard"

    def closing_agreed(self) -> bool:
        return False


def test_the_table_has_no_jump_past_a_hazard() -> None:
    place = _Place()
    table = Table(place)
    assert not [name for name in dir(table) if name.startswith("to_")]
    for trigger in {trigger for trigger, _, _, _ in TABLE} - {"close"}:
        place.phase = "hazard"
        table.fire(trigger)
        assert place.phase in {"hazard", "confirming", "dictation", "paused", "hand_over"}
    place.phase = "confirming"
    with pytest.raises(Exception, match="No row of the table"):
        table.fire("close")
    assert place.phase == "confirming"
