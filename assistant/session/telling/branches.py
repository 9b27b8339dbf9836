"""What is said of branches: where an answer leads, that one begins or ends, and that the job stops behind one."""

from __future__ import annotations

from assistant.facts.asking import Granted, tag_of_ask
from assistant.facts.extra import AskBranch, AskPastStop, BranchEnd, BranchEnded, BranchTaken
from assistant.session.branching import branch_of
from assistant.session.places import OfferPlace
from assistant.session.telling.asked import ReadBack, add_read_back
from assistant.session.telling.core import Telling, tells


def led_words(t: Telling, key: str) -> list[str]:
    """Return where an answer leads, behind the answer itself, and the question for the word."""
    branch = branch_of(t.job, key)
    if branch is None:
        return []
    return t.language.extra.leads_to(branch.title, len(branch.steps), branch.minutes, extra=branch.extra)


def was_led(t: Telling) -> bool:
    """Return whether an answer was confirmed that leads into a branch: then it was read back right before."""
    return any(isinstance(one, Granted) and one.what == tag_of_ask(AskBranch) for one in t.facts)


@tells(BranchTaken)
def _taken(t: Telling, fact: BranchTaken) -> None:
    """Say what begins, where that was not read back right before, and the job goes there."""
    branch, waits = branch_of(t.job, fact.branch), isinstance(t.place, OfferPlace)
    if branch is not None and not was_led(t) and fact.branch in t.place.within[: -1 if waits else None]:
        t.say(*t.language.extra.opens(branch.title, len(branch.steps), branch.minutes))


@tells(BranchEnded)
def _ended(t: Telling, fact: BranchEnded) -> None:
    t.say(t.language.extra.asked_again() if fact.how is BranchEnd.AGAIN else t.language.extra.back_to_job())


def _summary(t: Telling, _: AskPastStop) -> str:
    return t.language.extra.stop_passed_summary()


add_read_back(AskPastStop, ReadBack(summary=_summary))
