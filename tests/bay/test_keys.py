"""Keys and the pedal on a real pseudo-terminal, and phrases from a pipe."""

import os
import pty
import queue
import select
import time

import pytest

from assistant.bay.keys import Keyboard
from assistant.events import Source
from assistant.language.en.phrases import phrases
from assistant.scan.burst import READER_S
from assistant.session.intents import INTENTS
from assistant.terminal.keys import HELD, KEYS, Decoder, Typing

NAMES = {intent.name for intent in INTENTS}


def typing(said):
    """What puts each phrase with its source into ``said``, and codes with a word in its place."""
    return Typing(
        lambda phrase, source: said.put((phrase, source)),
        lambda code: said.put((code, "scan")),
        lambda: said.put(("", "unended")),
    )


class Terminal:
    def __init__(self, pedal_key="page down"):
        self.said: queue.Queue[tuple[str, Source]] = queue.Queue()
        self.ours, theirs = pty.openpty()
        self.file = os.fdopen(theirs, "rb", buffering=0)
        self.keyboard = Keyboard(typing(self.said), pedal_key=pedal_key, stream=self.file)
        self.keyboard.start()

    def type(self, text: str) -> None:
        os.write(self.ours, text.encode())

    def hears(self):
        return self.said.get(timeout=5)

    def close(self):
        self.keyboard.close()
        self.file.close()
        os.close(self.ours)


def until_read(terminal):
    """Wait until the keyboard has taken all that was typed."""
    deadline = time.monotonic() + 5
    while select.select([terminal.file], [], [], 0)[0]:
        assert time.monotonic() < deadline


@pytest.fixture
def terminal():
    opened = Terminal()
    yield opened
    opened.close()


@pytest.mark.parametrize(("sent", "intent"), sorted(KEYS.values()))
def test_each_key_says_a_phrase_that_the_assistant_knows(terminal, sent, intent):
    terminal.type(sent)
    assert terminal.hears()[0] == phrases(intent)[0]
    assert intent in NAMES


def test_the_pedal_is_told_apart_from_the_keys(terminal):
    terminal.type("\x1b[6~")
    assert terminal.hears() == ("next", Source.PEDAL)
    terminal.type("\n")
    assert terminal.hears() == ("next", Source.KEY)


def test_a_pedal_that_is_held_down_moves_once(terminal):
    terminal.type("\x1b[6~" * 20)
    terminal.type("r")
    assert [terminal.hears()[0], terminal.hears()[0]] == ["next", "repeat"]
    assert terminal.said.empty()


def test_the_same_key_counts_again_after_a_while(terminal):
    terminal.type("r")
    first = terminal.hears()
    until = time.monotonic() + HELD + 0.1
    while time.monotonic() < until:
        assert terminal.said.empty()
    terminal.type("r")
    assert terminal.hears() == first


def test_a_colon_opens_a_line_for_any_phrase():
    """By hand, so with times between the keys; what came faster than that would be a code."""
    said, at = queue.Queue(), 0.0
    decode = Decoder(typing(said), "\x1b[6~")
    for key in ":Count  17\x7f6\n":
        at += READER_S + 0.001
        decode.feed(key, at)
    assert said.get_nowait() == ("count 16", Source.KEY)
    assert said.empty()


def test_a_line_takes_letters_that_were_rolled_and_no_code():
    said = queue.Queue()
    decode = Decoder(typing(said), "")
    for key, at in ((":", 1.0), ("o", 1.2), ("n", 1.23), ("e", 1.4), ("x", 1.44), ("\x7f", 1.6), ("\n", 1.7)):
        decode.feed(key, at)
    assert said.get_nowait() == ("one", Source.KEY)
    decode.feed(":", 2.0)
    decode.feed("WO-4711\r", 3.0)
    assert said.get_nowait() == ("WO-4711", "scan")
    for key, at in (("y", 4.0), ("e", 4.1), ("s", 4.2), ("\r", 4.3)):
        decode.feed(key, at)
    assert said.get_nowait() == ("yes", Source.KEY)


@pytest.mark.parametrize("code", ["WO-4711", "y", "c", "1", "yc", ":finish job", "\x1d01next"])
def test_no_key_of_a_code_is_pressed(terminal, code):
    terminal.type(f"{code}\r")
    terminal.type("\x1b[6~")
    assert [terminal.hears(), terminal.hears()] == [(code, "scan"), ("next", Source.PEDAL)]
    assert terminal.said.empty()


def test_a_code_without_its_end_presses_nothing_and_is_told(terminal):
    terminal.type("ync")
    assert terminal.hears() == ("", "unended")
    assert terminal.said.empty()


def test_an_unknown_escape_sequence_says_nothing(terminal):
    terminal.type("\x1b[19~")
    terminal.type("y")
    assert terminal.hears()[0] == "yes"


def test_a_sequence_may_come_in_pieces_and_swallows_nothing(terminal):
    terminal.type("\x1b[19~y")
    assert terminal.hears()[0] == "yes"
    terminal.type("\x1b[6")
    until_read(terminal)
    terminal.type("~v")
    assert [terminal.hears()[0], terminal.hears()[0]] == ["next", "what value"]


def test_lines_from_a_pipe_are_phrases():
    said: queue.Queue[tuple[str, Source]] = queue.Queue()
    reading, writing = os.pipe()
    with os.fdopen(reading, "rb") as file:
        keyboard = Keyboard(typing(said), pedal_key="page down", stream=file)
        keyboard.start()
        os.write(writing, b"Which  bolts\n\nnext\n")
        assert said.get(timeout=5) == ("which bolts", Source.KEY)
        assert said.get(timeout=5) == ("next", Source.KEY)
        keyboard.close()
    os.close(writing)
