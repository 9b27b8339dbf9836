"""The line of a phone at a real server: who may call, what is refused, and what a stranger can do."""

from __future__ import annotations

import http.client
import json
import os
import ssl
import sys
import time
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, ExitStack
from pathlib import Path
from urllib.parse import urlsplit

import numpy as np
import pytest
from websockets.exceptions import ConnectionClosed, InvalidStatus
from websockets.sync.client import ClientConnection, connect

from assistant.desk import secure
from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions
from assistant.display import handshakes, server
from assistant.facts.bay import HeadsetIs
from assistant.phone.certificate import CERTIFICATE
from assistant.phone.framing import write_sound
from assistant.phone.headset import Headset
from assistant.phone.installed import phone_is_installed
from assistant.terminal.exits import Refusal
from tests.devices.waiting import until
from tests.display.conftest import network  # noqa: F401
from tests.display.play import SHORT
from tests.display.wire import ask

HELLO = {"client": "1" * 16, "codec": "pcm", "rate": 16_000, "again": False}
PIECE = np.full(320, 900, dtype="<i2").tobytes()


class Served:
    """A page, with a headset behind it."""

    def __init__(self, home: Path, host: str = "", https: str = "", *, touch: bool = True) -> None:
        self.news: list[HeadsetIs] = []
        self.headset = Headset(time.time, on_set=self.news.append)
        self.home = home
        self._stack = ExitStack()
        self.display = Display(
            DisplayOptions(host, 0, touch), procedures=SHORT.parent, press=lambda _phrase, _at: True, https=https,
            phone=self.headset,
        )  # fmt: skip

    def call(self, origin: str | None = None, cookie: str = "", hello: dict[str, object] | None = None):
        """Call as a page at the plain address does."""
        at = urlsplit(self.display.link).netloc
        line = self._stack.enter_context(connect(
            f"ws://{at}/phone/sound", origin=f"http://{at}" if origin is None else origin or None,
            additional_headers={"Cookie": cookie} if cookie else {}, proxy=None, open_timeout=20, close_timeout=5,
        ))  # fmt: skip
        if hello is not None:
            line.send(json.dumps(HELLO | hello))
        return line

    def close(self) -> None:
        self._stack.close()
        self.display.close()
        self.headset.close()


@pytest.fixture
def serve(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Callable[..., Served]]:
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    made: list[Served] = []

    def serve(*values: str, **options: bool) -> Served:
        made.append(Served(tmp_path, *values, **options))
        return made[-1]

    yield serve
    for one in made:
        one.close()


def end_of(line: ClientConnection) -> tuple[int, list[object]]:
    """Return the code with which a line is closed, and what was said on it before."""
    said: list[object] = []
    try:
        while True:
            message = line.recv(timeout=10)
            said.append(json.loads(message) if isinstance(message, str) else message)
    except ConnectionClosed as fault:
        return fault.rcvd.code if fault.rcvd else 0, said


def test_a_phone_speaks_and_is_spoken_to(serve: Callable[..., Served]) -> None:
    served = serve()
    served.headset.play(lambda count: np.full(count, 500, dtype=np.int16))
    line = served.call(hello={})
    assert json.loads(line.recv(timeout=10)) == {"state": "on", "moved": False}
    line.send(write_sound(0, PIECE))
    block = served.headset.read(10)
    assert block is not None
    assert set(block.samples) == {900}
    voice = line.recv(timeout=10)
    assert isinstance(voice, bytes)
    assert len(voice) == 644
    other = served.call(hello={"client": "2" * 16})
    assert json.loads(other.recv(timeout=10)) == {"state": "on", "moved": True}
    assert end_of(line)[1][-1] == {"state": "moved"}
    assert end_of(served.call(hello={"again": True})) == (4001, [{"state": "moved"}])
    other.send(json.dumps({"got": 0, "delay_ms": 20, "ends": True}))
    assert end_of(other)[0] == 1000
    assert served.news == [HeadsetIs.PHONE, HeadsetIs.OTHER_PHONE, HeadsetIs.BAY]


def test_another_page_and_a_page_for_looking_have_no_line(serve: Callable[..., Served]) -> None:
    served = serve()
    for origin in ("http://bay.example", "null", "", "https://" + urlsplit(served.display.link).netloc):
        with pytest.raises(InvalidStatus) as refusal:
            served.call(origin)
        assert refusal.value.response.status_code == 403, origin
    looking = serve(touch=False)
    with pytest.raises(InvalidStatus):
        looking.call()
    assert b"headset-button" not in ask(looking.display.link).body
    assert b"headset-button" in ask(served.display.link).body
    page = ask(served.display.link)
    assert "microphone=(self)" in page.headers["permissions-policy"]
    assert "microphone=()" in ask(served.display.link, "/jobs").headers["permissions-policy"]
    assert "Traceback" not in (served.home / "display.log").read_text("utf-8")


