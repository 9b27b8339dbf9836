"""Whoever holds connections open, and says and takes nothing, keeps nobody from the page."""

from __future__ import annotations

import socket
from urllib.parse import urlsplit

import pytest

from tests.devices.waiting import until
from tests.display.large import large_job
from tests.display.play import TO_FIRST_STEP
from tests.display.wire import Watcher, ask, raw

pytestmark = pytest.mark.slow

CROWD = 200
HALF = {
    "nothing": b"",
    "half a head": b"GET / HTTP/1.1\r\nhost: ",
    "half a body": b"POST /press HTTP/1.1\r\nhost: {host}\r\norigin: http://{host}\r\ncontent-length: 90\r\n\r\n{",
    "events that nobody reads": b"GET /events HTTP/1.1\r\nhost: {host}\r\n\r\n",
}


def slow(link: str, begun: str, address: str = "127.0.0.1") -> socket.socket:
    """Connect from an ``address`` of this machine (127.0.0.0/8 is all its own), send what was ``begun``, and wait."""
    at = urlsplit(link)
    sock = socket.create_connection((at.hostname, at.port), timeout=5, source_address=(address, 0))
    sock.sendall(HALF[begun].replace(b"{host}", at.netloc.encode()))
    return sock


def is_open(sock: socket.socket) -> bool:
    sock.setblocking(False)
    try:
        while piece := sock.recv(65536):
            assert piece
    except BlockingIOError:
        return True
    except ConnectionResetError:
        return False
    return False


@pytest.mark.parametrize("begun", HALF)
def test_two_hundred_slow_connections_keep_nobody_away(begin, begun):
    from assistant.display import server

    play = begin(touch=True)
    link = play.display.link
    crowd = [slow(link, begun) for _ in range(CROWD)]
    until(lambda: sum(map(is_open, crowd)) <= server.MOST_OF_ADDRESS, "the oldest to be let go")
    for path in ("/", "/jobs", "/static/display.js"):
        assert ask(link, path).status == 200  # from the very address that holds them
    watcher = Watcher(link)
    for phrase in TO_FIRST_STEP:
        play.say(phrase)
        picture, _ = watcher.until(lambda picture: picture["seq"] >= play.seq)
        assert picture["heard"]["text"] == phrase
    watcher.close()
    for sock in crowd:
        sock.close()


@pytest.mark.parametrize("begun", HALF)
def test_many_addresses_do_not_take_all_places_either(begin, begun):
    from assistant.display import server

    play = begin(touch=True)
    link = play.display.link
    watcher = Watcher(link)  # somebody who looks already stays
    watcher.until(lambda picture: picture["seq"] >= play.seq)
    crowd = [slow(link, begun, f"127.0.0.{2 + number % 5}") for number in range(CROWD)]
    until(lambda: sum(map(is_open, crowd)) < server.MOST_CONNECTIONS, "the oldest to be let go")
    assert ask(link, "/jobs").status == 200
    play.say("next")
    assert watcher.until(lambda picture: picture["seq"] >= play.seq)[0]["heard"]["text"] == "next"
    watcher.close()
    for sock in crowd:
        sock.close()


def test_a_body_that_does_not_come_ends_the_connection(begin, monkeypatch, tmp_path):
    from assistant.display import server

    monkeypatch.setattr(server, "REQUEST_S", 0.3)
    play = begin(touch=True)
    waiting = slow(play.display.link, "half a body")
    assert waiting.recv(100) == b""  # closed by the server
    assert ask(play.display.link).status == 200
    until(lambda: "no whole request" in (tmp_path / "display.log").read_text("utf-8"), "the line in the log")
    assert "Traceback" not in (tmp_path / "display.log").read_text("utf-8")


def test_a_page_that_nobody_takes_is_given_up_and_the_events_are_not(begin, monkeypatch, tmp_path):
    from assistant.display import server

    name = large_job(tmp_path, 6000)
    play = begin()
    link = play.display.link
    whole = ask(link, f"/jobs/{name}", seconds=60.0)
    assert whole.status == 200
    monkeypatch.setattr(server, "PAGE_S", 0.5)
    watcher = Watcher(link)
    at = urlsplit(link)
    with socket.socket() as lazy:
        lazy.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
        lazy.connect((at.hostname, at.port))
        lazy.sendall(f"GET /jobs/{name} HTTP/1.1\r\nhost: {at.netloc}\r\n\r\n".encode())
        until(lambda: "no page taken" in (tmp_path / "display.log").read_text("utf-8"), "the line in the log")
        got = b""
        try:
            while piece := lazy.recv(65536):
                got += piece
        except ConnectionResetError:
            pass
        assert len(got) < len(whole.body)
    play.say("next")
    watcher.until(lambda picture: picture["seq"] >= play.seq)
    watcher.close()


def test_only_a_press_has_a_body(begin):
    link = begin(touch=True).display.link
    host = urlsplit(link).netloc.encode()
    assert raw(link, b"GET / HTTP/1.1\r\nhost: " + host + b"\r\ncontent-length: 20\r\n\r\n").status == 413
    many = b"9" * 5000
    assert raw(link, b"GET / HTTP/1.1\r\nhost: " + host + b"\r\ncontent-length: " + many + b"\r\n\r\n").status in (
        400,
        413,
    )
