"""Who may look, who may press, and what becomes of everybody else: refused, logged in one line, no traceback."""

import json
import os
import re
import signal
import socket
import stat
import subprocess
import sys
from pathlib import Path

import pytest

from assistant.desk.display import Display
from assistant.desk.options import DisplayOptions
from assistant.journal.opening import journal_path
from assistant.terminal.exits import Refusal
from tests.devices.waiting import until
from tests.display.play import ROOT, SHORT, TO_FIRST_STEP
from tests.display.wire import Watcher, ask, connection, raw

pytestmark = pytest.mark.slow

SEARCHED = ("/jobs", "/procedures")
"""Their search is a form for our own server."""
PAGES = ["/", "/jobs", "/procedures", "/procedures/coolant-pump-cover.yaml", "/static/display.js", "/nowhere"]
KINDS = {
    "default-src": ["'none'"], "script-src": ["'self'"], "style-src": ["'self'"], "img-src": ["'self'"],
    "connect-src": ["'self'"], "base-uri": ["'none'"], "form-action": ["'none'"], "frame-ancestors": ["'none'"],
}  # fmt: skip


def log(home: Path) -> str:
    path = home / "display.log"
    return path.read_text("utf-8") if path.exists() else ""


def tokens(home: Path) -> tuple[str, str]:
    return tuple((home / name).read_text().strip() for name in ("display-token", "display-touch-token"))


@pytest.mark.parametrize("path", PAGES)
def test_every_answer_forbids_everything_that_is_not_our_own_file(begin, path):
    answer = ask(begin().display.link, path)
    policy = dict(part.split(None, 1) for part in answer.headers["content-security-policy"].split("; "))
    kinds = KINDS | ({"form-action": ["'self'"]} if path in SEARCHED else {})
    assert {kind: sources.split() for kind, sources in policy.items()} == kinds
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert answer.headers["x-frame-options"] == "DENY"
    assert answer.headers["referrer-policy"] == "no-referrer"
    assert "server" not in answer.headers
    # Nothing of ours would need what the policy forbids: no script or style in the page, no other host.
    text = answer.body.decode()
    assert not re.search(r"<script(?! src=)|<style|\son\w+=|style=|(?:src|href)=\"(?!/)", text)


def test_it_listens_on_the_loopback_address_alone(begin, network):
    link = begin().display.link
    assert link.startswith("http://127.0.0.1:")
    port = int(link.rsplit(":", 1)[1].strip("/"))
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection((network, port), timeout=2)


@pytest.mark.parametrize("host", ["0.0.0.0", "0"])
def test_it_never_opens_every_network_at_once(tmp_path, monkeypatch, host):
    monkeypatch.setenv("ASSISTANT_HOME", str(tmp_path))
    with pytest.raises(Refusal, match="every network"):
        Display(DisplayOptions(host, 0), procedures=SHORT.parent)


def test_a_taken_port_and_an_unknown_address_are_one_sentence(begin, tmp_path):
    port = int(begin().display.link.rsplit(":", 1)[1].strip("/"))
    with pytest.raises(Refusal, match="another --display-port"):
        Display(DisplayOptions("", port), procedures=SHORT.parent)
    with pytest.raises(Refusal, match="not known here"):
        Display(DisplayOptions("no-such-bay.invalid", 0), procedures=SHORT.parent)  # RFC 6761: never resolves


def test_the_shop_network_asks_for_the_token(begin, tmp_path, network):
    display = begin(host=network, touch=True).display
    looking, touching = tokens(tmp_path)
    for path in (*PAGES, "/events", "/?token=", f"/?token={looking[:-1]}", f"/?token={looking}x", "/?token=%ff%00"):
        answer = ask(display.link, path)
        assert (answer.status, b"Scan the code" in answer.body) == (403, True), path
    assert ask(display.link, "/", cookie="display-1=x; display=;;=").status == 403
    for token, pressing in ((looking, False), (touching, True)):
        came = ask(display.link, f"/?theme=dark&token={token}")
        assert (came.status, came.headers["location"]) == (303, ".?theme=dark")
        cookie = came.headers["set-cookie"]
        assert "HttpOnly" in cookie
        assert "samesite=lax" in cookie.lower()
        page = ask(display.link, "/", cookie=cookie.split(";")[0])
        assert (page.status, b'data-press="next"' in page.body) == (200, pressing)
        stream = Watcher(display.link, cookie=cookie.split(";")[0])
        assert stream.status == 200
        stream.close()
    assert all(
        stat.S_IMODE((tmp_path / name).stat().st_mode) == 0o600 for name in ("display-token", "display-touch-token")
    )
    text = log(tmp_path)
    assert text.count("no token") >= 7
    assert "Traceback" not in text
    assert looking not in text


