"""Lines on a terminal: broken between words, whatever the width; not at all where they go into a file."""

from __future__ import annotations

import fcntl
import io
import os
import pty
import struct
import subprocess
import sys
import termios
from pathlib import Path

import pytest

from assistant.terminal.folding import columns_of, folded

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[2]
SENTENCE = "Check that the lock pin is out of the carrier before anybody turns the hub by hand."


@pytest.mark.parametrize("columns", [30, 40, 57, 79, 80, 81, 200])
def test_no_line_is_too_long_and_no_word_is_broken(columns):
    shown = folded(SENTENCE, columns, head="  0:02  said   ")
    lines = shown.split("\n")
    assert all(len(line) < columns or len(line) <= 15 + 20 for line in lines)
    assert shown.split() == f"0:02 said {SENTENCE}".split()
    assert all(line.startswith(" " * 15) for line in lines[1:])


def test_a_path_stays_whole_and_a_file_gets_the_line_as_it_is():
    path = "/home/bay/" + "x" * 60 + "/job.html"
    assert path in folded(f"Wrote {path} and more", 40)
    assert folded(SENTENCE, columns_of(io.StringIO())) == SENTENCE
    assert folded("one\n\ntwo", 40) == "one\n\ntwo"


def at_terminal(columns: int, *words: str, home: Path, typed: bytes = b"") -> tuple[str, int]:
    """Run the command on a terminal of its own (pty(7)) and return what stands on it, and the exit code."""
    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    process = subprocess.Popen(
        [sys.executable, "-m", "assistant", *words], stdin=subprocess.PIPE, stdout=theirs, stderr=theirs, cwd=ROOT,
        env=os.environ | {"ASSISTANT_HOME": str(home), "TERM": "dumb"},
    )  # fmt: skip
    os.close(theirs)
    process.stdin.write(typed)
    process.stdin.close()
    shown = b""
    try:
        while piece := os.read(ours, 65536):
            shown += piece
    except OSError:  # EIO: nobody holds the other end any more
        pass
    os.close(ours)
    return shown.decode().replace("\r\n", "\n"), process.wait(timeout=30)


@pytest.mark.parametrize("columns", [50, 80])
def test_the_dialogue_fits_the_terminal(tmp_path, columns):
    talk = b"next\n(key) nxt\nrepeat\nwhat is left\n"
    shown, code = at_terminal(
        columns, "rehearse", "procedures/coolant-pump-cover.yaml", "--typed", "-", home=tmp_path, typed=talk
    )
    assert code == 3
    lines = shown.splitlines()
    assert any("said" in line for line in lines)
    assert max(map(len, lines)) < columns
    assert 'Did you mean "next"?' in " ".join(shown.split())
    refused, code = at_terminal(columns, "resume", "1999-01-01-1", home=tmp_path)
    assert code != 0
    assert max(map(len, refused.splitlines())) < columns


@pytest.mark.parametrize("columns", [60, 100])
def test_tables_and_sentences_fit_the_terminal_too_and_keep_their_words(tmp_path, columns):
    shown, code = at_terminal(columns, "phrases", home=tmp_path)
    assert code == 0
    lines = shown.splitlines()
    assert max(map(len, lines)) < columns
    wide = subprocess.run(
        [sys.executable, "-m", "assistant", "phrases"], capture_output=True, text=True, cwd=ROOT, check=True,
        env=os.environ | {"ASSISTANT_HOME": str(tmp_path)},
    ).stdout  # fmt: skip
    assert len(wide.splitlines()) < len(lines)  # into a pipe, a line for each row
    assert sorted(shown.split()) == sorted(wide.split())
    sums, code = at_terminal(
        columns, "wrench-setting", "80 N·m", "--lever", "400 mm", "--extension", "40 mm", home=tmp_path
    )
    assert code == 0
    assert max(map(len, sums.splitlines())) < columns