@pytest.mark.parametrize(
    "messages",
    [
        ["hello"], [b"\x00" * 10], ["{}"], [json.dumps(HELLO | {"codec": "mp3"})],
        [json.dumps(HELLO), b"\x00\x00\x00\x01" + b"\x01" * 10], [json.dumps(HELLO), b""],
        [json.dumps(HELLO), "[" * 100], [json.dumps(HELLO), os.urandom(5000)],
        [json.dumps(HELLO | {"codec": "opus", "rate": 48_000}), b"\x00\x00\x00\x01" + b"\xff" * 60],
        [json.dumps(HELLO), *[write_sound(n, PIECE) for n in range(400)]],
    ],
)  # fmt: skip
def test_garbage_and_floods_are_let_go(serve: Callable[..., Served], messages: list[str | bytes]) -> None:
    served = serve()
    line = served.call()
    try:
        for message in messages:
            line.send(message)
    except ConnectionClosed:
        pass
    code, _ = end_of(line)
    assert code in (1009, 4000)  # 1009: too long for any message
    until(lambda: served.headset._call is None, "the line to be free")
    assert json.loads(served.call(hello={"client": "3" * 16}).recv(timeout=10))["state"] == "on"
    log = (served.home / "display.log").read_text("utf-8") if (served.home / "display.log").exists() else ""
    assert "Traceback" not in log


def test_over_tls_the_same_is_there_with_a_cookie_of_its_own(
    serve: Callable[..., Served],
    network: str,  # noqa: F811
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    for module, limit in ((handshakes, "HANDSHAKE_S"), (server, "REQUEST_S")):
        monkeypatch.setattr(module, limit, 60.0)  # a busy machine takes longer for a handshake than a phone does
    served = serve(network, "beside")
    told = served.display.invitation()
    links = [line for line in told.splitlines() if line.startswith("http")]
    assert [link.split(":")[0] for link in links] == ["http", "http", "https"]
    assert served.display._secure.certificate.fingerprint in told
    at, root = urlsplit(links[2]), served.home / "root.pem"
    root.write_text(ssl.DER_cert_to_PEM_cert(served.display._secure.certificate.root))
    context = ssl.create_default_context(cafile=str(root))

    def line(cookie: str, scheme: str = "https") -> AbstractContextManager[ClientConnection]:
        return connect(
            f"wss://{at.netloc}/phone/sound", ssl=context, origin=f"{scheme}://{at.netloc}", proxy=None,
            additional_headers={"Cookie": cookie}, open_timeout=20,
        )  # fmt: skip

    token = at.query.removeprefix("token=")
    plain = urlsplit(links[1])
    came = ask(f"http://{plain.netloc}/", f"/?{plain.query}")
    assert (came.status, "secure" in came.headers["set-cookie"].lower()) == (303, False)
    for cookie, scheme in (("", "https"), (f"display-{at.port}={token}", "http"), (f"display-{at.port}=x", "https")):
        with pytest.raises(InvalidStatus), line(cookie, scheme):
            pass
    with line(f"display-{at.port}={token}") as open_line:
        open_line.send(json.dumps(HELLO))
        assert json.loads(open_line.recv(timeout=10))["state"] == "on"
    with pytest.raises(InvalidStatus), connect(  # nobody's sound goes over plain HTTP in a network
        f"ws://{plain.netloc}/phone/sound", origin=f"http://{plain.netloc}", proxy=None,
        additional_headers={"Cookie": f"display-{plain.port}={token}"},
    ):  # fmt: skip
        pass
    code = ask(f"http://{plain.netloc}/", "/phone", cookie=f"display-{plain.port}={token}")
    assert served.display._secure.certificate.fingerprint.encode() in code.body
    assert ask(f"http://{plain.netloc}/", "/", host=at.netloc).status == 421
    browser = http.client.HTTPSConnection(at.hostname, at.port, context=context, timeout=20)
    browser.request("GET", f"/?{at.query}")
    came = browser.getresponse()
    assert (came.status, came.getheader("strict-transport-security")) == (303, None)
    assert "secure" in came.getheader("set-cookie").lower()


def test_only_tls_leaves_no_plain_page(serve: Callable[..., Served], network: str) -> None:  # noqa: F811
    served = serve(network, "only")
    assert served.display.link.startswith("https://")
    assert ask(served.display.link.replace("https", "http")).status == 0


def test_without_the_extra_there_is_a_sentence_and_no_button(
    serve: Callable[..., Served],
    network: str,  # noqa: F811
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    monkeypatch.setitem(sys.modules, "av", None)
    assert not phone_is_installed()
    with pytest.raises(Refusal, match="extra phone"):
        serve(network, "only")
    page = Display(DisplayOptions(network, 0, True), procedures=SHORT.parent, https="beside")
    assert page.invitation().startswith("HTTPS and a phone as headset need the extra phone")
    page.close()
    monkeypatch.undo()
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    (tmp_path / CERTIFICATE).mkdir()
    with pytest.raises(Refusal, match="certificate of this bay cannot be kept"):
        serve(network, "beside")
    assert secure.wanted("beside", local=True) == ""
