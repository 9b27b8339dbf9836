"""What is said of a procedure that was withdrawn."""

from __future__ import annotations

from datetime import date

from assistant.facts.withdrawn import AskAnyhow, BegunAnyhow, RevisionGone
from assistant.language.port import Language
from assistant.session.here import Here
from assistant.session.telling import going
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells


@tells(RevisionGone)
def _gone(t: Telling, fact: RevisionGone) -> None:
    """Say it to whoever goes on; where it must be insisted on, the question says it."""
    if t.state.waiting is None:
        t.say(*t.language.equipment.procedure_gone(_day(fact.on), fact.reason, begins=False))


@tells(BegunAnyhow)
def _begun_anyhow(t: Telling, _: BegunAnyhow) -> None:
    going.announce(t)


def _anyhow_words(t: Telling, _: AskAnyhow) -> list[str]:
    gone = t.state.gone
    return [] if gone is None else t.language.equipment.procedure_gone(_day(gone.on), gone.reason, begins=True)


def gone_shown(here: Here, language: Language) -> list[str]:
    """Return what a display shows of it all the time; nothing where it was not withdrawn."""
    gone = here.state.gone
    return [] if gone is None else [language.equipment.procedure_gone_shown(gone.revision, _day(gone.on), gone.reason)]


def _day(text: str) -> date | None:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return None


add_read_back(AskAnyhow, ReadBack(_anyhow_words))