def test_the_link_stays_the_same_from_start_to_start_and_can_be_scanned(begin, tmp_path, network):
    import io

    import zxingcpp
    from PIL import Image, ImageDraw

    first = begin(host=network)
    link = first.display.link.split("?")[1]
    second = begin(host=network)
    assert second.display.link.split("?")[1] == link
    cookie = ask(second.display.link, f"/?{link}").headers["set-cookie"].split(";")[0]
    svg = ask(second.display.link, "/link.svg", cookie=cookie).body.decode()
    assert "<script" not in svg
    # The code in the terminal, drawn as its half blocks say, is read by another library.
    rows = [re.sub(r"\x1b\[[\d;]*m", "", line) for line in second.display.invitation().splitlines()]
    rows = [row for row in rows if row and set(row) <= set(" ▀▄█")]
    width = max(map(len, rows))
    image = Image.new("L", (width * 4 + 32, len(rows) * 8 + 32), 0)
    draw = ImageDraw.Draw(image)
    for y, row in enumerate(rows):
        for x, cell in enumerate(row.ljust(width)):
            for half, lit in ((0, cell in "▀█"), (1, cell in "▄█")):
                top = 16 + 8 * y + 4 * half
                draw.rectangle((16 + 4 * x, top, 19 + 4 * x, top + 3), fill=255 if lit else 0)
    buffer = io.BytesIO()
    image.save(buffer, "PNG")
    read = zxingcpp.read_barcodes(Image.open(buffer).convert("L")) or zxingcpp.read_barcodes(
        Image.eval(image, lambda v: 255 - v)
    )
    assert [code.text for code in read] == [second.display.link]


def test_another_host_or_origin_is_refused_and_logged(begin, tmp_path):
    link = begin(touch=True).display.link
    own = link.removeprefix("http://").strip("/")
    for host in ("bay.example", "127.0.0.1", "127.0.0.1:1", f"{own}.example", ""):  # RFC 2606 names
        assert ask(link, host=host).status == 421, host
    for path in ("/", "/events", "/jobs"):
        assert ask(link, path, origin="http://bay.example").status == 403
        assert ask(link, path, origin="null").status == 403
        assert ask(link, path, sec_fetch_site="cross-site", sec_fetch_mode="cors").status == 403
    assert ask(link, origin=f"http://{own}").status == 200
    # A link on another page may be followed to the front page: that is how people come here. To nothing else.
    foreign = {"sec_fetch_site": "cross-site", "sec_fetch_mode": "navigate"}
    assert ask(link, **foreign).status == 200
    assert ask(link, sec_fetch_dest="document", **foreign).status == 200
    assert ask(link, sec_fetch_dest="iframe", **foreign).status == 403
    for path in ("/jobs", f"/jobs/{'2026-01-01-1'}", "/procedures", "/link", "/events", "/static/display.js", "//"):
        assert ask(link, path, sec_fetch_dest="document", **foreign).status == 403, path
        assert ask(link, path, sec_fetch_site="same-site", sec_fetch_mode="navigate").status == 403, path
    text = log(tmp_path)
    assert text.count("refused 421") == 5
    assert text.count("refused 403") == 9 + 1 + 14
    assert "Traceback" not in text


def test_too_much_or_broken_is_refused_and_the_page_goes_on(begin, tmp_path, capfd):
    play = begin(touch=True)
    link = play.display.link
    own = link.removeprefix("http://").strip("/")
    head = f"POST /press HTTP/1.1\r\nhost: {own}\r\norigin: http://{own}\r\n".encode()
    assert raw(link, head + b"content-length: 100000000\r\n\r\n").status == 413
    assert raw(link, head + b"transfer-encoding: chunked\r\n\r\nffffffff\r\n").status == 413
    assert ask(link, "/jobs?" + "x" * 3000).status == 414
    assert raw(link, b"GET / HTTP/1.1\r\nhost: " + own.encode() + b"\r\nx: " + b"y" * 70_000 + b"\r\n\r\n").status in (
        400,
        431,
    )
    for data in (
        b"\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03",
        b"GET\r\n\r\n",
        b"GET / HTTP/9\r\n\r\n",
        b"\x00" * 300 + b"\r\n\r\n",
    ):
        assert raw(link, data).status in (0, 400)
    for path in (
        "/jobs/%00",
        "/jobs/%ff%fe",
        "/jobs/..%2f..%2fetc%2fpasswd",
        "/procedures/..%2fsettings.toml",
        "/static/../pages.py",
    ):
        assert ask(link, path).status == 404, path
    for method in ("PUT", "DELETE", "TRACE", "BREW"):
        assert ask(link, "/", method).status == 405, method
    origin = {"origin": f"http://{own}"}
    for body in (b"", b"{", b"[]", b"7", b'{"press": "confirmed"}', b'{"press": ["next"]}', b"\xff\xfe", b"[" * 200):
        assert ask(link, "/press", "POST", body, **origin).status == 400, body
    assert (
        ask(link, "/press", "POST", b'{"press": "next"}').status == 403
    )  # a form of another page sends no origin of ours
    assert play.presses == []
    assert ask(link).status == 200
    said = log(tmp_path) + "".join(capfd.readouterr())
    assert "Traceback" not in said
    assert all(len(line) < 400 for line in said.splitlines())


