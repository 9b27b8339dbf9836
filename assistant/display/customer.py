"""What the page for the customer shows, as plain values; where it comes from is the bay's to know."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Protocol

from assistant.display.hung import Hung
from assistant.procedure.wordings import NO_TEXT, OwnText


@dataclass(frozen=True, slots=True)
class OfferShown:
    """One piece of extra work as the customer sees it.

    ``title`` or ``text`` may be "". ``severity`` is a code, or ""; ``price`` is words. ``answer`` is "granted",
    "declined", "done" or "" while it is open; ``by`` who said so: "you" on the page, "workshop" for what it wrote down,
    "waits" as long as nobody there has heard it. ``shown`` is the digest of what stands here.
    """

    number: int
    title: str
    text: str
    severity: str
    minutes: Decimal | None
    price: str
    pictures: tuple[str, ...]
    answer: str
    by: str
    at_ms: int
    shown: str

    @property
    def is_open(self) -> bool:
        """Whether it has its two buttons."""
        return not self.answer


@dataclass(frozen=True, slots=True)
class CustomerPage:
    """The whole page: what is worked on, pictures that belong to all of it (names), and the extra work.

    ``until_ms`` is how long the link is good [ms since the epoch]; ``own`` is the workshop's own text.
    """

    title: str
    machine: str
    invented: bool
    rehearsal: bool
    pictures: tuple[str, ...]
    offers: tuple[OfferShown, ...]
    until_ms: int
    own: OwnText = NO_TEXT

    def offer(self, number: int) -> OfferShown | None:
        """Return the extra work with that number."""
        return next((one for one in self.offers if one.number == number), None)


class NotShown(Exception):
    """There is nothing to show, or nothing to answer; ``sentence`` says why and what to do.

    ``status`` is that of HTTP. With ``is_secret`` the token opened nothing.
    """

    def __init__(self, sentence: str, status: int = 404, *, is_secret: bool = False) -> None:
        super().__init__(sentence)
        self.sentence, self.status, self.is_secret = sentence, status, is_secret


class Customers(Protocol):
    """Answers for the pages of customers. Each is asked on a thread of its own, and raises NotShown.

    ``token`` is what stands in the address.
    """

    def page(self, token: str) -> CustomerPage:
        """Return what there is to see."""

    def picture(self, token: str, name: str) -> Hung:
        """Return the picture with that name (its hash)."""

    def answer(self, token: str, number: int, shown: str, *, granted: bool) -> None:
        """Take an answer to the extra work ``number``, which was shown with the digest ``shown``."""
