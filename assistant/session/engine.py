"""One job at work: what all the acts share. It collects what an input brings about, and knows where the job stands."""

from __future__ import annotations

from decimal import Decimal
from functools import cached_property
from typing import TYPE_CHECKING, Any, TypeVar

from assistant.events import Adjust, Effect, Hush, Record, Say, Tone, ToneKind
from assistant.fastening.programme import Way
from assistant.fastening.quantities import plain
from assistant.fastening.tools import ToolBox
from assistant.fastening.units import Angle, AngleUnit, Torque
from assistant.language.en.talk import breaths
from assistant.language.values import StepAt
from assistant.procedure.model import Group, Item, Procedure, Step, Timer
from assistant.procedure.refits import Refit, refits_of
from assistant.procedure.steps.check import CheckStep
from assistant.procedure.steps.count import CountStep, Direction
from assistant.procedure.steps.fit import FitStep
from assistant.procedure.steps.tighten import TightenStep
from assistant.procedure.steps.wait import WaitStep
from assistant.session.machine import Table
from assistant.session.places import Card, Chunk, End, Place, Safety, StepPlace, chunks_of, places_of
from assistant.session.state import Planned, State

if TYPE_CHECKING:
    from assistant.session.stage_plan import StageTools

S = TypeVar("S", bound=Step)


