"""What is said about numbers, values, bolts and tools."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Protocol

from assistant.events import SlotKind
from assistant.facts.codes import FreedHow, TroubleWhat
from assistant.facts.kinds.tighten import LeadCode
from assistant.fastening.choice import Choice
from assistant.fastening.faults import Unfit
from assistant.fastening.quantities import Angle, Torque, TorqueUnit
from assistant.language.values import NumberPhrases, StageAt, StepAt


class Numbers(Protocol):
    """Numbers as words, and words as numbers."""

    def sounds_alike(self, value: Decimal | int) -> bool:
        """Return whether ``value`` [no unit] is easily heard as another: fifteen and fifty and the like."""

    def number_words(self, value: Decimal | int) -> str:
        """Write ``value`` [no unit] in words, without digits or commas.

        Raises:
            ValueError: it is not finite.
        """

    def heard_words(self, value: Decimal | int) -> str:
        """Write ``value`` [no unit] as a recogniser writes what it heard: words between single blanks, no hyphen."""

    def number_ways(self, value: Decimal) -> tuple[str, ...]:
        """Return every way in which a reading of ``value`` [no unit] is said by itself, as a recogniser writes it."""

    def may_have_been(self, text: str) -> tuple[str, ...]:
        """Return what ``text``, as a recogniser writes it, may have been: with one number word in place of its like."""

    def number_phrases(self, kind: SlotKind) -> NumberPhrases:
        """Return all phrases for ``kind`` [whole, decimal or fine]; its parts stand apart: any may follow any."""

    def number_vocabulary(self, kind: SlotKind) -> tuple[str, ...]:
        """Return every word that a number of ``kind`` [whole, decimal or fine] may hold, in rising order."""

    def parse_number_words(self, text: str) -> Decimal | None:
        """Read ``text`` [spoken words] as a number from 0 to 999.999; None when it is no number or could be two."""


class Units(Protocol):
    """Values with their units. Texts begin in lower case and have no full stop, to stand inside a sentence."""

    def torque_words(self, torque: Torque) -> str:
        """Say ``torque`` [any torque unit] in its own unit."""

    def unit_endings(self, unit: str | None) -> tuple[str, ...]:
        """Return how ``unit`` [its key, or None for any] is said behind a reading, as a recogniser writes it."""


class Bolts(Protocol):
    """Tightening: stages, bolts, where they sit, values, and what is read off at a bolt."""

    def stage_number(self, stage: StageAt) -> str:
        """Say which stage and pass this is, and for which time it is done; "" when there is one only."""

    def stage_time(self, stage: StageAt) -> str:
        """Say for which time a pass is done, of how many."""

    def together(self, numbers: Sequence[int]) -> str:
        """Say bolts that are turned at the same time as a sentence, in the order given."""

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

    def done_of(self, done: int, of: int, *, passes: bool = False) -> str:
        """Say how many bolts of the stage are done, or of its pass where stages have several ``passes``."""

    def counted(self, number: int) -> str:
        """Say how many bolts a stage had, when they went by one at a time."""

    def skip_bolts(self, numbers: Sequence[int], stage: StageAt) -> str:
        """Say what leaving out bolts means, to be asked."""

    def target(self, value: Torque | Angle, *, by_gauge: bool = False) -> str:
        """Say the value of a stage as a sentence; an angle that is read ``by_gauge`` without what an eye judges."""

    def target_surely(self, value: Torque | Angle, *, at_bolt: bool = False, by_gauge: bool = False) -> str:
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

    def new_in_place(self, numbers: Sequence[int]) -> str:
        """Ask for the word that new ones are in the place of bolts that are too long."""

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


class Troubles(Protocol):
    """What is held open: bolts that broke, are stripped, lost or wrong, by the name of their group, and what fell."""

    def held_ask(self, group: str, bolt: int, what: TroubleWhat, *, sure: bool, others: bool) -> list[str]:
        """Read back what happened to a bolt; its group is a guess where it is not ``sure``, and ``others`` have one."""

    def counts_no_more(self) -> str:
        """Say that what a bolt got does not count any more."""

    def held(self, bolt: int) -> str:
        """Say that a bolt is held open from now on."""

    def open_again(self, step: StepAt) -> str:
        """Say that a step is not done any more."""

    def waits(self, bolt: int, what: TroubleWhat) -> str:
        """Say what happened to a bolt that the step waits for."""

    def ways_out(self, bolt: int, what: TroubleWhat) -> str:
        """Say what can be said when a bolt that is held open is in again, or the work goes on without it."""

    def still_waiting(self, bolts: Sequence[int]) -> str:
        """Remind of ``bolts`` that are held open."""

    def freed_ask(self, group: str, bolt: int, how: FreedHow, *, others: bool) -> str:
        """Ask whether a bolt that was held open is in again; ``others``: more things may be meant."""

    def freed(self, bolt: int, how: FreedHow) -> str:
        """Say that a bolt is in again."""

    def begins_in(self, step: StepAt) -> str:
        """Say in which step a bolt that is in again has its first stage."""

    def left_ask(self, group: str, bolt: int) -> str:
        """Say what going on without a bolt means, to be asked."""

    def dropped_kept(self) -> str:
        """Say that a bolt that was dropped is written down, and how to say that it is out."""

    def out_ask(self, step: StepAt | None, group: str, bolt: int, *, others: bool) -> str:
        """Ask whether what was dropped in ``step`` is out: a bolt, or the lost one of ``group`` ("" for none)."""

    def out_again(self, step: StepAt | None, group: str, bolt: int) -> str:
        """Say that it is out."""

    def came_out_ask(self, step: StepAt | None, group: str, bolt: int) -> str:
        """Name what was dropped before it is asked whether it came out."""

    def open_bolt(self, group: str, bolt: int, what: TroubleWhat, *, given_up: bool) -> str:
        """Name a bolt that is held open, inside a sentence."""

    def open_dropped(self, step: StepAt | None, group: str, bolt: int) -> str:
        """Name what was dropped and not found, inside a sentence."""

    def known_reason(self, names: Sequence[str]) -> str:
        """Say that a count may not agree because of what is held open."""


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

    def rest_arm(self) -> str:
        """Say where the reaction arm of a multiplier rests."""

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
