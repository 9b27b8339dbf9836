"""A step of any kind, and a list of such: the key that makes a step says which kind it is."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from assistant.procedure.findings import ReadingRule
from assistant.procedure.format.base import Codec, Context, Form, Key, Plain
from assistant.procedure.format.blocks import is_block, repeated
from assistant.procedure.format.codecs import ListOf
from assistant.procedure.format.records import KeyTable, must
from assistant.procedure.format.rows import FOR_EACH, OF
from assistant.procedure.format.tree import MapNode, Node
from assistant.procedure.kinds import KINDS, Room
from assistant.procedure.model import Step

MOST_STEPS = 500


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
        if is_block(node):
            text, hint = "A block stands where a single step can stand", "write its steps out, or make two blocks of it"
            context.complain(node, ReadingRule.VALUE_TYPE, text, hint)
        elif kinds:
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
    repeats: bool = True
    """Whether blocks may stand in it, which repeat steps for each of several rows."""

    def read(self, node: Node, key: str, context: Context) -> tuple[Step, ...]:
        made: list[Step] = []
        for one in self.nodes(node, key, context):
            if self.repeats and is_block(one):
                made += _block(one, key, context)
                continue
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

    def form(self, forms: dict[str, Form]) -> Form:
        if not self.repeats:
            return ListOf.form(self, forms)
        items: Form = {"anyOf": [self.item.schema(forms), STEP_BLOCK.schema(forms)]}
        return {"type": "array", "items": items, "minItems": self.least}

    def docs(self) -> str:
        return f"list: {self.item.docs()}{f', {STEP_BLOCK.docs()}' if self.repeats else ''}"

    def inside(self) -> Iterator[Codec[Any]]:
        yield self.item
        if self.repeats:
            yield STEP_BLOCK


def _block(node: Node, key: str, context: Context) -> tuple[Step, ...]:
    context.made["block"] = True
    made = STEP_BLOCK.read(node, f"an item of {key}", context)
    context.made["block"] = False
    if context.made.get("steps", 0) > MOST_STEPS:
        text = f"With this block there are more than {MOST_STEPS} steps"
        context.complain(node, ReadingRule.TOO_MANY_STEPS, text, "split the procedure")
    return made or ()


STEP_BLOCK: KeyTable[tuple[Step, ...]] = KeyTable(
    "block",
    (
        replace(FOR_EACH, required=True),
        replace(OF, required=True),
        must("steps", StepList(repeats=False), "The steps that are repeated for each of them, in order."),
    ),
    repeated,
)
"""Steps that are written once and repeated; they are steps like any other once they are read."""
