"""What a plan is made of, and what it is: tasks, gaps between them, who and what there is, and when each is done.

All times are whole seconds from now.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field

MECHANIC = "mechanic"
"""Who does a task where nobody says otherwise."""
OF_PEOPLE = "person "
"""What names of people begin with in :attr:`Task.takes`."""


@dataclass(frozen=True, slots=True)
class Lag:
    """A time of ``seconds`` [s] that is counted from the end of the task with the id ``task``."""

    task: str
    seconds: int


@dataclass(frozen=True, slots=True)
class Task:
    """One thing to do, or to wait for.

    ``after``: it starts no sooner than so long after the end of another (cure, cool). ``within``: it ends no later than
    so long after the end of another (open time). ``tools`` and ``people`` are taken all the while; one that is named
    twice is taken twice. A wait takes nobody.
    """

    id: str
    seconds: int = 0
    needs: tuple[str, ...] = ()
    after: tuple[Lag, ...] = ()
    within: tuple[Lag, ...] = ()
    tools: tuple[str, ...] = ()
    people: tuple[str, ...] = (MECHANIC,)
    instead: tuple[str, ...] = ()
    """Who else may do it, in place of ``people``; () where nobody else may."""
    earliest: int = 0
    """It starts no sooner [s from now]: a wait that runs is over then."""
    latest: int | None = None
    """It ends no later [s from now]: an open time that runs is over then."""
    known: bool = True
    """Whether anybody knows how long it takes."""

    @property
    def takes(self) -> Counter[str]:
        """Return how many of each tool and person it takes; the two kinds are told apart by their first word."""
        return Counter([*(f"tool {one}" for one in self.tools), *(f"{OF_PEOPLE}{one}" for one in self.people)])

    @property
    def takes_instead(self) -> Counter[str]:
        """Return the same where the others do it; as :attr:`takes` where nobody else may."""
        return Counter(
            [*(f"tool {one}" for one in self.tools), *(f"{OF_PEOPLE}{one}" for one in self.instead or self.people)]
        )


@dataclass(frozen=True, slots=True)
class Means:
    """How many there are of each tool (id) and of each kind of person; one of what is not named."""

    tools: Mapping[str, int] = field(default_factory=dict)
    people: Mapping[str, int] = field(default_factory=dict)

    def of(self, name: str) -> int:
        """Return how many there are of a name of :attr:`Task.takes`."""
        kind, _, one = name.partition(" ")
        return (self.tools if kind == "tool" else self.people).get(one, 1)


@dataclass(frozen=True, slots=True)
class Span:
    """When a task is done [s from now]."""

    task: str
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class WorkPlan:
    """What is done when, in the order of the starts; it ends after ``seconds`` [s].

    No plan is shorter than ``bound`` [s]. ``proven``: this one is the shortest; else the solver came to the end of its
    work before it knew. ``bottleneck`` are the tasks (ids) of which each makes the next one wait, up to the end: what
    is longer there makes the whole job longer. ``solved``: a solver had to look for the order. ``given`` are the tasks
    (ids) that those do who may do them in place of others.
    """

    spans: tuple[Span, ...]
    seconds: int
    bound: int
    proven: bool
    bottleneck: tuple[str, ...]
    solved: bool = False
    given: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Window:
    """An open time of ``seconds`` [s] in which ``joins`` must be done, behind ``began`` ("" when it runs already).

    ``within`` are the tasks (ids) that must come in it, and ``least`` is how long they take at least [s].
    """

    began: str
    joins: str
    seconds: int
    within: tuple[str, ...]
    least: int
