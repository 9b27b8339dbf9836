"""Keys and a foot pedal (which is a keyboard) say the main words, whatever the noise.

On a terminal, single keys act at once; ``:`` opens a line in which any phrase can be typed. When the standard input is
no terminal, every line is a phrase.
"""

from __future__ import annotations

import os
import re
import selectors
import sys
import termios
import time
import tty
from collections.abc import Callable
from typing import IO, Any

from assistant.events import Source
from assistant.language.chosen import LANGUAGE
from assistant.worker import OnFailure, Worker

KEYS: dict[str, tuple[str, str]] = {
    "enter": ("\n", "next"),
    "space": (" ", "next"),
    "page down": ("\x1b[6~", "next"),
    "page up": ("\x1b[5~", "go_back"),
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
OnPhrase = Callable[[str, Source], None]


class Keyboard:
    """Reads keys on its own thread and hands phrases on; gives the terminal back as it was when closed."""

    def __init__(
        self,
        on_phrase: OnPhrase,
        *,
        pedal_key: str,
        stream: IO[Any] | None = None,
        on_failure: OnFailure | None = None,
    ) -> None:
        """Watch ``stream`` (default: the standard input); ``pedal_key`` is the name in KEYS that the pedal sends.

        ``on_failure`` is told on the keyboard's own thread when that breaks.
        """
        self._on_phrase = on_phrase
        self._pedal = KEYS[pedal_key][0] if pedal_key in KEYS else ""
        self._fd = (stream or sys.stdin).fileno()
        self._before: list[Any] | None = None
        self._wake, self._woken = os.pipe()
        self._worker = Worker("keyboard", self._read, on_failure=on_failure or (lambda _failure: None))

    def start(self) -> None:
        """Begin to read."""
        if os.isatty(self._fd):
            self._before = termios.tcgetattr(self._fd)
            tty.setcbreak(self._fd)
        self._worker.start()

    def close(self) -> None:
        """Stop reading and restore the terminal."""
        os.write(self._woken, b"x")
        self._worker.close(timeout_s=1.0)
        if self._before is not None:
            termios.tcsetattr(self._fd, termios.TCSADRAIN, self._before)
        os.close(self._wake)
        os.close(self._woken)

    def _read(self, go_on: Callable[[], bool]) -> None:
        decode = _Decoder(self._on_phrase, self._pedal) if self._before is not None else _Lines(self._on_phrase)
        with selectors.DefaultSelector() as selector:
            selector.register(self._wake, selectors.EVENT_READ)
            try:
                selector.register(self._fd, selectors.EVENT_READ)
            except PermissionError:  # a plain file: it never blocks, so it is read at once
                while data := os.read(self._fd, 1024):
                    decode.feed(data.decode("utf-8", "replace"))
                return
            while go_on():
                ready = {key.fd for key, _ in selector.select()}
                if self._wake in ready:
                    return
                data = os.read(self._fd, 1024)
                if not data:
                    return
                decode.feed(data.decode("utf-8", "replace"))


class _Lines:
    """Every line is a phrase."""

    def __init__(self, on_phrase: OnPhrase) -> None:
        self._on_phrase = on_phrase
        self._rest = ""

    def feed(self, text: str) -> None:
        *lines, self._rest = (self._rest + text).split("\n")
        for line in lines:
            if phrase := " ".join(line.lower().split()):
                self._on_phrase(phrase, Source.KEY)


class _Decoder:
    """Single keys act at once; a colon opens a line."""

    def __init__(self, on_phrase: OnPhrase, pedal: str) -> None:
        self._on_phrase = on_phrase
        self._pedal = pedal
        self._line: str | None = None
        self._part = ""
        self._last: tuple[str, float] = ("", 0.0)

    def feed(self, text: str) -> None:
        text, self._part = self._part + text, ""
        while text:
            text = self._typed(text) if self._line is not None else self._key(text)

    def _key(self, text: str) -> str:
        if text[0] == ":":
            self._line = ""
            print("\ntype a phrase and press enter: ", end="", flush=True)
            return text[1:]
        for sent in sorted(_PHRASES, key=len, reverse=True):
            if text.startswith(sent):
                self._press(sent)
                return text[len(sent) :]
        if text[0] != "\x1b":
            return text[1:]
        sequence = _SEQUENCE.match(text)
        if sequence is None:  # the rest of it has not come yet
            self._part = text
            return ""
        return text[sequence.end() :]

    def _press(self, sent: str) -> None:
        now = time.monotonic()
        key, at = self._last
        self._last = (sent, now)
        if sent != key or now - at > HELD:
            self._on_phrase(_PHRASES[sent], Source.PEDAL if sent == self._pedal else Source.KEY)

    def _typed(self, text: str) -> str:
        char, rest = text[0], text[1:]
        line = self._line or ""
        if char in "\r\n":
            print(flush=True)
            self._line = None
            if phrase := " ".join(line.lower().split()):
                self._on_phrase(phrase, Source.KEY)
        elif char in "\x7f\b":
            self._line = line[:-1]
            print("\b \b" if line else "", end="", flush=True)
        elif char.isprintable():
            self._line = line + char
            print(char, end="", flush=True)
        return rest


def unbounced(press: Callable[[str], None]) -> Callable[[str], bool]:
    """Return ``press``, but the same button again within HELD seconds is a bounce, as it is for a key."""
    last: tuple[str, float] = ("", 0.0)

    def pressed(phrase: str) -> bool:
        nonlocal last
        now = time.monotonic()
        bounce = last[0] == phrase and now - last[1] <= HELD
        last = phrase, now
        if not bounce:
            press(phrase)
        return not bounce

    return pressed
