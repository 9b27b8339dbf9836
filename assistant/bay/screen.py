"""What can be seen of a job: the dialogue on the terminal, a page, both or neither. Neither keeps the job waiting."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from types import MappingProxyType
from typing import Any, Protocol

from assistant.display.board import Ear
from assistant.display.hung import Hung
from assistant.events import DropPhoto, Heard, TakePhoto, ToneKind
from assistant.facts import Fact
from assistant.procedure.model import Procedure
from assistant.terminal.dialogue import Dialogue
from assistant.worker import Guard, OnFailure


class Page(Protocol):
    """Something to look at; nothing that it does may keep the job waiting."""

    def begin(self, procedure: Procedure, pictures: Mapping[str, Hung]) -> None:
        """Know what the views will be about, and the pictures of its steps by the names of their files."""

    def show(self, view: Mapping[str, Any]) -> None:
        """Show the view of the session from now on."""

    def notice(self, text: str, *, trouble: bool = True) -> None:
        """Show a sentence about the equipment until the next view; ``trouble``: something is wrong with it."""

    def listen_to(self, ear: Callable[[], Ear]) -> None:
        """Show what the microphone does, as ``ear`` tells."""


class Screen:
    """Shows everything on whatever there is to show it; :meth:`guard` it where what breaks must not break the job."""

    def __init__(self, dialogue: Dialogue | None = None, page: Page | None = None) -> None:
        """Show on ``dialogue`` and ``page``, as far as they are given."""
        self._dialogue = dialogue
        self._page = page
        self._guards: dict[str, Guard] = {}
        self.photos: Callable[[TakePhoto | DropPhoto], None] = lambda _effect: None  # the camera and its album

    def guard(self, on_failure: OnFailure) -> None:
        """From now on tell ``on_failure`` when the terminal or the page breaks, and go on."""
        self._guards = {part: Guard(part, on_failure) for part in ("terminal", "page")}

    def begin(self, procedure: Procedure, now: float, pictures: Mapping[str, Hung] = MappingProxyType({})) -> None:
        """Begin with a job of ``procedure`` at ``now`` [s since the epoch]; ``pictures`` by the names of the files."""
        if self._dialogue:
            self._dialogue.begin(now)
        if self._page:
            self._page.begin(procedure, pictures)

    # On the terminal

    def heard(self, heard: Heard, now: float) -> None:
        """Show what came in."""
        self._print(lambda to: to.heard(heard, now))

    def slipped(self, heard: Mapping[str, Any], now: float) -> None:
        """Show what was not understood of what was typed."""
        self._print(lambda to: to.slipped(heard, now))

    def said(self, text: str, now: float) -> None:
        """Show a sentence that is being spoken."""
        self._print(lambda to: to.said(text, now))

    def tone(self, kind: ToneKind, now: float) -> None:
        """Show that a tone sounds."""
        self._print(lambda to: to.tone(kind, now))

    def told(self, text: str, now: float) -> None:
        """Show what the program itself has to say; it is not spoken."""
        self._print(lambda to: to.told(text, now))

    def kept(self, facts: Sequence[Fact], now: float) -> None:
        """Show what was put into the journal."""
        self._print(lambda to: to.kept(facts, now))

    # On the page

    def listen_to(self, ear: Callable[[], Ear]) -> None:
        """Show what the microphone does, as ``ear`` tells; it must not block."""
        if self._page:
            self._page.listen_to(ear)

    def show(self, view: Mapping[str, Any]) -> None:
        """Show the view of the session from now on."""
        if self._page:
            self._do("page", partial(self._page.show, view))

    def notice(self, text: str, *, trouble: bool = True) -> None:
        """Show a sentence about the equipment until the next view; ``trouble``: something is wrong with it."""
        if self._page:
            self._do("page", partial(self._page.notice, text, trouble=trouble))

    def _print(self, call: Callable[[Dialogue], object]) -> None:
        if self._dialogue:
            self._do("terminal", partial(call, self._dialogue))

    def _do(self, part: str, call: Callable[[], object]) -> None:
        """Let ``part`` do something; what it breaks on must not keep the rest of an answer back."""
        if guard := self._guards.get(part):
            guard(call)
        else:
            call()
