"""Whoever connects over TLS and says nothing, or not enough, keeps no phone from the page."""

from __future__ import annotations

import http.client
import socket
import ssl
from collections.abc import Iterator
from pathlib import Path

import pytest
from starlette.responses import PlainTextResponse

from assistant.display import handshakes
from assistant.display.board import Board
from assistant.display.handshakes import MOST_HANDSHAKES, MOST_HANDSHAKES_OF_ADDRESS
from assistant.display.server import Server, Tls, listening_socket
from tests.devices.waiting import until
from tests.display.test_slow import is_open
from tests.display.tls import certificate

CROWD = 150
HELLO = b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03"
"""How a handshake begins: its record and the head of a ClientHello (RFC 8446, sections 5.1 and 4.1.2)."""


def open_files() -> int:
    return len(list(Path("/proc/self/fd").iterdir()))


class Served:
    """A page over TLS on this computer, and how it is asked."""

    def __init__(self, folder: Path) -> None:
        key, self._cert = certificate(folder)
        context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        context.load_cert_chain(self._cert, key)
        heard = listening_socket("127.0.0.1", 0)
        self.port = heard.getsockname()[1]
        self.board = Board()
        tls = Tls(heard, context, lambda: None)
        self.server = Server(PlainTextResponse("here"), None, tls=tls, watch=self.board.watch)  # type: ignore[arg-type]
        self.server.start()

    def connect(self, address: str, said: bytes = b"") -> socket.socket:
        """Connect from an ``address`` of this machine (127.0.0.0/8 is all its own), and say what begins a handshake."""
        sock = socket.create_connection(("127.0.0.1", self.port), timeout=5, source_address=(address, 0))
        sock.sendall(said)
        return sock

    def ask(self, address: str = "127.0.0.1") -> str:
        """Ask as a phone does, and check the certificate."""
        phone = http.client.HTTPSConnection(
            "localhost", self.port, timeout=10, source_address=(address, 0),
            context=ssl.create_default_context(cafile=str(self._cert)),
        )  # fmt: skip
        phone.request("GET", "/")
        answer = phone.getresponse().read().decode()
        phone.close()
        return answer

    def close(self) -> None:
        self.board.close()
        self.server.close()


@pytest.fixture
def served(tmp_path: Path) -> Iterator[Served]:
    made = Served(tmp_path)
    yield made
    made.close()


@pytest.fixture
def patient(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever says nothing is waited for so long that only their number bounds them."""
    monkeypatch.setattr(handshakes, "HANDSHAKE_S", 120.0)


@pytest.mark.usefixtures("patient")
@pytest.mark.parametrize("said", [b"", HELLO], ids=["nothing", "half a greeting"])
def test_a_crowd_of_one_address_holds_few_places_and_keeps_not_even_that_address_away(
    served: Served, said: bytes
) -> None:
    files = open_files()
    crowd = [served.connect("127.0.0.1", said) for _ in range(CROWD)]
    until(lambda: sum(map(is_open, crowd)) <= MOST_HANDSHAKES_OF_ADDRESS, "the oldest to be let go")
    assert served.ask() == "here"
    still = [is_open(sock) for sock in crowd]
    assert not any(still[: CROWD - MOST_HANDSHAKES_OF_ADDRESS]), "the oldest went"
    assert any(still), "the newest were let in"
    until(
        lambda: open_files() <= files + CROWD + MOST_HANDSHAKES_OF_ADDRESS + 2,
        "their files to be closed",
    )
    for sock in crowd:
        sock.close()


@pytest.mark.usefixtures("patient")
def test_many_addresses_do_not_take_all_places_either(served: Served) -> None:
    crowd = [served.connect(f"127.0.{1 + at % 40}.{1 + at}") for at in range(CROWD)]
    until(lambda: sum(map(is_open, crowd)) <= MOST_HANDSHAKES, "the others to be let go")
    for _ in range(3):
        assert served.ask("127.0.0.1") == "here"
    assert sum(map(is_open, crowd)) >= MOST_HANDSHAKES - 4, "no more went than had to"
    for sock in crowd:
        sock.close()


@pytest.mark.parametrize("said", [b"", HELLO], ids=["nothing", "half a greeting"])
def test_a_handshake_has_its_time_and_no_more(served: Served, monkeypatch: pytest.MonkeyPatch, said: bytes) -> None:
    assert handshakes.HANDSHAKE_S <= 10, "a phone that is slow has this long"
    monkeypatch.setattr(handshakes, "HANDSHAKE_S", 0.4)
    silent = served.connect("127.0.0.1", said)
    until(lambda: not is_open(silent), "it to be let go", 30)
    assert served.ask() == "here"
    silent.close()


def test_what_is_no_handshake_is_let_go_at_once_with_a_line(served: Served, caplog: pytest.LogCaptureFixture) -> None:
    rude = served.connect("127.0.0.1", b"GET / HTTP/1.1\r\nhost: localhost\r\n\r\n")
    until(lambda: not is_open(rude), "it to be let go")
    gone = served.connect("127.0.0.1", HELLO)
    gone.close()
    assert served.ask() == "here"
    until(lambda: "refused: a handshake from 127.0.0.1" in caplog.text, "the line in the log")
    assert "Traceback" not in caplog.text
    rude.close()


@pytest.mark.usefixtures("patient")
def test_the_page_ends_at_once_for_all_who_say_nothing(served: Served) -> None:
    crowd = [served.connect("127.0.0.1") for _ in range(5)]
    served.close()
    until(lambda: not any(map(is_open, crowd)), "all of them to be let go")
    for sock in crowd:
        sock.close()