class Engine:
    """The procedure, the state, and the answer that is being made. Times are whole milliseconds since the epoch."""

    def __init__(self, procedure: Procedure) -> None:
        self.procedure = procedure
        self.places: tuple[Place, ...] = places_of(procedure)
        self.groups: dict[str, Group] = {group.id: group for group in procedure.groups}
        self.timers: dict[str, Timer] = {timer.id: timer for timer in procedure.timers}
        self.items: dict[str, Item] = {
            item.id: item
            for items in (procedure.support_equipment, procedure.supplies, procedure.spares)
            for item in items
        }
        self.chunks: dict[str, tuple[Chunk, ...]] = {
            place.key: chunks_of(place.step, procedure)
            for place in self.places
            if isinstance(place, StepPlace) and isinstance(place.step, TightenStep)
        }
        self._steps: dict[type[Step], list[Any]] = {}
        self.called: dict[str, StepAt] = {}
        """How each step is called inside a sentence, by its key; :mod:`assistant.session.closing` fills it."""
        self.rules = 1
        """The rules that the job was opened under; an old journal is built again under its own."""
        self.tools: ToolBox | None = None
        self.plans: dict[tuple[str, int, Planned], StageTools] = {}
        self.state = State()
        self.table = Table(self)
        self.last_heard: dict[str, Any] | None = None
        """What came in last and whether it was understood, for a display."""
        self.refused = False
        """Whether it was understood and changed nothing, because it is not possible here."""
        self.begin(0, "clock")

    def begin(self, now_ms: int, by: str) -> None:
        """Begin a new answer."""
        self.now_ms = now_ms
        self.by = by
        self.records: list[Record] = []
        self.words: list[str] = []
        self.others: list[Effect] = []
        self.keep_last = False
        self.heard_of_hazard = "all"
        """How far the hazard that waits was heard when the input came; see :mod:`assistant.session.hazards`."""

    # The answer

    def record(self, kind: str, /, **data: Any) -> None:
        """Put down a fact; notes, problems and deviations are remembered for whoever takes over."""
        self.records.append(Record(kind, {**data, "by": self.by}))
        if kind in ("note", "problem", "deviation"):
            words = str(data.get("text") or data.get("reason", ""))
            self.state.told.append((kind, str(data.get("step") or ""), words))

    def say(self, *sentences: str) -> None:
        """Add sentences to what will be said."""
        self.words += [sentence for sentence in sentences if sentence]

    def tone(self, kind: ToneKind) -> None:
        """Sound a tone before the words."""
        self.others.append(Tone(kind))

    def do(self, effect: Adjust | Hush) -> None:
        """Turn a knob, or hush."""
        self.others.append(effect)

    def answer(self) -> list[Effect]:
        """Return what was collected, in order: records, tones, words."""
        effects: list[Effect] = [*self.records, *self.others]
        if self.words:
            text = breaths(" ".join(self.words))
            if not self.keep_last:
                self.state.last_said = text
            effects.append(Say(text, cut=self.by != "clock"))
        return effects

    # Where the job stands

    @property
    def phase(self) -> str:
        """The present state of the table; only the table sets it."""
        return self.state.phase

    @phase.setter
    def phase(self, state: str) -> None:
        self.state.phase = state

    @property
    def place(self) -> Place:
        """The present place."""
        return self.places[self.state.at]

    @property
    def step(self) -> Step | None:
        """The present step; None in the preparation and behind the end."""
        return self.place.step if isinstance(self.place, StepPlace) else None

    @property
    def base(self) -> str:
        """The state of the work at this place, whatever lies over it."""
        if self.unread is not None:
            return "hazard"
        match self.place:
            case Card() | Safety():
                return "preparing"
            case End():
                return "finishing"
            case StepPlace(step=step):
                return self._tightening(step) if isinstance(step, TightenStep) else _KINDS.get(type(step), "doing")

    def _tightening(self, step: TightenStep) -> str:
        here = self.bolt_place()
        if here is not None and self.rules >= 2:
            chunk, bolts, index, offset = here
            if any((chunk.group, bolt) in self.state.worn for bolt in bolts) or self.must_renew(step, chunk):
                return "renewing"
            if (step.id, index, offset) in self.state.off:
                return "out_of_limits"
            if self.rules >= 3 and (step.id, index, offset) in self.state.turned:
                return "turned"
        return "one_bolt" if self.state.one_by_one else "tightening"

    def must_renew(self, step: TightenStep, chunk: Chunk) -> bool:
        """Return whether the fasteners of ``chunk`` are used only once and nobody said yet that they are new.

        Fitting the right number of new ones, in a step before, says so too.
        """
        group = self.groups[chunk.group]
        if not group.single_use or chunk.way is Way.LOOSEN or (step.id, group.id) in self.state.renewed:
            return False
        if self._new_before(step, chunk):
            return False
        return not any(
            one.spare == group.spare and one.id in self.state.fitted and one.id not in self.state.deviations
            for one in self.steps_of(FitStep)
        )

    def _new_before(self, step: TightenStep, chunk: Chunk) -> bool:
        """Return whether the bolts of ``chunk`` were said to be new, or were tightened, in this step or one before it.

        Before rules 3 one tightened bolt of the group was enough, and a step before that has it, even if left out.
        """
        until = self.steps_of(TightenStep).index(step)
        known: set[int] = set()
        for one in self.steps_of(TightenStep)[: until + 1]:
            chunks = self.chunks[one.id]
            taking = [index for index in range(len(chunks)) if self._takes(one, chunk.group, index)]
            tightened = [(index, at) for name, index, at in self.state.bolts if name == one.id and index in taking]
            if self.rules < 3 and (tightened if one is step else taking):
                return True
            known |= {chunks[index].bolts[at] for index, at in tightened}
            if (one.id, chunk.group) in self.state.renewed:
                known |= {bolt for index in taking for bolt in chunks[index].bolts}
        return set(chunk.bolts) <= known

    def _takes(self, step: TightenStep, group: str, index: int) -> bool:
        chunk = self.chunks[step.id][index]
        return chunk.group == group and chunk.way is not Way.LOOSEN

    @property
    def listening(self) -> str:
        """The state of the grammar: as :attr:`base`, but a check that asks for a value is "reading".

        It is "reading_signed" where the value may lie below zero.
        """
        step = self.step
        base = self.base
        if base != "checking" or not isinstance(step, CheckStep) or step.limits is None:
            return base
        least = step.limits.low if step.limits.low is not None else step.limits.high
        return "reading_signed" if least is not None and least < 0 else "reading"

    def stands_at(self, state: str) -> bool:
        """Guard of the table."""
        return self.base == state

    def closing_agreed(self) -> bool:
        """Guard of the table: the closing was read back and confirmed."""
        pending = self.state.pending
        return pending is not None and pending.action == "finish" and pending.final

    @property
    def unread(self) -> int | None:
        """Index of the first hazard of this place that is not acknowledged."""
        place = self.place
        return next(
            (
                number
                for number in range(len(place.hazards))
                if (place.key, number) not in self.state.acknowledged
            ),
            None,
        )  # fmt: skip

    def settle(self) -> None:
        """Go to the state of the present place."""
        self.table.fire("enter")

    # Bolts

    def bolt_place(self) -> tuple[Chunk, tuple[int, ...], int, int] | None:
        """Return the present chunk, its bolts that are meant now, its index and the first one's index inside it.

        None outside a tightening, and behind its last bolt.
        """
        step = self.step
        if not isinstance(step, TightenStep):
            return None
        chunks = self.chunks[step.id]
        index, offset = self.state.pointers.get(step.id, (0, 0))
        if index >= len(chunks):
            return None
        bolts = chunks[index].bolts
        end = offset + 1 if self.state.one_by_one else self._end(step.id, index, offset)
        return chunks[index], bolts[offset:end], index, offset

    def _end(self, step: str, index: int, offset: int) -> int:
        """Return the offset behind the bolts that are meant together.

        One with a reading out of limits stands alone, and so do those that got their further angle before.
        """
        turned = (step, index, offset) in self.state.turned
        for at in range(offset, len(self.chunks[step][index].bolts)):
            if (step, index, at) in self.state.off:
                return max(at, offset + 1)
            if self.rules >= 3 and ((step, index, at) in self.state.turned) is not turned:
                return at
        return len(self.chunks[step][index].bolts)

    def open_bolts(self, step: TightenStep) -> list[tuple[int, int]]:
        """Return where bolts are neither tightened nor left out with a reason, in order."""
        return [
            (index, offset)
            for index, chunk in enumerate(self.chunks[step.id])
            for offset in range(len(chunk.bolts))
            if (step.id, index, offset) not in self.state.bolts
            and (step.id, index, offset) not in self.state.bolts_skipped
        ]

    def bolts_of(self, step: TightenStep, turn: int) -> list[tuple[int, int]]:
        """Return where the bolts of one pass are, in order."""
        chunks = enumerate(self.chunks[step.id])
        return [(index, at) for index, chunk in chunks if chunk.turn == turn for at in range(len(chunk.bolts))]

    def bolt_done(self, step: TightenStep, index: int, offset: int) -> bool:
        """Return whether a bolt was tightened in its pass."""
        return (step.id, index, offset) in self.state.bolts

    # Counts

    def expected_count(self, step: CountStep) -> int:
        """Return how many fasteners this step must count: those of the group that other steps did not account for.

        Those that go in are as many as came out; when none were counted out, all of the group.
        """
        out = self.counted(step.group, Direction.OUT, but=step.id)
        if step.direction is Direction.OUT:
            total = len(self.groups[step.group].bolts)
            return max(0, total - (out or 0))
        total = len(self.groups[step.group].bolts) if out is None else out
        return max(0, total - (self.counted(step.group, Direction.IN, but=step.id) or 0))

    def counted(self, group: str, direction: Direction, *, but: str = "") -> int | None:
        """Return how many of a group were counted out or in, by all steps ``but`` one; None where nobody counted."""
        counts = [
            self.state.counts[step.id]
            for step in self.steps_of(CountStep)
            if step.group == group and step.direction is direction and step.id != but and step.id in self.state.counts
        ]
        return sum(counts) if counts else None

    @cached_property
    def refits(self) -> tuple[Refit, ...]:
        """The parts that come off and go back on."""
        return refits_of(self.procedure.steps)

    def steps_of(self, kind: type[S]) -> list[S]:
        """Return all steps of one kind, closing steps too."""
        if kind not in self._steps:
            steps = [place.step for place in self.places if isinstance(place, StepPlace)]
            self._steps[kind] = [step for step in steps if isinstance(step, kind)]
        return self._steps[kind]


_KINDS: dict[type[Step], str] = {
    CheckStep: "checking",
    CountStep: "counting",
    WaitStep: "waiting",
    FitStep: "fitting",
}


def target_data(target: Torque | Angle | None) -> dict[str, Any] | None:
    """Return a target as JSON values: the number as text, the unit, and whether it is a further angle."""
    if target is None:
        return None
    if isinstance(target, Angle):
        return {"value": plain(target.to(AngleUnit.DEGREE).value), "unit": "°", "further": True}
    return {"value": plain(target.value), "unit": target.unit.value, "further": False}


def text_of(number: Decimal | None) -> str | None:
    """Return a decimal as text for the journal."""
    return None if number is None else plain(number)
