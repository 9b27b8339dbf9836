"""Branches of the job, work beside it that must be granted, and what was found while it was done."""

from __future__ import annotations

from decimal import Decimal
from enum import StrEnum
from typing import Annotated

from assistant.facts.asking import Ask
from assistant.facts.base import PERSONAL, Fact, Quantity


class BranchTaken(Fact, frozen=True, kw_only=True):
    """A branch opened, for the ``round`` (from one) time: its key, and the ids of its steps, which begin anew."""

    KIND = "branch_taken"
    branch: str
    steps: tuple[str, ...]
    round: int = 1


class BranchLeft(Fact, frozen=True, kw_only=True):
    """A branch is not part of the job any more: another answer came before anything of it was done."""

    KIND = "branch_left"
    branch: str


class BranchEnd(StrEnum):
    """How a branch was left: on behind its step, to the step once more, or back to where it was begun from."""

    ON = "on"
    AGAIN = "again"
    BACK = "back"


class BranchEnded(Fact, frozen=True, kw_only=True):
    """The last place of a branch is behind; ``step`` is asked again where ``how`` says so."""

    KIND = "branch_ended"
    branch: str
    step: str
    how: BranchEnd


class StopPassed(Fact, frozen=True, kw_only=True):
    """The job went on past the end of a branch that stops it (key of the place), for a reason."""

    KIND = "stop_passed"
    place: str
    reason: Annotated[str, PERSONAL]


class ExtraAsked(Fact, frozen=True, kw_only=True):
    """Work beside the job waits to be granted: the key of its branch or finding, and its number from one."""

    KIND = "extra_asked"
    work: str
    number: int


class GrantRole(StrEnum):
    """Who granted extra work, where no name was given; ``PERSON`` where one was."""

    CUSTOMER = "customer"
    MANAGER = "manager"
    OFFICE = "office"
    PERSON = "person"


class GrantWay(StrEnum):
    """How extra work was granted."""

    TELEPHONE = "telephone"
    IN_PERSON = "in_person"
    PAGE = "page"
    """By the customer, on the page for the customer."""


class GrantBegun(Fact, frozen=True, kw_only=True):
    """Somebody says that extra work is granted; who did, and how, is asked since ``at_ms``."""

    KIND = "grant_begun"
    work: str
    at_ms: int


class GrantBy(Fact, frozen=True, kw_only=True):
    """Who granted the work that is asked about; the name of a person, or ""."""

    KIND = "grant_by"
    role: GrantRole
    name: Annotated[str, PERSONAL] = ""
    at_ms: int = 0


class ExtraGranted(Fact, frozen=True, kw_only=True):
    """Extra work was granted: who did it, how, and when it was said."""

    KIND = "extra_granted"
    work: str
    number: int
    role: GrantRole
    way: GrantWay
    name: Annotated[str, PERSONAL] = ""
    at_ms: int = 0


class ExtraDeclined(Fact, frozen=True, kw_only=True):
    """Extra work was declined; it stays as a recommendation."""

    KIND = "extra_declined"
    work: str
    number: int
    at_ms: int = 0


class ExtraBegun(Fact, frozen=True, kw_only=True):
    """Granted work of a branch is gone to; behind it the job goes back to ``back_to`` (key of a place)."""

    KIND = "extra_begun"
    work: str
    back_to: str


class ExtraDone(Fact, frozen=True, kw_only=True):
    """Granted work that has no steps was done."""

    KIND = "extra_done"
    work: str
    number: int


class ExtraMinutes(Fact, frozen=True, kw_only=True):
    """Somebody said about how long extra work without steps takes [min]."""

    KIND = "extra_minutes"
    work: str
    number: int
    minutes: Decimal


class FindingBegun(Fact, frozen=True, kw_only=True):
    """Granted work that has no steps is worked on from now; the job stays at its place."""

    KIND = "finding_begun"
    work: str
    number: int


class FindingLeft(Fact, frozen=True, kw_only=True):
    """Granted work that has no steps is not worked on any more: it is done, left for now, or the job went on."""

    KIND = "finding_left"
    work: str
    number: int


class Severity(StrEnum):
    """When a finding must be seen to: before the machine runs, at its next service, or only watched."""

    BEFORE_RUNNING = "before_running"
    NEXT_SERVICE = "next_service"
    WATCH = "watch"


class FindingTaken(Fact, frozen=True, kw_only=True):
    """The words of a finding were taken down at ``step`` (None outside the steps); how bad it is comes next."""

    KIND = "finding_taken"
    text: Annotated[str, PERSONAL]
    step: str | None = None
    complete: bool = True
    at_ms: int = 0


class FindingPlaced(Fact, frozen=True, kw_only=True):
    """The finding that is taken down is at another ``step``."""

    KIND = "finding_placed"
    step: str
    at_ms: int = 0


class FindingKept(Fact, frozen=True, kw_only=True):
    """A finding was confirmed, with its number among all extra work.

    ``silent_ms`` is when silence kept it, and nobody said how bad it is; else 0.
    """

    KIND = "finding"
    work: str
    number: int
    text: Annotated[str, PERSONAL]
    step: str | None
    severity: Severity
    complete: bool = True
    silent_ms: int = 0


class ExtraLeftOpen(Fact, frozen=True, kw_only=True):
    """The job is closed with extra work (keys) that nobody answered for, or that was granted and is not done."""

    KIND = "extra_left_open"
    asked: tuple[str, ...] = ()
    granted: tuple[str, ...] = ()


class AskBranch(Ask, frozen=True):
    """Take an answer, or a reading, that leads into a branch (key)."""

    step: str
    branch: str
    yes: bool | None = None
    reading: Quantity | None = None


class AskPastStop(Ask, frozen=True):
    """Go on past the end of a branch that stops the job."""

    place: str


class AskGrant(Ask, frozen=True):
    """Is extra work granted, by whom and how as was said."""

    work: str
    number: int
    way: GrantWay


class AskDecline(Ask, frozen=True):
    """Is extra work declined."""

    work: str
    number: int


class AskDone(Ask, frozen=True):
    """Is extra work done that has no steps."""

    work: str
    number: int


class AskFinding(Ask, frozen=True):
    """Is a finding taken down as it should be."""

    severity: Severity
