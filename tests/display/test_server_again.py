"""A server whose loop breaks is told and serves again at the same place; so is what runs beside it."""

from __future__ import annotations

import asyncio
import http.client
import threading
from collections.abc import Iterator
from contextlib import contextmanager

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.routing import Route

from assistant.display.server import Server, listening_socket
from assistant.events import Then
from assistant.worker import Failure

pytestmark = pytest.mark.slow


async def _hello(_request: Request) -> PlainTextResponse:
    return PlainTextResponse("hello")


async def _break(_request: Request) -> PlainTextResponse:
    asyncio.get_running_loop().stop()  # as a fault deep in a library may: the loop ends under the server
    await asyncio.sleep(60)
    return PlainTextResponse("never")


class Beside:
    """What runs beside the server; it breaks as often as it is told."""

    def __init__(self, times: int) -> None:
        self.left = times
        self.told: list[Failure] = []
        self.settled, self.broke = threading.Event(), threading.Event()

    async def watch(self) -> None:
        if self.left:
            self.left -= 1
            raise LookupError("no such bolt")
        self.settled.set()
        await asyncio.sleep(3600)

    def tell(self, failure: Failure) -> None:
        self.told.append(failure)
        self.broke.set()
        if failure.then is Then.ENDED:
            self.settled.set()


@contextmanager
def served(beside: Beside) -> Iterator[int]:
    heard = listening_socket("127.0.0.1", 0)
    app = Starlette(routes=[Route("/", _hello), Route("/break", _break)])
    server = Server(app, heard, watch=beside.watch, on_failure=beside.tell)
    server.start()
    try:
        yield heard.getsockname()[1]
    finally:
        server.close()


def ask(port: int, path: str) -> str:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=10)
    try:
        connection.request("GET", path)
        return connection.getresponse().read().decode()
    except (http.client.HTTPException, OSError):
        return ""
    finally:
        connection.close()


def test_a_loop_that_breaks_is_told_and_the_page_is_served_again() -> None:
    beside = Beside(0)
    with served(beside) as port:
        assert ask(port, "/") == "hello"
        assert ask(port, "/break") != "never"
        assert beside.broke.wait(10)
        assert ask(port, "/") == "hello"
    assert [(one.part, one.error, one.then) for one in beside.told] == [("page", "RuntimeError", Then.AGAIN)]


def test_what_runs_beside_the_server_is_taken_up_again() -> None:
    beside = Beside(2)
    with served(beside) as port:
        assert beside.settled.wait(10)
        assert ask(port, "/") == "hello"
    assert [(one.part, one.error, one.then) for one in beside.told] == [("page", "LookupError", Then.AGAIN)] * 2


def test_what_always_breaks_is_left_off_and_the_page_is_still_served() -> None:
    beside = Beside(10)
    with served(beside) as port:
        assert beside.settled.wait(10)
        assert ask(port, "/") == "hello"
    assert [one.then for one in beside.told] == [Then.AGAIN, Then.AGAIN, Then.ENDED]
