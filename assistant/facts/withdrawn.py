"""That the procedure of a job was withdrawn from the library, and that somebody works with it anyhow."""

from __future__ import annotations

from typing import Annotated

from assistant.facts.asking import Ask
from assistant.facts.base import PERSONAL, Fact
from assistant.facts.inputs import Input


class RevisionGone(Input, frozen=True, kw_only=True):
    """The ``revision`` of the ``procedure`` (id) that the job keeps was withdrawn ``on`` a day (YYYY-MM-DD), and why.

    It was known in the bay when the job began (``begins``), or when it was taken up again.
    """

    KIND = "revision_gone"
    procedure: str
    revision: str
    on: str
    reason: Annotated[str, PERSONAL] = ""
    begins: bool = False


class AskAnyhow(Ask, frozen=True):
    """Begin with a ``revision`` of a procedure that was withdrawn."""

    revision: str


class BegunAnyhow(Fact, frozen=True, kw_only=True):
    """Somebody insisted on beginning with a ``revision`` that was withdrawn."""

    KIND = "begun_anyhow"
    revision: str