def test_who_asks_nothing_is_let_go_and_nobody_takes_all_places(begin, monkeypatch):
    from assistant.display import server

    monkeypatch.setattr(server, "REQUEST_S", 0.3)
    link = begin().display.link
    slow = connection(link)
    slow.sendall(b"GET / HTTP/1.1\r\nhost:")
    assert slow.recv(100) == b""  # closed by the server
    crowd = [connection(link) for _ in range(server.MOST_CONNECTIONS + 20)]

    def turned_away() -> int:
        gone = 0
        for one in crowd:
            one.setblocking(False)
            try:
                gone += one.recv(1) == b""
            except BlockingIOError:
                pass
            except ConnectionResetError:
                gone += 1
        return gone

    until(lambda: turned_away() >= 20, "the crowd to be turned away")
    for one in crowd:
        one.close()
    until(lambda: ask(link).status == 200, "the page again")


def press(play, name: str, seq: int | None = None, **headers):
    link = play.display.link
    body = {"press": name, "boot": play.display.board.boot, "seq": play.seq if seq is None else seq}
    own = link.removeprefix("http://").split("/")[0]
    return ask(link, "/press", "POST", json.dumps(body).encode(), **{"origin": f"http://{own}"} | headers)


def test_a_page_for_looking_cannot_press(begin, tmp_path, network):
    assert press(begin(), "next").status == 403
    play = begin(host=network, touch=True)
    looking, touching = tokens(tmp_path)
    name = f"display-{play.display.link.split(':')[2].split('/')[0]}"
    assert press(play, "next").status == 403
    assert press(play, "next", cookie=f"{name}={looking}").status == 403
    assert play.presses == []
    assert press(play, "next", cookie=f"{name}={touching}").status == 200
    assert play.presses == ["next"]


def test_a_press_moves_once_and_only_on_what_is_shown(begin, monkeypatch):
    play = begin(touch=True)
    seq = play.seq
    assert press(play, "next").status == 200
    assert press(play, "next", seq).status == 409  # the second tap of a bounce was made on the old picture
    assert press(play, "next").status == 409  # the same button again at once, on the new one
    assert play.presses == ["next"]
    assert press(play, "pause").status == 200
    assert play.runner.session.view(play.now)["page"] == "paused"
    assert press(play, "carry-on").status == 200
    assert play.runner.session.view(play.now)["page"] == "work"
    kinds = [entry.data.get("source") for entry in play.job.entries() if entry.kind == "heard"]
    assert kinds == ["touch"] * 3


def test_a_press_has_no_right_that_the_voice_has_not(begin):
    play = begin(touch=True)
    play.say(*TO_FIRST_STEP[:6])
    assert play.runner.session.view(play.now)["hazard"]["word"] == "caution"
    before = play.runner.session.view(play.now)["place"]
    assert press(play, "next").status == 200
    view = play.runner.session.view(play.now)
    assert (view["place"], view["phase"]) == (before, "hazard")
    play.say("confirmed", "confirmed", "yes", "skip this", "the foreman agreed", "end note")
    for name in ("confirmed", "yes", "cancel", "count four"):
        assert press(play, name).status == 400


def command(home: Path, *words: str) -> subprocess.Popen[str]:
    return subprocess.Popen(
        # What runs in the background of a shell ignores control-C, and so would this.
        ["env", "--default-signal=INT", sys.executable, "-m", "assistant", *words],
        cwd=ROOT, env=os.environ | {"ASSISTANT_HOME": str(home)},
        stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip


def test_the_desk_is_served_without_a_job_until_control_c(tmp_path):
    desk = command(tmp_path, "desk", "--display-port", "0")
    link = desk.stdout.readline().split()[-1]
    came = ask(link)
    assert (came.status, came.headers["location"]) == (303, "/jobs")
    foreign = ask(link, sec_fetch_site="cross-site", sec_fetch_mode="navigate", sec_fetch_dest="document")
    assert (foreign.status, b"the pages for the desk" in foreign.body) == (200, True)
    assert b"There is no job yet" in ask(link, "/jobs").body
    assert b"coolant-pump-cover.yaml" in ask(link, "/procedures").body
    assert [ask(link, path).status for path in ("/events", "/press", "/link")] == [404] * 3
    desk.send_signal(signal.SIGINT)
    assert desk.wait(timeout=30) == 0
    assert desk.stderr.read() == ""


def test_where_it_cannot_be_served_no_job_is_begun(tmp_path):
    talk = "audio_fixtures/coolant-pump-cover.flac"
    tried = command(tmp_path, "rehearse", str(SHORT), "--audio-in", talk, "--display-host", "0.0.0.0")
    out, errors = tried.communicate(timeout=60)
    assert (tried.returncode, out) == (10, "")
    assert errors.count("\n") == 1
    assert "every network" in errors
    assert not journal_path(tmp_path).exists()
