"""What every step may have in a file, how a kind of step adds its own keys, and the list of steps of any kind."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, TypeVar

from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Alternatives, Codec, Context, Form, Given, Key, Plain
from assistant.procedure.format.codecs import ListOf
from assistant.procedure.format.forms import COMMAND, ID, MINUTES, TEXT, TOLD, YES_NO, refers, refers_each
from assistant.procedure.format.records import KeyTable, article, must
from assistant.procedure.format.things import HAZARDS
from assistant.procedure.format.tree import MapNode, Node
from assistant.procedure.kinds import KINDS, Room
from assistant.procedure.model import Step

_S = TypeVar("_S", bound=Step)
MOST_STEPS = 500

STEP_KEYS = (
    Key("id", ID, "Name of the step in the record; left out, it is step- and its number."),
    Key("hazards", HAZARDS, "Hazards that are read, and confirmed, before the step."),
    Key("info", TOLD, "More about the step, spoken when it is asked for."),
    Key("why", TOLD, "Why the step is done, spoken when somebody asks why."),
    Key("tools", refers_each("support equipment"), "Ids of the support equipment that it needs."),
    Key("supplies", refers_each("supply"), "Ids of the supplies that it needs."),
    Key("minutes", MINUTES, "How long it takes, in minutes."),
    Key("starts", refers("timer"), "The timer that starts when the step is confirmed.", "starts_timer", default=None),
    Key("before", refers("timer"), "The open-time timer that must still run when the step is confirmed; not in a wait "
        "step.", "before_timer", default=None),
    Key("refits", ID, "Id of the step that took off what this one puts back, where the words do not show it.",
        default=None),
    Key("not_refitted", TEXT, "Why what this step takes off stays off."),
    Key("lock", refers("support equipment"), "Id of the tool that this step puts in, and that locks the machine from "
        "then on.", default=None),
    Key("unlock", refers("support equipment"), "Id of the lock that this step takes out.", default=None),
    Key("turns", YES_NO, "yes when the step turns the machine; no when it turns nothing that a lock holds.",
        default=None),
    Key("against", refers_each("support equipment"), "Ids of the locks that are in and may bear the torque of this "
        "step."),
)  # fmt: skip
"""The keys that every step may have."""


@dataclass(frozen=True, slots=True)
class StepFormat:
    """What the file format knows of a kind of step: the key that makes it, the keys of its own, and its whole mapping.

    ``spread`` puts what a step writes in short where it belongs, so that two steps can be compared value by value.
    """

    kind: str
    own: tuple[Key, ...]
    record: KeyTable[Any]
    spread: Callable[[dict[str, Any]], None] | None = None


STEP_FORMAT: Room[StepFormat] = Room("format")
"""How kinds of step stand in a file. The parts lie beside the classes, in :mod:`assistant.procedure.steps`."""


def step_format(
    kind: type[_S],
    name: str,
    means: str,
    *keys: Key,
    check: Callable[[Given], None] | None = None,
    parts: Callable[[_S], Mapping[str, Any]] | None = None,
    alternatives: Alternatives | None = None,
    spread: Callable[[dict[str, Any]], None] | None = None,
) -> StepFormat:
    """Make the kind of step ``kind`` known to the file format.

    The key ``name`` makes it, and holds its text, which is what ``means`` says; ``keys`` are those that only this kind
    has. ``check`` complains about values that do not go together.
    """

    def make(given: Given) -> _S:
        if check is not None:
            check(given)
        values = given.values()
        values["id"] = values["id"] or given.context.made.get("step id", "")
        return kind(**values, line=given.line)

    own = (must(name, COMMAND, means, "text"), *keys)
    record = KeyTable(f"{name} step", (*own, *STEP_KEYS), make, parts, alternatives, elsewhere=_elsewhere)
    return KINDS.add(kind, STEP_FORMAT, StepFormat(name, own, record, spread))


def formats() -> dict[str, StepFormat]:
    """Return every kind of step by the key that makes it."""
    return {one.kind: one for one in KINDS.parts(STEP_FORMAT).values()}


def write_step(step: Step) -> dict[str, Any]:
    """Return the keys and values of ``step`` as they stand in a file: texts, lists and mappings."""
    made: dict[str, Any] = KINDS.part(step, STEP_FORMAT).record.write(step)  # type: ignore[assignment]
    return made


def spread_step(step: Step) -> dict[str, Any]:
    """Return the same with every value where it belongs, for a comparison."""
    made, part = write_step(step), KINDS.part(step, STEP_FORMAT)
    if part.spread is not None:
        part.spread(made)
    return made


def _elsewhere(key: str) -> str:
    return " or ".join(
        f"{article(name)} {name} step" for name, one in formats().items() if key in {own.name for own in one.own}
    )


@dataclass(frozen=True, slots=True)
class OneStep(Codec[Step]):
    """A step of any kind: the key that makes it says which."""

    name: str = "step"
    example: str = "do: Drain the oil."
    harmless: Any = None

    def read(self, node: Node, key: str, context: Context) -> Step | None:
        known = formats()
        names = node.values if isinstance(node, MapNode) else {}
        kinds = [name for name in known if name in names]
        if len(kinds) == 1:
            step: Step | None = known[kinds[0]].record.read(node, key, context)
            return step
        if kinds:
            context.complain(
                node, ReadingRule.STEP_KIND, f"This step is {' and '.join(kinds)} at once", "make a step of each"
            )
        else:
            hints = [context.findings.suggest(name, known) for name in names]
            every = "write one of " + ", ".join(f"{name}:" for name in known)
            hint = next((hint for hint in hints if hint.startswith("did you mean")), every)
            context.complain(node, ReadingRule.STEP_KIND, "This step does not say what kind it is", hint)
        context.places.lost = True
        lost = Step(id=context.made.get("step id", ""), text="", line=node.line)
        if isinstance(node, MapNode):
            context.places.add(lost, node, sound=False)
        return lost

    def write(self, value: Step) -> Plain:
        return write_step(value)

    def form(self, forms: dict[str, Form]) -> Form:
        return {"type": "object", "oneOf": [one.record.schema(forms) for one in formats().values()]}

    def docs(self) -> str:
        return "[step](#step)"

    def inside(self) -> Iterator[Codec[Any]]:
        yield from (one.record for one in formats().values())


@dataclass(frozen=True, slots=True)
class StepList(ListOf[Step]):
    """A list of steps; those without an id get ``prefix`` and their number: in the file, or in the list (``alone``)."""

    item: Codec[Step] = OneStep()
    least: int = 1
    prefix: str = "step"
    alone: bool = False

    def read(self, node: Node, key: str, context: Context) -> tuple[Step, ...]:
        made: list[Step] = []
        for one in self.nodes(node, key, context):
            number = context.made["steps"] = context.made.get("steps", 0) + 1
            if number > MOST_STEPS:
                if number == MOST_STEPS + 1:
                    text = f"Here begins step {number}, more than {MOST_STEPS}"
                    context.complain(one, ReadingRule.TOO_MANY_STEPS, text, "split the procedure")
                break
            context.made["step id"] = f"{self.prefix}-{len(made) + 1 if self.alone else number}"
            step = self.item.read(one, f"an item of {key}", context)
            if step is not None:
                made.append(step)
        return tuple(made)
