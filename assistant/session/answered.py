"""How extra work was answered, until that is taken up: on the page of the customer, or by what somebody says."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.facts.extra import GrantRole


@dataclass(frozen=True, slots=True)
class PageAnswer:
    """What the customer answered on the page at ``at_ms``, and was not taken up yet.

    ``outdated``: to something that did not count any more, so nothing comes of it but a word.
    """

    work: str
    number: int
    granted: bool
    at_ms: int
    outdated: bool = False


@dataclass(frozen=True, slots=True)
class Granting:
    """Extra work of which somebody says that it is granted, since ``since_ms``; who did, once that is known."""

    work: str
    since_ms: int
    role: GrantRole | None = None
    name: str = ""
