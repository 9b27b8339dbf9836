"""What is said about the work itself: where it is, what is asked and answered, what is open, timers, and notes."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Protocol

from assistant.language.sentence import Sentence
from assistant.language.values import StageAt, StepAt


class Steps(Protocol):
    """The place in the job: greeting, cards of the preparation, hazards, steps, and what is left."""

    def hello(self, title: str, steps: int, *, invented: bool = False) -> list[str]:
        """Greet: what job, how many steps, what comes before it, and whether its values are ``invented``."""

    def book_time(self, seconds: int | None) -> str:
        """Say the book time [s], or ""."""

    def due_again(self, distance: Decimal | None, unit: str, hours: Decimal | None, months: int | None) -> list[str]:
        """Say when the work is due again, one number in a sentence; [] when nothing is given.

        ``distance`` is in ``unit`` ("km" or "mi"), ``hours`` are those of running.
        """

    def item(self, name: str, quantity: Decimal | None, unit: str, *, single_use: bool) -> str:
        """Name a thing that must be at hand, and how much of it; ``unit`` is a key of the units, any word, or ""."""

    def person(self, kind: str, count: int) -> str:
        """Name how many people of a ``kind`` are needed."""

    def card(self, what: str, things: Sequence[str], *, more: bool = False) -> str:
        """Read a card of the preparation: conditions, persons, equipment, supplies or spares; ``more`` of the same."""

    def thing(self, name: str) -> str:
        """Name one thing of a card by itself."""

    def hazard(self, word: str, hazard: str, consequence: str, avoid: str) -> str:
        """Read a hazard. ``word`` is the code of the signal word: danger, warning, ...

        Each text is said as :meth:`instruction` says it, in this order: how far a hazard was heard is told from what of
        them was not said yet.
        """

    def hazard_to_come(self, word: str) -> str:
        """Say, to be read, that a hazard with the signal ``word`` comes before the work."""

    def chapter(self, name: str) -> str:
        """Say that a chapter of the procedure begins."""

    def step_number(self, step: StepAt, of: int | None) -> str:
        """Say which step this is, ``of`` how many of its row where that is said."""

    def instruction(self, text: str) -> str:
        """Say the command of a step."""

    def remark(self, text: str) -> str:
        """Say what else the procedure has to say: more about a step, the note or the exception of a stage."""

    def at_step(
        self,
        step: StepAt,
        of: int,
        *,
        stage: StageAt | None = None,
        bolts: Sequence[int] = (),
        done: bool = False,
        hazard: bool = False,
    ) -> str:
        """Say in one breath where the job is.

        ``bolts`` are still to do, or were ``done`` before; ``hazard``: one waits to be confirmed.
        """

    def in_preparation(self, *, hazard: bool = False) -> str:
        """Say that the job is in the preparation; ``hazard`` as in :meth:`at_step`."""

    def at_end(self) -> str:
        """Say that all steps are behind."""

    def bolts_left(self, number: int, *, passes: bool = False) -> str:
        """Say how many bolts of this stage are open, or of this pass where stages have several ``passes``."""

    def stages_left(self, number: int, *, passes: bool = False) -> str:
        """Say how many stages come after this one, or ``passes`` where stages have several; or ""."""

    def steps_left(self, number: int) -> str:
        """Say how many steps are open in the whole job."""

    def steps_done(self, number: int) -> str:
        """Say how many steps are done."""

    def skip_step(self, step: StepAt) -> str:
        """Say what leaving out a step means, to be asked."""


class Answers(Protocol):
    """What a step asks for, and what is answered: counts, readings, yes and no."""

    def count_ask(self, hidden: Sequence[str], place: str) -> list[str]:
        """Say where counted fasteners are put ("" for nowhere), and where the first few ``hidden`` ones are."""

    def how_many(self, number: int) -> str:
        """Say a number as an answer."""

    def count_match(self, count: int) -> str:
        """Read back a count that is right."""

    def count_wrong(self, count: int, expected: int | None, *, gate: bool = False) -> list[str]:
        """Read back a count that is not what it must be, without that when ``expected`` is None.

        At a ``gate``, here and below, it cannot be accepted.
        """

    def accept_count(self, count: int) -> str:
        """Say what accepting a count means, to be asked."""

    def limits(self, low: Decimal | None, high: Decimal | None, unit: str) -> str:
        """Say the limits of a reading [``unit``]."""

    def unit_alone(self, unit: str) -> str:
        """Say in which unit is read, where that is all that is said of a reading."""

    def reading_right(self, value: Decimal, unit: str) -> str:
        """Read back a reading within its limits [``unit``]."""

    def reading_wrong(self, value: Decimal, edge: Decimal, unit: str, *, below: bool, gate: bool = False) -> list[str]:
        """Read back a reading that is ``below``, or else above, the limit ``edge`` [``unit``]."""

    def reading_unsure(self, value: Decimal, unit: str) -> list[str]:
        """Read back a reading within its limits [``unit``] that may have been heard wrongly, to be confirmed."""

    def count_unsure(self, count: int) -> list[str]:
        """Read back a number of pieces that sounds like another, to be confirmed."""

    def amount_unsure(self, value: Decimal, unit: str) -> list[str]:
        """Read back an amount [``unit``] within its limits that sounds like another, to be confirmed."""

    def accept_reading(self, value: Decimal, unit: str) -> str:
        """Say what accepting a reading [``unit``] means, to be asked."""

    def amount(self, value: Decimal, unit: str, text: str) -> str:
        """Say how much is to be filled in [``unit``], or "" where the ``text`` of the step says it as it is spoken."""

    def amount_wrong(self, value: Decimal, wanted: Decimal, unit: str, *, gate: bool = False) -> list[str]:
        """Read back how much was filled in, and how much it should be [``unit``]."""

    def answer(self, *, yes: bool) -> str:
        """Read back a yes or a no."""

    def answer_wrong(self, *, yes: bool, gate: bool = False) -> list[str]:
        """Read back an answer, ``yes`` or no, that should be the other one."""

    def accept_answer(self, *, yes: bool) -> str:
        """Say what accepting a yes or a no means, to be asked."""


class Lists(Protocol):
    """What is missing, still in, or still open."""

    def missing(self, things: Sequence[str], conditions: Sequence[str], *, still: bool = False) -> list[str]:
        """Say which ``things`` are missing and which ``conditions`` are not so yet; [] when there is nothing."""

    def found_ask(self, name: str) -> str:
        """Ask whether a thing is here now."""

    def found(self, name: str) -> str:
        """Say that a thing is no longer missing."""

    def lock_in(self, names: Sequence[str], *, turning: bool) -> str:
        """Say which locks are still in before a step that turns, or tightens, what they hold; or ""."""

    def lock_missing(self, names: Sequence[str]) -> str:
        """Say which locks are not in although the step counts on them, or ""."""

    def open_items(self, things: Sequence[str]) -> list[str]:
        """Say what is still open, at most four ``things``, as the functions below name them."""

    def open_problem(self, step: StepAt | None, words: str) -> str:
        """Name a problem that was taken down in ``step`` (None for none)."""

    def open_count(self, group: str) -> str:
        """Name a group whose counts do not agree."""

    def open_value(self, step: StepAt) -> str:
        """Name a step whose value is out of limits."""

    def open_bolts(self, numbers: Sequence[int], step: StepAt) -> str:
        """Name bolts whose readings are out of limits."""

    def open_answer(self, step: StepAt, *, yes: bool) -> str:
        """Name a step that was answered otherwise than it should be: with ``yes``, or else no."""

    def open_amount(self, step: StepAt) -> str:
        """Name a step in which another amount was filled in."""

    def open_parts(self, step: StepAt) -> str:
        """Name a step that got another number of new parts."""

    def open_stage(self, stage: StageAt, step: StepAt) -> str:
        """Name a stage that is not tight all over."""

    def open_step(self, step: StepAt) -> str:
        """Name a step that is not done."""

    def open_left_out(self, step: StepAt) -> str:
        """Name a step that was left out."""

    def open_preparation(self, parts: int) -> str:
        """Name how many parts of the preparation are open."""

    def open_of_kind(self, kind: str, number: int) -> str:
        """Say how many there are of one kind.

        The kinds are problem, extra, count, value, answer, step, stage, part, witness, photo, left_out and preparation;
        "reading" is a place at which some were left out, and "other" anything else.
        """


class Handover(Protocol):
    """For whoever takes a job over."""

    def who(self, names: Sequence[str]) -> list[str]:
        """Ask who takes over, of those who are known to work on the job: all of ``names`` but the one who leaves."""

    def welcome(self, taken_by: str, left_by: str) -> str:
        """Greet who takes over; either may be ""."""

    def helps(self, name: str) -> str:
        """Say that somebody (a name, or "") helps from now on."""

    def helps_no_more(self, name: str, seconds: int) -> str:
        """Say that somebody (a name, or "") has left, who helped for so long in all [s]."""

    def helped(self, name: str, seconds: int) -> str:
        """Say for about how long somebody (a name, or "") has helped [s]."""

    def which_helper(self, names: Sequence[str]) -> list[str]:
        """Ask who is meant, of those whose names are known."""

    def helps_before(self) -> str:
        """Say that they are known to help."""

    def no_helper(self) -> str:
        """Say that nobody helps just now."""

    def left_out(self, steps: Sequence[StepAt]) -> str:
        """Say which steps were left out, or ""."""

    def stripped(self, groups: Sequence[tuple[str, int]]) -> str:
        """Say which fasteners (name and how many) are out and not back in, or ""."""

    def off(self, parts: Sequence[str]) -> str:
        """Say which parts are off and not back on, or ""."""

    def told(self, kind: str, step: StepAt | None, text: str, *, corrected: bool = False) -> str:
        """Say a note, a problem or an accepted deviation (the ``kind``), with its step; of a long one the beginning.

        A note that was said again is called ``corrected``.
        """

    def told_before(self, number: int) -> str:
        """Say that there are older notes and deviations than those that were told, or ""."""


class Timers(Protocol):
    """Timers, and the computer's clock. ``joins``: the time is one in which to join parts; else it is one to wait."""

    def timer_started(self, name: str, seconds: int) -> str:
        """Say that a timer of so many seconds runs [s]."""

    def timer_left(self, name: str, seconds: int, *, joins: bool) -> str:
        """Say how long a timer still runs [s]; from two minutes on in whole minutes, on the safe side."""

    def timer_over(self, name: str, *, joins: bool) -> list[str]:
        """Say that a timer has ended, and what that means."""

    def timer_late(self, name: str, *, started: bool) -> list[str]:
        """Say that a step may not be confirmed because the time to join in is over, or was not ``started``."""

    def timer_doubted(self, name: str, seconds: int, *, joins: bool) -> list[str]:
        """Ask whether a timer with ``seconds`` left [s] is right, after the computer's clock was set."""

    def wait_early(self, name: str, seconds: int) -> list[str]:
        """Say that a wait is not over [s]."""

    def clock_set(self, by_ms: int) -> str:
        """Say that the computer's clock was set, and by about how much [ms; negative: back]."""


