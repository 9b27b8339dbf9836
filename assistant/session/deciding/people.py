"""Who works on the job: who leaves it, and who takes it over."""

from __future__ import annotations

from assistant.events import Command
from assistant.facts.asking import AskHandOver, Cancelled, CancelledWhy, tag_of_ask
from assistant.facts.going import HandingOver, RefusedWhy
from assistant.facts.people import HandedOver, OperatorsNamed
from assistant.session.deciding import asking, moving
from assistant.session.deciding.core import Deciding
from assistant.session.deciding.granting import add_grant


def begin(d: Deciding, operator: str) -> None:
    """Take the names of the job card, parted by commas: the first one works, the others may take over."""
    if names := dict.fromkeys(_names_in(operator)):
        d.put(OperatorsNamed(names=", ".join(names)))


def _names_in(operator: str) -> list[str]:
    return [" ".join(name.split()) for name in operator.split(",") if name.strip()]


def taken_up_by(d: Deciding, operator: str) -> bool:
    """Take the names that a job is taken up again with; return whether somebody else than before goes on."""
    names = [_known(d, name) for name in _names_in(operator)]
    if not names:
        return False
    other = names[0] != d.state.operator
    if other:
        take(d, names[0])
    everybody = tuple(dict.fromkeys((*d.state.operators, *names)))
    if everybody != d.state.operators:
        d.put(OperatorsNamed(names=", ".join(everybody)))
    return other


def _known(d: Deciding, name: str) -> str:
    """Return a name as it was first written: capitals and blanks make nobody else of a person."""
    name = " ".join(name.split())
    return next((known for known in d.state.operators if known.casefold() == name.casefold()), name)


def ask_to_leave(d: Deciding, _: Command) -> None:
    """Ask whether the job shall be handed over."""
    asking.ask(d, AskHandOver())


def _leave(d: Deciding, _question: AskHandOver, _reason: str) -> None:
    """Let the one who works go."""
    d.put(HandingOver())


def operator(d: Deciding, command: Command) -> None:
    """Take the number of the one who takes over."""
    number, known = int(command.number or 0), d.may_take_over
    if 1 <= number <= len(known):
        take(d, known[number - 1])
    else:
        d.refuse(RefusedWhy.NO_SUCH_OPERATOR)


def take_over(d: Deciding, _: Command) -> None:
    """Take "take over": the only one who is left, or somebody who gave no name; of several, ask which."""
    known = d.may_take_over
    if len(known) > 1:
        d.refuse(RefusedWhy.WHICH_OPERATOR)
    else:
        take(d, known[0] if known else "")


def typed(d: Deciding, command: Command) -> None:
    """Take a name that was typed."""
    take(d, command.text)


def take(d: Deciding, name: str) -> None:
    """Put down who takes over."""
    d.put(HandedOver(left_by=d.state.operator, taken_by=_known(d, name)))
    moving.take_up(d)


def stay(d: Deciding, _: Command) -> None:
    """Go on without a change."""
    d.put(Cancelled(what=tag_of_ask(AskHandOver), why=CancelledWhy.SAID, at_ms=d.now_ms))


add_grant(AskHandOver, _leave)
