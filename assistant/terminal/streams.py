"""The standard outputs, as every command has them: steady, and free of anything that steers a terminal.

Nothing that a command does ends halfway because nobody reads its lines any more: what cannot be printed is dropped,
the work goes on, and the end of the command says what happened. A pipe whose reader has seen enough (``| head -1``) is
no fault. What is printed is made visible: an escape sequence in a note is text like any other.
"""

from __future__ import annotations

import errno
import io
import os
import sys
from contextlib import suppress
from typing import TYPE_CHECKING, TextIO

from assistant.terminal.exits import Exit
from assistant.terminal.folding import columns_of, folded
from assistant.visible import visible

if TYPE_CHECKING:
    from _typeshed import ReadableBuffer

_SHORTEST = 20
"""What is shorter [letters] fits any terminal."""
STOPPED = "Stopped. What was confirmed is kept; assistant jobs lists what is open."


class _Steady(io.RawIOBase):
    """The end of an output that takes everything; after the first fault it drops what comes."""

    def __init__(self, raw: io.RawIOBase) -> None:
        self._raw = raw
        self.fault: OSError | None = None

    def writable(self) -> bool:
        return True

    def write(self, data: ReadableBuffer) -> int | None:
        size = memoryview(data).nbytes
        if self.fault is None:
            try:
                return self._raw.write(data)
            except OSError as fault:
                self.fault = fault
        return size

    def fileno(self) -> int:
        return self._raw.fileno()

    def isatty(self) -> bool:
        return self._raw.isatty()


class _Plain(io.TextIOWrapper):
    """An output for text. It calls itself no terminal, so that no library colours what it prints.

    On a terminal, a sentence that is longer than a line is broken between words. Anything else that is printed (a
    draft, JSON, a table) goes out as it is.
    """

    _begins = True

    def write(self, text: str) -> int:
        shown = "\r\n".join(map(visible, text.split("\r\n")))
        if self._begins and len(shown) > _SHORTEST and (columns := columns_of(self)) is not None:
            shown = "\n".join(folded(one, columns) if one[:1].isupper() else one for one in shown.split("\n"))
        self._begins = text.endswith("\n") or (self._begins and not text)
        super().write(shown)
        return len(text)

    def isatty(self) -> bool:
        return False


def take_outputs() -> None:
    """Put the steady outputs in the place of the standard ones; to be called once, before any command."""
    _fill_gaps()
    for name, kind in (("stdout", _Plain), ("stderr", io.TextIOWrapper)):
        before = getattr(sys, name)
        buffer = getattr(before, "buffer", None)
        raw = getattr(buffer, "raw", buffer)  # with PYTHONUNBUFFERED there is no buffer between
        if not isinstance(raw, io.FileIO):  # there is no such output, or it is a test's own
            continue
        before.flush()
        steady = _Steady(raw)
        made = kind(
            io.BufferedWriter(steady),
            encoding=before.encoding,
            errors="backslashreplace",
            line_buffering=name == "stderr" or raw.isatty() or before.line_buffering or before.write_through,
        )
        setattr(sys, name, made)


def _fill_gaps() -> None:
    """Open what the caller closed (``>&-``), so that no file that is opened later takes the number of an output."""
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)
    _BYTES.is_closed = sys.stdout is None
    for number, (name, mode) in enumerate((("stdin", "r"), ("stdout", "w"), ("stderr", "w"))):
        if getattr(sys, name) is None:  # what is printed goes nowhere, and what is read is at its end
            opened = open(number, mode, encoding="utf-8", closefd=False)  # noqa: SIM115 - it lasts as long as the program
            setattr(sys, name, opened)
            setattr(sys, f"__{name}__", opened)


def ended(code: int) -> int:
    """Return the exit code of a command that ended with ``code``, once all that it printed is out.

    Says so where it could not be printed: a disk that is full, not a reader that has gone.
    """
    out = sys.stdout
    if out is not None:
        with suppress(OSError, ValueError):
            out.flush()
    steady = _steady(out)
    fault = steady.fault if steady else None
    if fault is None or fault.errno == errno.EPIPE:
        return code
    warn(
        f"What was to be printed could not be written ({fault.strerror}); the files that were asked for are. "
        "Free some space, or print it elsewhere."
    )
    return Exit.OUTPUT if code == Exit.OK else code


def _steady(out: TextIO | None) -> _Steady | None:
    raw = getattr(getattr(out, "buffer", None), "raw", None)
    return raw if isinstance(raw, _Steady) else None


def warn(text: str) -> None:
    """Print ``text`` to the standard error, made visible, and on a terminal without breaking its words."""
    print(folded(visible(text), columns_of(sys.stderr)), file=sys.stderr)


class _Bytes:
    """Who has the standard output as a file: named ``-`` on the command line, by one file at most."""

    def __init__(self) -> None:
        self.taken = False
        self.text: TextIO | None = None
        """The standard output itself while a file has it."""
        self.is_closed = False
        """Whether the caller closed the standard output: no file can be written to it then."""


_BYTES = _Bytes()


def take_stdout() -> bool:
    """Keep the standard output for the bytes of a file; lines that are printed go to the standard error from now on.

    False when another file has it already.
    """
    if _BYTES.taken:
        return False
    _BYTES.taken, _BYTES.text, sys.stdout = True, sys.stdout, sys.stderr
    return True


def write_stdout(data: bytes) -> None:
    """Write the bytes of the file for which the standard output is kept.

    Raises:
        OSError: it cannot be written, for another reason than that nobody reads it.
    """
    out = _BYTES.text
    if out is None or _BYTES.is_closed:
        raise OSError(errno.EBADF, os.strerror(errno.EBADF))
    out.flush()
    out.buffer.write(data)
    out.buffer.flush()
    steady = _steady(out)
    if steady is not None and steady.fault is not None and steady.fault.errno != errno.EPIPE:
        fault, steady.fault = steady.fault, None  # it is told once
        raise fault


def give_stdout_back() -> None:
    """End what :func:`take_stdout` began."""
    if _BYTES.taken:
        _BYTES.taken, sys.stdout = False, _BYTES.text
