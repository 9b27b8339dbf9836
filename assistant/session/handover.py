"""Handing the job over: who leaves, who takes over, and what the new one must know."""

from __future__ import annotations

from assistant.events import Command
from assistant.procedure.refits import parts_off
from assistant.procedure.steps.count import CountStep, Direction
from assistant.procedure.steps.fit import FitStep
from assistant.session import clocks, closing, critical, presenting, questions, replies, replies_lists, sentences
from assistant.session.engine import Engine
from assistant.session.state import Pending

MOST_TOLD = 4
"""How many notes, problems and deviations are told, the newest ones."""


def begin(e: Engine, operator: str) -> None:
    """Take the names of the job card, parted by commas: the first one works, the others may take over."""
    names = names_in(operator)
    e.state.operators = dict.fromkeys(names)
    e.state.operator = names[0] if names else ""


def names_in(operator: str) -> list[str]:
    """Return the names of a job card, which are parted by commas."""
    return [" ".join(name.split()) for name in operator.split(",") if name.strip()]


def go_on(e: Engine, operator: str) -> bool:
    """Take the names that a job is taken up again with; return whether somebody else than before goes on."""
    names = [_known(e, name) for name in names_in(operator)]
    if not names:
        return False
    other = names[0] != e.state.operator
    if other:
        take(e, names[0])
    e.state.operators |= dict.fromkeys(names)
    return other


def _known(e: Engine, name: str) -> str:
    """Return a name as it was first written: capitals and blanks make nobody else of a person."""
    name = " ".join(name.split())
    return next((known for known in e.state.operators if known.casefold() == name.casefold()), name)


def ask(e: Engine) -> None:
    """Ask whether the job shall be handed over."""
    critical.ask(e, Pending("hand_over", sentences.HAND_OVER, sentences.HAND_OVER, {}, final=True))


def leave(e: Engine) -> None:
    """Let the one who works go, and ask who takes over."""
    e.record("handing_over", left_by=e.state.operator)
    e.table.fire("leave")
    ask_who(e)


def _others(e: Engine) -> list[str]:
    return [name for name in e.state.operators if name != e.state.operator]


def ask_who(e: Engine) -> None:
    """Ask who takes over."""
    e.say(*replies_lists.who(_others(e)))


def operator(e: Engine, command: Command) -> None:
    """Take the number of the one who takes over."""
    others = _others(e)
    number = int(command.number or 0)
    if not 1 <= number <= len(others):
        e.say(sentences.NO_SUCH_OPERATOR)
        ask_who(e)
        return
    take(e, others[number - 1])


def take_over(e: Engine) -> None:
    """Take "take over": the only one who is left, or somebody who gave no name; of several, ask which."""
    others = _others(e)
    if len(others) > 1:
        ask_who(e)
        return
    take(e, others[0] if others else "")


def take(e: Engine, name: str) -> None:
    """Put down who takes over, greet, and tell what there is to know."""
    name = _known(e, name)
    before = e.state.operator
    e.record("handed_over", left_by=before, taken_by=name)
    e.state.operator = name
    e.state.hinted.clear()  # whoever is new has heard none of them
    if name:
        e.state.operators[name] = None
    e.settle()
    e.say(replies_lists.welcome(name, before))
    brief(e)


def stay(e: Engine) -> None:
    """Go on without a change."""
    e.record("cancelled", what="hand_over", why="said")
    e.settle()
    e.say(sentences.CANCELLED)
    questions.where(e)


def brief(e: Engine) -> None:
    """Say where the job is, what is open, noted, accepted, timed, and what is off and not back on."""
    questions.where(e)
    if e.unread is None:
        e.say(*presenting.after_break(e))
    state = e.state
    called = closing.step_names(e)
    e.say(replies_lists.steps_done(sum(key in called for key in state.done)))
    e.say(replies.steps_left(sum(key in called for key in closing.open_steps(e))))
    e.say(replies_lists.left_out([called[key] for key in state.skipped if key in called]))
    e.say(*replies_lists.missing(state.missing))
    e.say(replies_lists.stripped(_out(e)), replies_lists.off(parts_off(e.refits, state.done)))
    e.say(*clocks.live_words(e))
    told = state.told[-MOST_TOLD:]
    e.say(*(replies_lists.told(kind, called.get(step), words) for kind, step, words in told))
    e.say(replies_lists.told_before(len(state.told) - len(told)))
    if e.unread is not None:
        e.say(replies.hazard(e.place.hazards[e.unread]))  # whoever takes over may not have heard it


def _out(e: Engine) -> list[tuple[str, int]]:
    """Return name and number of the fasteners of every group that were counted out and not yet back in.

    New ones that were fitted in their place are in.
    """
    found = []
    for group in dict.fromkeys(step.group for step in e.steps_of(CountStep)):
        spare = e.groups[group].spare
        new = sum(e.state.fitted.get(step.id, 0) for step in e.steps_of(FitStep) if spare and step.spare == spare)
        left = (e.counted(group, Direction.OUT) or 0) - (e.counted(group, Direction.IN) or 0) - new
        if left > 0:
            found.append((e.groups[group].name, left))
    return found