class Talk(Protocol):
    """What belongs to any place: fixed sentences, help, notes, and how a text is cut for one breath."""

    def text(self, sentence: Sentence) -> str:
        """Say one of the sentences that never change."""

    def can_say(self, intents: Sequence[str], *, single: bool = False) -> str:
        """Say what can be said: at most four ``intents``; ``single``: one bolt is meant, not several."""

    def leads_on(self, intents: Sequence[str]) -> str:
        """Name the one or few ``intents`` that lead on, for reading: as they are said, in lower case, no full stop."""

    def note_kept(self, kind: str, text: str) -> str:
        """Read a note or a problem (the ``kind``) back, all of it."""

    def note_corrected(self, kind: str, text: str) -> str:
        """Read back a note or a problem that was said again, all of it."""

    def note_as_before(self, kind: str, text: str) -> str:
        """Read back a note, a problem or a finding whose correction was taken back, all of it."""

    def reason_then(self, summary: str, reason: str, told: Sequence[str] = ()) -> list[str]:
        """Read back a ``reason``, what was ``told`` with it and what it is for (``summary``), and ask for the word."""

    def breaths(self, text: str) -> str:
        """Return ``text`` with every sentence that is longer than a breath cut into several."""

    def sentences(self, text: str) -> list[str]:
        """Return the sentences in which ``text`` is spoken, as :meth:`breaths` cuts it."""
