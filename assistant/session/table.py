"""The state table: one row for each state, and what follows from it. The one adapter to the ``transitions`` library.

A row says what may be said in its state and what each of that does, what helps most there, what is likely next. What
may be said, the help, the docs, the page's buttons and the pedal's meaning come from the rows and from nowhere else.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from enum import Enum
from functools import cache

from transitions import Machine, MachineError

from assistant.events import Command
from assistant.language.sentence import Sentence
from assistant.session.deciding.core import Deciding
from assistant.session.here import Here

Act = Callable[[Deciding, Command], None]
"""What an understood command does: it puts facts, and nothing else."""


class Layer(Enum):
    """Whether a state is one of the work, lies over one, or is the begin or the end of a job."""

    WORK = "work"
    OVER = "over"
    BEGIN = "begin"
    END = "end"


class PageMode(Enum):
    """What a page is in a state."""

    WORK = "work"
    ASKING = "asking"
    """Something waits for a decision."""
    DICTATION = "dictation"
    PAUSED = "paused"
    HAND_OVER = "hand_over"
    NAMING = "naming"
    """A second person is asked for."""
    CLOSED = "closed"


@dataclass(frozen=True, slots=True)
class Row:
    """One state. ``acts``: by intent, in the order in which they are told, what it does here."""

    name: str
    acts: Mapping[str, Act]
    layer: Layer = Layer.WORK
    below: Act | None = None
    """What all does here that may be said in the state of the work below; None where none of it may be said."""
    free_speech: bool = False
    """Whether words that are no phrase may be spoken; a state that takes them without that has them typed."""
    onto: tuple[str, ...] = ()
    """States over the work that may follow at once, without the work between them."""
    page: PageMode = PageMode.WORK
    means: str = ""
    """What the state is, for whoever reads the docs."""
    helps: tuple[str, ...] = ()
    """At most four intents that help most here."""
    hint: Sentence | None = None
    """What is told at the first place of this state."""
    next_goes_on: Callable[[Here], bool] = field(default=lambda _: True)
    """Whether "next" (and the pedal) does something here at this moment."""
    leads_on: Callable[[Here], Sequence[str]] = field(default=lambda _: ("next",))
    """The intents that lead on at this moment: what a page says beside what is to be done."""
    likely: Callable[[Here], Iterable[Command]] = field(default=lambda _: (Command("next"),))
    """What is likely to be said next, so that its answer can be spoken without delay."""


_ROWS: dict[str, Row] = {}


def add_rows(*rows: Row) -> None:
    """Enter rows into the table.

    Raises:
        ValueError: there is one of that name.
    """
    for row in rows:
        if row.name in _ROWS:
            raise ValueError(f'There are two rows for the state "{row.name}".')
        _ROWS[str(row.name)] = row  # for the library, a name that is a member of an enum would be another thing
    machine_of.cache_clear()


@contextmanager
def kept() -> Iterator[None]:
    """Forget at the end what is entered meanwhile; for a state that is there for a while, as in a test."""
    before = dict(_ROWS)
    try:
        yield
    finally:
        _ROWS.clear()
        _ROWS.update(before)
        machine_of.cache_clear()


def all_rows() -> Mapping[str, Row]:
    """Return all rows by the names of their states, in order."""
    return _ROWS


def row_of(state: str) -> Row:
    """Return the row of a state."""
    return _ROWS[state]


def names_of(layer: Layer) -> list[str]:
    """Return the names of the states of a layer, in order."""
    return [name for name, row in _ROWS.items() if row.layer is layer]


class _Phase:
    """What the machine moves: the name of a state."""

    phase = ""


@cache
def machine_of() -> tuple[_Phase, Machine]:
    """Return the machine of the table: which state may follow which."""
    model = _Phase()
    names = list(_ROWS)
    begin, work, over, end = (names_of(layer) for layer in (Layer.BEGIN, Layer.WORK, Layer.OVER, Layer.END))
    machine = Machine(model=model, states=names, initial=begin[0], auto_transitions=False, model_attribute="phase")
    for name in work:
        machine.add_transition(f"to_{name}", [*begin, *work, *over], name)
    for name in over:
        machine.add_transition(f"to_{name}", [*work, *(one for one in over if name in row_of(one).onto)], name)
    for name in end:
        machine.add_transition(f"to_{name}", [*work], name)
    return model, machine


def step_to(before: str, after: str) -> None:
    """Make sure that the state ``after`` may follow ``before``.

    Raises:
        MachineError: it may not; the code that put such a fact is wrong, and nothing of its answer is kept.
    """
    if before == after:
        return
    model, machine = machine_of()
    machine.set_state(str(before))
    if not machine.events.get(f"to_{after}") or not model.trigger(f"to_{after}"):  # type: ignore[attr-defined]
        raise MachineError(f"{after} does not follow {before}.")
