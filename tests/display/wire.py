"""Plain sockets, to ask the server what no browser would."""

from __future__ import annotations

import json
import socket
import time
from collections.abc import Callable
from urllib.parse import urlsplit


class Answer:
    """Status, headers (lower case) and body of an answer; status 0 when the connection was closed without one."""

    def __init__(self, data: bytes) -> None:
        head, _, self.body = data.partition(b"\r\n\r\n")
        lines = head.decode("latin-1").split("\r\n")
        self.status = int(lines[0].split()[1]) if data else 0
        self.headers = {name.lower(): value for name, _, value in (line.partition(": ") for line in lines[1:])}


def raw(link: str, data: bytes, seconds: float = 5.0) -> Answer:
    """Send ``data`` as it is and return what comes until the server closes."""
    with connection(link, seconds) as sock:
        sock.sendall(data)
        return Answer(_all(sock))


def ask(
    link: str, path: str = "/", method: str = "GET", body: bytes = b"", *, seconds: float = 5.0, **headers: str
) -> Answer:
    """Ask as a browser does; ``headers`` replace the usual ones (``_`` for ``-``), None leaves one out."""
    host = urlsplit(link).netloc
    given = {"host": host} | ({"content-length": str(len(body))} if body else {})
    given |= {name.replace("_", "-"): value for name, value in headers.items()}
    lines = "".join(f"{name}: {value}\r\n" for name, value in given.items() if value is not None)
    return raw(link, f"{method} {path} HTTP/1.1\r\n{lines}\r\n".encode("latin-1") + body, seconds)


def connection(link: str, seconds: float = 5.0) -> socket.socket:
    """Connect to the server of ``link``."""
    at = urlsplit(link)
    return socket.create_connection((at.hostname, at.port), timeout=seconds)


def _all(sock: socket.socket) -> bytes:
    data = b""
    try:
        while piece := sock.recv(65536):
            data += piece
    except ConnectionResetError:
        pass
    return data


class Watcher:
    """Reads the events of a page, one picture after the other."""

    def __init__(self, link: str, **headers: str) -> None:
        host = urlsplit(link).netloc
        self._sock = connection(link, 10.0)
        lines = "".join(f"{name}: {value}\r\n" for name, value in ({"host": host} | headers).items())
        self._sock.sendall(f"GET /events HTTP/1.1\r\n{lines}\r\n".encode())
        self._file = self._sock.makefile("rb")
        self.status = int(self._file.readline().split()[1])

    def until(self, enough: Callable[[dict], bool]) -> tuple[dict, float]:
        """Return the first picture that is ``enough``, and the monotonic time at which it was here."""
        for line in self._file:
            if line.startswith(b"data: {") and b'"seq"' in line:
                picture = json.loads(line[6:])
                if enough(picture):
                    return picture, time.monotonic()
        raise AssertionError("the stream ended")

    def close(self) -> None:
        self._file.close()
        self._sock.close()
