"""What is understood of the texts of a procedure, and the few texts that are drafted for one.

Nothing here understands language: each function looks for a few fixed forms, so that what it says can be foretold. The
rules that build on it ask a person to look again, and never keep a file from being used. All take text as it stands.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable
from decimal import Decimal
from typing import Protocol

from assistant.language.values import Thing


class Wording(Protocol):
    """How a procedure is written: sentences, words, commands."""

    def written_sentences(self, text: str) -> list[str]:
        """Return the sentences of ``text``."""

    def word_count(self, sentence: str) -> int:
        """Return the number of words; a number, and a word with hyphens, is one."""

    def in_words(self, number: int) -> str:
        """Write a whole ``number`` in words, as a text should have it."""

    def second_instruction(self, text: str) -> str:
        """Return the second instruction that a command gives, about another thing than the first; "" for none."""

    def value_in(self, text: str) -> str:
        """Return the first number with a unit of measure, such as "forty newton metres"; "" for none."""

    def negative(self, text: str) -> str:
        """Return the word that makes a question one with a not in it; "" for none."""

    def vague(self, text: str) -> str:
        """Return words that leave something to the listener, such as "as required"; "" for none."""

    def sound_alike(self, one: str, other: str) -> bool:
        """Return whether two names, or two numbers in digits, may be heard for one another."""

    def undecided(self, text: str) -> str:
        """Return what says that something is still open, such as TODO; "" for none."""

    def stages_said(self, text: str) -> int | None:
        """Return in how many stages a command says that something is done; None when it does not say."""

    def time_said(self, text: str) -> str:
        """Return the first length of time, such as "ten minutes"; "" for none."""

    def hazard_inside(self, text: str) -> str:
        """Return the word that begins a warning inside a text; "" for none."""


class Parts(Protocol):
    """What a procedure handles: parts, tools, supplies; what comes off and what goes back."""

    def is_same(self, one: Thing, other: Thing) -> bool:
        """Return whether both can be one thing: one head, and no word that sets them apart."""

    def is_named(self, name: str, text: str) -> bool:
        """Return whether every word of ``name`` stands in ``text``."""

    def removed(self, text: str) -> list[Thing]:
        """Return what a command takes off or out."""

    def put_on(self, text: str) -> list[Thing]:
        """Return what a command puts on, in or back."""

    def named_parts(self, name: str) -> list[Thing]:
        """Return the things that a ``name`` in a list stands for."""

    def goes_back(self, part: Thing, tools: Iterable[str]) -> bool:
        """Return whether what was taken off is a part that goes back on: no fluid, no dirt, none of the ``tools``."""

    def is_replaced(self, part: Thing) -> bool:
        """Return whether a ``part`` is named as one that another comes in place of, such as "the old seal"."""

    def opened(self, text: str) -> tuple[str, str] | None:
        """Return what a command opens, such as "lower drain tap", and the word that it is known by, such as "tap"."""

    def opened_plainly(self, text: str) -> str:
        """Return what a command opens, where it says just that; "" for nothing."""

    def is_shut(self, what: str, text: str) -> bool:
        """Return whether a ``text`` shuts what is known by the word ``what``, or asks whether it is shut."""


class Needs(Protocol):
    """Tools, supplies and new parts that a command speaks of."""

    def tools_used(self, text: str) -> list[Thing]:
        """Return the tools that a command uses."""

    def supplies_used(self, text: str) -> list[Thing]:
        """Return the supplies that a command uses."""

    def new_parts(self, text: str) -> list[Thing]:
        """Return what a command calls new."""

    def is_listed(self, one: Thing, name: str) -> bool:
        """Return whether the ``name`` of a list may be the thing that a command speaks of."""

    def is_item(self, part: Thing, name: str) -> bool:
        """Return whether a ``part`` is the item ``name`` of a list: a hub is no hub puller."""

    def is_fluid(self, name: str) -> bool:
        """Return whether a supply is a fluid that must meet a specification."""

    def is_multiplier(self, name: str) -> bool:
        """Return whether a tool is a torque multiplier, by its ``name``."""

    def is_wrench(self, name: str) -> bool:
        """Return whether a tool is a torque wrench and no multiplier, by its ``name``."""


class Dangers(Protocol):
    """What hazards speak of, and which usual dangers a step brings."""

    def hurts_people(self, text: str) -> bool:
        """Return whether ``text`` speaks of people and what befalls them."""

    def burns(self, text: str) -> bool:
        """Return whether ``text`` speaks of fire or bursting."""

    def kills(self, text: str) -> bool:
        """Return whether ``text`` speaks of death or of what maims."""

    def brought(self, text: str) -> tuple[str, ...]:
        """Return the codes of the usual dangers that a step with ``text`` brings, the commonest first."""

    def named(self, text: str) -> tuple[str, ...]:
        """Return the codes of the usual dangers that the ``text`` of hazards names."""

    def danger(self, code: str) -> str:
        """Return what a usual danger is called, for reading."""


class Machine(Protocol):
    """What a text says of the machine: locks, turning, timing, fluids, and what is looked at in the end."""

    def is_lock(self, name: str) -> bool:
        """Return whether a tool locks a machine, by its ``name``."""

    def lock_named(self, text: str, but: Collection[str]) -> str:
        """Return the lock that a ``text`` speaks of; "" for none, or when its words stand in a name of ``but``."""

    def comes_out(self, text: str) -> bool:
        """Return whether a ``text`` takes something out."""

    def goes_in(self, text: str) -> bool:
        """Return whether a ``text`` puts something in."""

    def turns(self, text: str) -> bool:
        """Return whether a ``text`` turns the machine."""

    def works_on_timing(self, text: str) -> bool:
        """Return whether a ``text`` works on what times an engine."""

    def turns_over_by_hand(self, text: str) -> bool:
        """Return whether a ``text`` has the engine turned by hand two full turns."""

    def asks_for_marks(self, text: str) -> bool:
        """Return whether a ``text`` asks for marks."""

    def opens_wet(self, text: str) -> bool:
        """Return whether a ``text`` opens what holds a fluid."""

    def asks_for_leaks(self, text: str) -> bool:
        """Return whether a ``text`` asks for leaks."""

    def fluid_moved(self, text: str) -> str:
        """Return the fluid that a ``text`` lets out or fills in; "" for none."""

    def asks_for_level(self, fluid: str, text: str) -> bool:
        """Return whether a ``text`` asks for the level of a ``fluid``."""

    def asks_for_tools(self, text: str) -> bool:
        """Return whether a ``text`` asks for the tools."""


class Mind(Protocol):
    """How much a spoken sentence gives to hold in mind."""

    def is_frame(self, sentence: str) -> bool:
        """Return whether a ``sentence`` only tells the place, or what to say: nothing of it is kept in mind."""

    def things_told(self, sentence: str) -> int:
        """Return how many things a ``sentence`` lists."""

    def numbers_told(self, sentence: str) -> int:
        """Return how many numbers a ``sentence`` gives that are not parted for the ear already."""


class Drafting(Protocol):
    """Texts of steps that are drafted for a procedure."""

    def fit_bolts(self, name: str) -> str:
        """Put in new fasteners."""

    def count_in(self, name: str) -> str:
        """Put in fasteners and count them."""

    def count_out(self, name: str) -> str:
        """Take out fasteners and count them."""

    def laid_down(self, *, again: bool) -> str:
        """Return where fasteners are put down that are fitted ``again``, or that are not."""

    def tighten(self, name: str) -> str:
        """Tighten fasteners."""

    def turn_over(self) -> str:
        """Turn the engine over in the end."""

    def last_questions(self) -> list[str]:
        """Ask in the end for leaks, levels and tools."""

    def shut(self, what: str) -> str:
        """Shut what was opened."""

    def take_out(self, name: str) -> str:
        """Take out a lock."""

    def put_back(self, part: str) -> str:
        """Put back a part."""

    def fit_new(self, name: str, quantity: int) -> str:
        """Fit so many new parts."""

    def measure(self, name: str) -> str:
        """Measure something, several times."""

    def fill_in(self, name: str) -> str:
        """Fill in a supply."""

    def level_right(self, name: str) -> str:
        """Ask in the end for the level of something that was filled in."""

    def let_be(self, name: str, *, cools: bool) -> str:
        """Wait until something has cured, or is cool."""

    def time_of(self, name: str, *, cools: bool) -> str:
        """Return what the time is called in which something cures, or cools."""

    def size_in_words(self, diameter: Decimal) -> str:
        """Return a metric size [mm] as it is spoken."""

    def inch_size_in_words(self, size: str, threads: str) -> str:
        """Return an inch size, one of those of :mod:`assistant.fastening.inch` such as 3/8 or #10, as it is spoken.

        A number is said with its ``threads`` to the inch, in digits.
        """
