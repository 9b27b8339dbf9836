"""What keys on a terminal mean: single ones act at once, a colon opens a line, and what a reader types is a code.

A foot pedal and a remote are keyboards of one or two keys. Pure but for the line that is echoed: times are passed in.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from assistant.events import Source
from assistant.language.chosen import LANGUAGE
from assistant.scan.burst import Burst, Came, Scan, TypedKey

KEYS: dict[str, tuple[str, str]] = {
    "enter": ("\n", "next"),
    "space": (" ", "next"),
    "page down": ("\x1b[6~", "next"),
    "page up": ("\x1b[5~", "go_back"),
    "right": ("\x1b[C", "next"),
    "left": ("\x1b[D", "go_back"),
    "r": ("r", "repeat"),
    "s": ("s", "repeat_stage"),
    "b": ("b", "which_bolts"),
    "v": ("v", "what_value"),
    "w": ("w", "where"),
    "y": ("y", "yes"),
    "n": ("n", "no"),
    "c": ("c", "confirmed"),
    "x": ("x", "cancel"),
    "p": ("p", "pause"),
    "o": ("o", "carry_on"),
    "q": ("q", "be_quiet"),
    "h": ("h", "help"),
}
"""Name of each key, the characters it sends, and the intent whose usual phrase it says."""

HELD = 0.4
"""Seconds within which the same key again is a bounce of the pedal or the keyboard's own repeat, and is ignored."""

_SEQUENCE = re.compile(r"\x1b(\[[0-?]*[ -/]*[@-~]|O[ -~]|[^\[O]|$)")
"""What a key that is no letter sends (ECMA-48, section 5.4: control sequences; O: function keys; alone: escape)."""
_PHRASES = {
    sent: LANGUAGE.phrases.phrases(intent)[0] for sent, intent in (dict(KEYS.values()) | {"\r": "next"}).items()
}


@dataclass(frozen=True, slots=True)
class Typing:
    """What takes that keys were pressed, and that a code was read; ``unended``: one that did not end with Enter."""

    phrase: Callable[[str, Source], None]
    scan: Callable[[str], None] = lambda _text: None
    unended: Callable[[], None] = lambda: None


class Lines:
    """Every line is a phrase."""

    due: float | None = None

    def __init__(self, typing: Typing) -> None:
        """Hand phrases to ``typing``."""
        self._typing = typing
        self._rest = ""

    def feed(self, text: str, _at: float) -> None:
        """Take what was written."""
        *lines, self._rest = (self._rest + text).split("\n")
        for line in lines:
            if phrase := " ".join(line.lower().split()):
                self._typing.phrase(phrase, Source.KEY)

    def tick(self, _at: float) -> None:
        """Have nothing that waits."""


class Decoder:
    """Single keys act at once, or as soon as they cannot be the first of a code; a colon opens a line."""

    def __init__(self, typing: Typing, pedal: str) -> None:
        """Hand phrases and codes to ``typing``; ``pedal`` is what the pedal sends."""
        self._typing = typing
        self._pedal = pedal
        self._burst = Burst()
        self._line: str | None = None
        self._part = ""
        self._last: tuple[str, float] = ("", 0.0)

    @property
    def due(self) -> float | None:
        """When :meth:`tick` has something to do [s]; None while no key is held back."""
        return self._burst.due

    def feed(self, text: str, at: float) -> None:
        """Take what the terminal sent at ``at`` [s]."""
        text, self._part = self._part + text, ""
        while text:
            sequence = _SEQUENCE.match(text) if text[0] == "\x1b" else None
            if text[0] == "\x1b" and sequence is None:  # the rest of it has not come yet
                self._part = text
                return
            key = sequence[0] if sequence else text[0]
            self._take(self._burst.feed(key, at), at)
            text = text[len(key) :]

    def tick(self, at: float) -> None:
        """Let keys act that were held back, where no more of a code came by ``at`` [s]."""
        self._take(self._burst.tick(at), at)

    def _take(self, came: list[Came], at: float) -> None:
        for one in came:
            match one:
                case TypedKey(sent):
                    self._key(sent, at)
                case Scan(text) if self._line is None or one.is_sure:
                    self._typing.scan(text)
                case Scan(text):
                    self._typed(f"{text}\n")
                case _ if self._line is not None or one.text[0] == ":":
                    self._open()
                    self._typed(one.text.removeprefix(":"))
                case _:
                    self._typing.unended()

    def _key(self, sent: str, at: float) -> None:
        if self._line is not None:
            self._typed(sent)
        elif sent == ":":
            self._open()
        elif sent in _PHRASES:
            key, before = self._last
            self._last = (sent, at)
            if sent != key or at - before > HELD:
                self._typing.phrase(_PHRASES[sent], Source.PEDAL if sent == self._pedal else Source.KEY)

    def _open(self) -> None:
        if self._line is None:
            self._line = ""
            print("\ntype a phrase and press enter: ", end="", flush=True)

    def _typed(self, text: str) -> None:
        """Put what was typed into the line."""
        for char in text if text[0] != "\x1b" else "":
            line = self._line or ""
            if char in "\r\n":
                print(flush=True)
                self._line = None
                if phrase := " ".join(line.lower().split()):
                    self._typing.phrase(phrase, Source.KEY)
            elif char in "\x7f\b":
                self._line = line[:-1]
                print("\b \b" if line else "", end="", flush=True)
            elif char.isprintable():
                self._line = line + char
                print(char, end="", flush=True)
