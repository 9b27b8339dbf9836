"""What is said about numbers, values, bolts and tools."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Protocol

from assistant.events import SlotKind
from assistant.facts.kinds.tighten import LeadCode
from assistant.fastening.choice import Choice
from assistant.fastening.faults import Unfit
from assistant.fastening.quantities import Angle, Torque, TorqueUnit
from assistant.language.values import NumberPhrases


class Numbers(Protocol):
    """Numbers as words, and words as numbers."""

    def number_words(self, value: Decimal | int) -> str:
        """Write ``value`` [no unit] in words, without digits or commas.

        Raises:
            ValueError: it is not finite.
        """

    def heard_words(self, value: Decimal | int) -> str:
        """Write ``value`` [no unit] as a recogniser writes what it heard: words between single blanks, no hyphen."""

    def number_phrases(self, kind: SlotKind) -> NumberPhrases:
        """Return all phrases for ``kind`` [whole or decimal]; its two parts are listed apart, since any may follow."""

    def number_vocabulary(self, kind: SlotKind) -> tuple[str, ...]:
        """Return every word that a number of ``kind`` [whole or decimal] may hold, in rising order."""

    def parse_number_words(self, text: str) -> Decimal | None:
        """Read ``text`` [spoken words] as a number from 0 to 999.99; None when it is no number or could be two."""


class Units(Protocol):
    """Values with their units. Texts begin in lower case and have no full stop, to stand inside a sentence."""

    def torque_words(self, torque: Torque) -> str:
        """Say ``torque`` [any torque unit] in its own unit."""


class Bolts(Protocol):
    """Tightening: stages, bolts, where they sit, values, and what is read off at a bolt."""

    def stage_number(self, stage: int, of: int, *, again: bool = False) -> str:
        """Say which stage this is, and that it is done ``again``; "" when there is one only."""

    def group_name(self, name: str, size: str) -> str:
        """Say which group comes, with its size ("" for none)."""

    def bolts(self, numbers: Sequence[int]) -> str:
        """Say bolts as a sentence, in the order given."""

    def hidden(self, places: Sequence[tuple[int, str]]) -> str:
        """Call out hidden bolts by number and where they hide ("" where that was said), or ""."""

    def at_hour(self, hour: int) -> str:
        """Say where on a circle a bolt sits, by the ``hour`` of a clock (0 to 11, 0 is at the top)."""

    def in_thirds(self, across: int, up: int | None) -> str:
        """Say in which third a bolt sits: -1 left or bottom, 0 middle, 1 right or top; ``up`` None in a single row."""

    def now_at(self, numbers: Sequence[int]) -> str:
        """Say where in the stage we still are."""

    def how_many_bolts(self, number: int) -> str:
        """Say how many bolts are meant now."""

    def done_of(self, done: int, of: int) -> str:
        """Say how many bolts of the stage are done."""

    def counted(self, number: int) -> str:
        """Say how many bolts a stage had, when they went by one at a time."""

    def skip_bolts(self, numbers: Sequence[int], stage: int) -> str:
        """Say what leaving out bolts means, to be asked."""

    def target(self, value: Torque | Angle) -> str:
        """Say the value of a stage as a sentence."""

    def target_surely(self, value: Torque | Angle, *, at_bolt: bool = False) -> str:
        """Say the value, and its digits too where it sounds like another; ``at_bolt``: the wrench shows another."""

    def loosen(self, back: Torque | Angle | None) -> str:
        """Say how far to loosen; until no force is left when ``back`` is no angle."""

    def between(self, low: Torque | Angle | None, high: Torque | Angle | None) -> list[str]:
        """Say the limits of a value, each in its own sentence."""

    def add_drag(self, drag: Torque | None) -> str:
        """Say that the drag of a self-locking thread comes on top of the value, or ""."""

    def strokes(self, parts: Sequence[Angle]) -> str:
        """Say the strokes that the space allows, or "" when one will do."""

    def too_many_strokes(self) -> str:
        """Say that the space is too tight to turn an angle in strokes."""

    def no_torque(self, bolts: Sequence[int]) -> list[str]:
        """Say that ``bolts`` come to a further angle without the torque before it."""

    def long_pause(self, seconds: int) -> list[str]:
        """Say that a group waited long [s] between its torque and a further angle."""

    def new_ask(self, name: str, count: int) -> str:
        """Ask for the word that the ``count`` fasteners of a group, which are used only once, are new."""

    def loosened_ask(self, bolts: Sequence[int]) -> str:
        """Ask for the word that bolts which got their further angle are loose again."""

    def replace_ask(self, bolt: int) -> str:
        """Ask whether a bolt is to be replaced."""

    def replaced(self, bolt: int) -> str:
        """Say that a bolt was replaced."""

    def measured(self, bolt: int, value: Torque | Angle, *, within: bool, general: bool, at_bolt: bool) -> str:
        """Read back what was read off at a bolt.

        ``within`` limits, or the ``general`` tolerance; without ``within`` there are none. ``at_bolt``: it is the value
        at the bolt where the wrench shows another.
        """

    def reading_off(
        self, bolt: int, value: Torque | Angle, tolerance: Decimal | None, *, below: bool, at_bolt: bool = False
    ) -> str:
        """Say that what was read off is ``below``, or else above, the limit, or the general ``tolerance`` [%]."""

    def edge(self, limit: Torque | Angle, *, below: bool) -> str:
        """Say the limit that was passed: the least one when the reading was ``below`` it."""

    def accept_bolt(self, bolt: int, value: Torque | Angle) -> str:
        """Say what accepting a reading at a bolt means, to be asked."""

    def unit_from_now(self, unit: TorqueUnit) -> str:
        """Say in which unit values are said and read from now on."""


class Tools(Protocol):
    """Which tool, what is set on it, and what is wrong with it. Names come from the bay's own tool file."""

    def tool_words(self, choice: Choice, last: Choice | None, *, anyway: bool = False) -> list[str]:
        """Say tool and setting as far as they differ from ``last``, those of the bolts before; setting ``anyway``."""

    def accuracy(self, percent: Decimal) -> str:
        """Say how exact a chain of tools is [%]."""

    def trouble(self, fault: Unfit) -> str:
        """Say what is wrong with a tool; of several reasons why none suits, the first few."""

    def lead(self, code: LeadCode, name: str) -> str:
        """Say, without any number, that the tool ``name``, which the procedure names, is not used as it stands there.

        ``code`` says why.
        """

    def use(self, tool: str) -> str:
        """Say which tool to take."""

    def wrench_at(self, setting: Torque) -> str:
        """Say what the wrench stands at."""

    def between_tool(self, tool: str) -> str:
        """Say that a further angle is turned through a multiplier."""

    def no_gear_ratio(self, tool: str) -> str:
        """Say that the angle at the handle of a multiplier cannot be worked out."""

    def at_handle(self, at_bolt: Angle, at_handle: Angle) -> list[str]:
        """Say a further angle at the bolt and at the handle of a multiplier, with digits where they sound alike."""

    def procedure_names(self, tools: Sequence[str], value: Torque | Angle) -> str:
        """Say which tools the procedure names where no tool file says what they reach."""

    def names(self, tools: Sequence[str]) -> str:
        """Say the names of tools."""
