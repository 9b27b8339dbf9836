"""Which other values a spoken number may have been: those that sound like it and that can be, as the job stands."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from assistant.events import Command
from assistant.facts import Fact
from assistant.facts.inputs import UnderstoodAlike
from assistant.language.port import Language
from assistant.procedure.kinds import KINDS
from assistant.session.here import Here
from assistant.session.part import SESSION


def alike_values(
    text: str, command: Command, here: Here, language: Language, meant: Callable[[str], Command | None]
) -> tuple[Decimal, ...]:
    """Return the other values that ``text`` may have been, in rising order; ``meant`` tells what a text asks for.

    A value that cannot be here is none of them: nothing is read back for its sake.
    """
    part = None if here.step is None else KINDS.find(here.step, SESSION)
    own = number_in(command)
    if part is None or own is None or command.intent not in part.may_be:
        return ()
    may_be = part.may_be[command.intent]
    found = (meant(other) for other in language.numbers.may_have_been(text))
    values = {value for one in found if one is not None and (value := number_in(one)) is not None}
    return tuple(sorted(value for value in values - {own} if may_be(here, here.step, value)))


def number_in(command: Command) -> Decimal | None:
    """Return the number of a command, which may be the name of what is said alone; None where it has none."""
    if command.number is not None or command.intent != "bare_reading":
        return command.number
    return Decimal(command.name)


def alike_of(given: Fact) -> tuple[Decimal, ...]:
    """Return the other values that the number in ``given`` may have been."""
    return given.alike if isinstance(given, UnderstoodAlike) else ()
