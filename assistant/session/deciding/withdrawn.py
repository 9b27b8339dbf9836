"""A procedure that was withdrawn: a job with it begins only for somebody who insists, and one that runs goes on."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.withdrawn import AskAnyhow, BegunAnyhow, RevisionGone
from assistant.session.deciding import asking, wordiness
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant
from assistant.session.intents import CORRECT, KNOBS, QUESTIONS

_BEFORE_IT = frozenset((
    *QUESTIONS, *KNOBS, *wordiness.acts(), CORRECT, "note", "problem", "pause", "hand_over", "finish", "remind",
    "forget_reminder", "helper_comes", "helper_comes_of", "helper_leaves", "helper_leaves_of",
))  # fmt: skip
"""Intents that do nothing of the work."""


def learn_of_it(d: Deciding, _given: RevisionGone) -> None:
    """Ask whether to begin anyhow, where nobody has said so."""
    gone = d.state.gone
    if gone is not None and gone.holds and d.phase == d.base:
        asking.ask(d, AskAnyhow(revision=gone.revision))


def holds_work(d: Deciding, command: Command) -> bool:
    """Ask once more in place of ``command``, where it would do some of the work; return whether it does."""
    gone = d.state.gone
    if gone is None or not gone.holds or d.phase != d.base or command.intent in _BEFORE_IT:
        return False
    asking.ask(d, AskAnyhow(revision=gone.revision))
    return True


def _begin_anyhow(d: Deciding, question: AskAnyhow, _reason: str) -> None:
    d.put(BegunAnyhow(revision=question.revision))


add_grant(AskAnyhow, _begin_anyhow)
