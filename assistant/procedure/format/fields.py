"""The values of one mapping, read one by one; for what is wrong there is a complaint and a harmless value."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from decimal import Decimal
from typing import TypeVar

from assistant.fastening.units import Angle, AngleUnit, Length, Torque, parse_angle, parse_length, parse_torque
from assistant.faults import Fault, quoted
from assistant.procedure.findings import Findings, ReadingRule
from assistant.procedure.format.keys import KINDS, OLD_NAMES, TABLES
from assistant.procedure.format.source import is_control
from assistant.procedure.format.tree import ListNode, MapNode, Node, ScalarNode
from assistant.procedure.format.values import (
    MOST_BOLT_NUMBER,
    parse_bolts,
    parse_date,
    parse_duration,
    parse_number,
    parse_yes_no,
)

MOST_TEXT = 400
"""Characters of one text; nobody listens to more."""
_ID = re.compile(r"[a-z][a-z0-9-]{0,39}", re.ASCII)
T = TypeVar("T")
NO_WORDS: Mapping[str, tuple[int, ...]] = {}


class Fields:
    """The keys of ``node``, which is a mapping of the format called ``table``.

    Making it complains about unknown and about missing keys. Each method reads one key, complains about its value when
    it is wrong, and answers with a harmless value then; a procedure with an error is never given out.
    """

    def __init__(self, node: MapNode, table: str, findings: Findings) -> None:
        self.node = node
        self.findings = findings
        self._table = table
        self._old_names()
        self._check_keys()

    def _old_names(self) -> None:
        """Take what stands under a key that has another name now as if it stood under that, and say so once."""
        for name in [name for name in self.node.keys if (self._table, name) in OLD_NAMES]:
            new = OLD_NAMES[self._table, name]
            if new in self.node.values:
                continue
            self.findings.renamed(self.node.keys[name], name, new)
            if name != "hours":  # a number, and not the same value
                self.node.values[new], self.node.keys[new] = self.node.values.pop(name), self.node.keys.pop(name)

    def _check_keys(self) -> None:
        known = {key.name for key in TABLES[self._table]}
        article = "an" if self._table[0] in "aeiou" else "a"
        for name, key in self.node.keys.items():
            new = OLD_NAMES.get((self._table, name))
            if name in known or (new is not None and new not in self.node.values):
                continue
            kinds = [kind for kind, keys in KINDS.items() if name in {k.name for k in keys}]
            if self._table.endswith("step") and kinds:
                text = (
                    f'"{name}" belongs to {" or ".join(f"a {k} step" for k in kinds)}, not to {article} {self._table}'
                )
                text += ": take it out or make two steps"
            else:
                hint = self.findings.suggest(name, known)
                text = f"{quoted(name)} is not a key of {article} {self._table}: {hint}"
            self.findings.add(key, ReadingRule.UNKNOWN_KEY, text)
        for wanted in TABLES[self._table]:
            if wanted.required and wanted.name not in self.node.values:
                none = f", or {wanted.name}: [] when there is none" if self._table == "preliminary" else ""
                text = f"This {self._table} has no {wanted.name}: write {wanted.name}: with a value{none}"
                self.findings.add(self.node, ReadingRule.MISSING_KEY, text)

    def __contains__(self, key: str) -> bool:
        return key in self.node.values

    def wrong(self, node: Node, rule: ReadingRule, text: str) -> None:
        """Complain about ``node``."""
        self.findings.add(node, rule, text)

    def scalar(self, key: str) -> ScalarNode | None:
        """Return the single value of ``key``; None when the key is not there, or after a complaint."""
        node = self.node.values.get(key)
        return None if node is None else self.as_scalar(node, key)

    def as_scalar(self, node: Node, key: str) -> ScalarNode | None:
        """Return ``node`` when it is one value with something in it; None after a complaint."""
        if isinstance(node, ScalarNode):
            if not node.is_null:
                return node
            self.wrong(node, ReadingRule.VALUE_TYPE, f"There is nothing after {key}: write its value, or take it out")
        elif isinstance(node, MapNode):
            text = f"A mapping stands where {key} has one value: put a text that has a colon in it between quotes"
            self.wrong(node, ReadingRule.VALUE_TYPE, text)
        elif isinstance(node, ListNode):
            text = f"A list stands where {key} has one value: write one value without hyphens and brackets"
            self.wrong(node, ReadingRule.VALUE_TYPE, text)
        return None

    def text(self, key: str) -> str:
        """Return a text exactly as it was written (line ends become spaces), or an empty one."""
        node = self.scalar(key)
        return "" if node is None else self.as_text(node, key)

    def as_text(self, node: ScalarNode, key: str) -> str:
        """Return the text of ``node``."""
        text = re.sub(r"[ \t\r\n]+", " ", node.text).strip()
        if not text:
            self.wrong(node, ReadingRule.TEXT, f"The text of {key} is empty: write it, or take {key} out")
        elif len(text) > MOST_TEXT:
            self.wrong(
                node, ReadingRule.TEXT, f"The text of {key} is longer than {MOST_TEXT} characters: make it shorter"
            )
        elif not text.isprintable() and any(is_control(letter) for letter in text):
            self.wrong(node, ReadingRule.TEXT, f"The text of {key} has a character that cannot be seen: take it out")
        return text

    def ident(self, key: str) -> str:
        """Return an id, or a reference to one; empty when the key is not there."""
        node = self.scalar(key)
        return "" if node is None else self.as_ident(node, key)

    def as_ident(self, node: ScalarNode, key: str) -> str:
        """Return the text of ``node`` when it has the form of an id."""
        if _ID.fullmatch(node.text) is None:
            text = (
                f"{quoted(node.text)} is not an id for {key}: write lower-case letters, digits, hyphens, a letter first"
            )
            self.wrong(node, ReadingRule.ID_FORM, text)
            return ""
        return node.text

    def idents(self, key: str) -> tuple[str, ...]:
        """Return a list of references."""
        scalars = (self.as_scalar(item, key) for item in self.items(key))
        return tuple(self.as_ident(scalar, key) for scalar in scalars if scalar is not None)

    def texts(self, key: str) -> tuple[str, ...]:
        """Return a list of texts."""
        scalars = (self.as_scalar(item, f"an item of {key}") for item in self.items(key))
        return tuple(self.as_text(scalar, key) for scalar in scalars if scalar is not None)

    def items(self, key: str, *, least: int = 0) -> list[Node]:
        """Return the items of a list that has at least ``least`` of them."""
        node = self.node.values.get(key)
        if node is None:
            return []
        if not isinstance(node, ListNode):
            if isinstance(node, ScalarNode | MapNode):
                text = f"{key} is a list: write its items on lines that begin with a hyphen, or between [ and ]"
                self.wrong(node, ReadingRule.VALUE_TYPE, text)
            return []
        if len(node.items) < least:
            self.wrong(node, ReadingRule.VALUE_TYPE, f"The list of {key} is empty: write at least one item")
        return node.items

    def maps(self, key: str, *, least: int = 0) -> Iterator[MapNode]:
        """Yield the items of a list of mappings, with a complaint for each that is none."""
        for item in self.items(key, least=least):
            if isinstance(item, MapNode):
                yield item
            elif isinstance(item, ScalarNode | ListNode):
                text = f"Every item of {key} is a mapping: write its keys, such as {{{self._example(key)}}}"
                self.wrong(item, ReadingRule.VALUE_TYPE, text)

    @staticmethod
    def _example(key: str) -> str:
        return {
            "chapters": "chapter: Strip, steps: [...]", "steps": "do: Drain the oil.",
            "closing": "do: Clean the tools.", "stages": "torque: 10 N·m, runs: [...]",
            "runs": "group: long, bolts: 1-6",
            "groups": "id: long, name: long bolts, size: ..., bolts: 1-6",
            "timers": "id: sealant, name: sealant time, open: 10 min",
            "hazards": "warning: ..., consequence: ..., avoid: ...",
            "safety": "warning: ..., consequence: ..., avoid: ...",
            "waivers": "rule: ..., reason: ...", "persons": "kind: mechanic, count: 1",
            "hidden": "bolt: 6, where: behind the pump", "spots": "bolt: 6, x: 40, y: 25",
        }.get(key, "id: ..., name: ...")  # fmt: skip

    def map(self, key: str) -> MapNode:
        """Return the mapping of ``key``, or an empty one."""
        node = self.node.values.get(key)
        if isinstance(node, MapNode):
            return node
        if isinstance(node, ScalarNode | ListNode):
            text = f"{key} is a mapping: write its keys on the lines below, indented by two spaces"
            self.wrong(node, ReadingRule.VALUE_TYPE, text)
        return MapNode(self.node.line, self.node.column)

    def choice(self, key: str, choices: tuple[str, ...]) -> str:
        """Return one of ``choices``; the first of them after a complaint."""
        node = self.scalar(key)
        if node is None or node.text in choices:
            return choices[0] if node is None else node.text
        text = f"{quoted(node.text)} is not known for {key}: {self.findings.suggest(node.text, choices)}"
        self.wrong(node, ReadingRule.VALUE_TYPE, text)
        return choices[0]

    def _value(self, key: str, rule: ReadingRule, parse: Callable[[str], T | Fault]) -> T | None:
        node = self.scalar(key)
        value = None if node is None else parse(node.text)
        if node is not None and isinstance(value, Fault):
            self.wrong(node, rule, value.sentence)
        return None if isinstance(value, Fault) else value

    def parsed(self, key: str, parse: Callable[[str], T | Fault]) -> T | None:
        """Return a value with a unit that ``parse`` can read; None when it is not there, or after a complaint."""
        return self._value(key, ReadingRule.UNIT, parse)

    def decimal(self, key: str, high: int) -> Decimal | None:
        """Return a number more than zero, up to ``high``; None when it is not there, or after a complaint."""
        return self.number(key, Decimal("0.01"), Decimal(high))

    def number(self, key: str, low: Decimal, high: Decimal) -> Decimal | None:
        """Return a number from ``low`` to ``high``; None when it is not there, or after a complaint."""
        return self._value(key, ReadingRule.NUMBER, lambda text: parse_number(text, low, high))

    def whole(self, key: str, high: int) -> int | None:
        """Return a whole number from one to ``high``; None when it is not there, or after a complaint."""
        value = self._value(
            key, ReadingRule.NUMBER, lambda text: parse_number(text, Decimal(1), Decimal(high), whole=True)
        )
        return None if value is None else int(value)

    def yes_no(self, key: str, *, default: bool) -> bool:
        """Return yes or no, or ``default`` when the key is not there."""
        value = self._value(key, ReadingRule.YES_NO, parse_yes_no)
        return default if value is None else value

    def seconds(self, key: str) -> int:
        """Return a length of time [s]; one second after a complaint."""
        return self.parsed(key, parse_duration) or 1

    def date(self, key: str) -> str:
        """Return a day as it was written, ``YYYY-MM-DD``; empty when it is not there, or after a complaint."""
        return self._value(key, ReadingRule.DATE, parse_date) or ""

    def bolt(self, key: str) -> int:
        """Return the number of one bolt; one after a complaint."""
        return self.whole(key, MOST_BOLT_NUMBER) or 1

    def torque(self, key: str) -> Torque | None:
        """Return a torque; None when it is not there, or after a complaint."""
        return self.parsed(key, parse_torque)

    def angle(self, key: str) -> Angle | None:
        """Return an angle that is more than zero; None when it is not there, or after a complaint."""
        return self.parsed(key, parse_angle)

    def angle_from_zero(self, key: str) -> Angle | None:
        """Return an angle that may be zero; None when it is not there, or after a complaint."""
        zero = self.word(key, ("0°", "0 °", "0 deg"))
        return Angle(Decimal(0), AngleUnit.DEGREE) if zero else self.angle(key)

    def length(self, key: str) -> Length | None:
        """Return a length; None when it is not there, or after a complaint."""
        return self.parsed(key, parse_length)

    def target(self) -> Torque | Angle | None:
        """Return what stands under ``torque`` or ``angle``; None when there is neither, or after a complaint."""
        if "torque" in self and "angle" in self:
            text = "There is both a torque and an angle here: keep one of them, an angle has a stage of its own"
            self.wrong(self.node.keys["angle"], ReadingRule.UNKNOWN_KEY, text)
        if "torque" in self:
            return self.torque("torque")
        return self.angle("angle")

    def word(self, key: str, words: tuple[str, ...]) -> str:
        """Return the value when it is one of ``words``, else an empty text; complains about nothing."""
        node = self.node.values.get(key)
        return node.text if isinstance(node, ScalarNode) and node.text in words else ""

    def bolts(self, key: str, words: Mapping[str, tuple[int, ...]] = NO_WORDS) -> tuple[int, ...]:
        """Return bolt numbers in their order; ``words`` are those that may stand for some of them."""
        node = self.node.values.get(key)
        if node is None:
            return ()
        word = self.word(key, tuple(words))
        return words[word] if word else self.as_bolts(node, key)

    def as_bolts(self, node: Node, key: str) -> tuple[int, ...]:
        """Return the bolt numbers of ``node``, one value or a list of them."""
        nodes = node.items if isinstance(node, ListNode) else [node]
        if isinstance(node, ListNode) and not nodes:
            self.wrong(node, ReadingRule.BOLT_LIST, "There is no bolt in this list: write for example 1-6")
        scalars = [self.as_scalar(item, key) for item in nodes]
        texts = tuple(scalar.text for scalar in scalars if scalar is not None)
        if not texts or len(texts) < len(scalars):
            return ()
        bolts = parse_bolts(texts)
        if isinstance(bolts, Fault):
            first = next(scalar for scalar in scalars if scalar is not None)
            self.wrong(first, ReadingRule.BOLT_LIST, bolts.sentence)
            return ()
        return bolts
