"""What twenty people who look cost a live job: from the end of a word to the reply, with ``--display``.

A live job as in :mod:`tests.bench.latency`, spoken to in the same words, while twenty browsers follow it: ten that read
(plain event streams), nine that asked and then take nothing, and a real Chromium. The time from the dialogue's line of
a heard word to the picture that shows it is taken with the same clock, at a reader and in the Chromium (its frame).
"""

from __future__ import annotations

import re
import socket
import threading
import time

from playwright.sync_api import Page

from tests.bench.figures import Figure, Tell, spread
from tests.bench.latency import WORDS, one
from tests.bench.live_bay import bay, job
from tests.display.browser import TABLET, chromium
from tests.display.wire import Watcher, connection

READERS, STALLED = 10, 9
_PAINTED = """() => { window.painted = {}; new MutationObserver(() => {
  const seq = document.getElementById('main').dataset.seq;
  requestAnimationFrame(() => setTimeout(() => { painted[seq] = performance.timeOrigin + performance.now(); }));
}).observe(document.getElementById('main'), {attributes: true, attributeFilter: ['data-seq']}); }"""


class Reader:
    """Follows the events on a thread, and notes when each picture was here (seconds since the epoch)."""

    def __init__(self, link: str) -> None:
        self._watcher = Watcher(link)
        self.arrived: dict[int, float] = {}
        self.ages: dict[int, float] = {}
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        def note(picture: dict[str, float]) -> bool:
            seq = int(picture["seq"])
            self.arrived.setdefault(seq, time.time())
            self.ages.setdefault(seq, picture["age_ms"] / 1000)
            return False

        try:
            self._watcher.until(note)
        except (AssertionError, OSError, ValueError):
            return  # the job has ended


def _stalled(link: str) -> socket.socket:
    sock = connection(link)
    sock.setsockopt(socket.SOL_SOCKET, socket.SO_RCVBUF, 4096)
    sock.sendall(f"GET /events HTTP/1.1\r\nhost: {link.split('/')[2]}\r\n\r\n".encode())
    return sock


def _shown_ms(page: Page, readers: list[Reader]) -> list[float]:
    """Return the times from the session's answer to the painted picture [ms], for every picture that was painted.

    A picture comes with its age; the reader that had it first tells best when it was new.
    """
    painted = {int(seq): at / 1000 for seq, at in page.evaluate("window.painted").items()}
    shown_at: dict[int, float] = {}
    for reader in readers:
        for seq, at in list(reader.arrived.items()):
            shown_at[seq] = min(at - reader.ages[seq], shown_at.get(seq, at))
    return [1000 * (at - shown_at[seq]) for seq, at in painted.items() if seq in shown_at]


def figures(tell: Tell) -> list[Figure]:
    """Measure, and return the times to a reply and to the page."""
    took: list[float] = []
    missed: list[str] = []
    with bay() as opened, job("--display", "--display-port", "0") as live, chromium() as browser:
        live.wait(lambda: any("Look at" in line.text for line in live.lines), "the link")
        link = next(found[0] for line in live.lines if (found := re.search(r"http://\S+", line.text)))
        readers = [Reader(link) for _ in range(READERS)]
        asleep = [_stalled(link) for _ in range(STALLED)]
        page = browser.new_page(viewport={"width": TABLET[0], "height": TABLET[1]})
        page.goto(link)
        page.evaluate(_PAINTED)
        live.wait(lambda: live.first("said") is not None, "the first sentence")
        live.wait(lambda: not opened.is_silent(0.2), "the first sound")
        for number, word in enumerate(WORDS, 1):
            times, heard = one(opened, live, word)
            tell(f"word {number} of {len(WORDS)}: {word}, " + (f"{times[1] * 1000:.0f} ms" if times else heard))
            if times is None:
                missed.append(f"{word} ({heard})")
            else:
                took.append(1000 * times[1])
        shown = _shown_ms(page, readers)
        for sock in asleep:
            sock.close()
    return [
        *spread("End of word -> first sound of the reply, 20 browsers looking", took, "ms", 300, 500),
        *spread("Answer -> painted in a browser, 20 browsers looking", shown, "ms", 200, 200),
        Figure(f"Words of {len(WORDS)} not understood", len(missed), "words", None, ", ".join(missed)),
    ]
