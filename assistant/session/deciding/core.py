"""One answer being decided: the facts that an input brings about, and where the job stands behind each of them."""

from __future__ import annotations

from collections.abc import Callable

from assistant.facts import Fact
from assistant.facts.going import Refused, RefusedWhy
from assistant.facts.inputs import HeardFar, Understood
from assistant.session.evolving.table import evolve
from assistant.session.here import Here
from assistant.session.job import Job
from assistant.session.state import State


class Deciding(Here):
    """A job while one input is answered. Acts look at it as at any :class:`Here`, and put facts into it."""

    def __init__(
        self, job: Job, state: State, given: Fact, now_ms: int, quiet_ms: int, step_to: Callable[[str, str], None]
    ) -> None:
        """Begin with the input ``given``; since ``quiet_ms`` the voice is silent [ms since the epoch].

        ``step_to`` is the machine of the table: it refuses a state that may not follow another.
        """
        super().__init__(job, state, now_ms)
        self._step_to = step_to
        self.given = given
        self.quiet_ms = quiet_ms
        self.facts: list[Fact] = []
        self.put(given)

    def put(self, fact: Fact) -> None:
        """Put down a fact; the job stands behind it from here on.

        Raises:
            MachineError: the table has no way to the state that it leads to.
        """
        before = self.phase
        self.state = evolve(self.state, fact)
        self._step_to(before, self.phase)
        self.facts.append(fact)

    def refuse(self, why: RefusedWhy) -> None:
        """Put down that nothing comes of what was understood."""
        self.put(Refused(why=why))

    @property
    def heard_far(self) -> HeardFar:
        """How far the hazard that waits was heard when the input came."""
        return self.given.hazard or HeardFar.ALL if isinstance(self.given, Understood) else HeardFar.ALL
