"""Takes pictures of the pages as people see them: ``make pictures`` writes them into ``build/pictures``.

Phone, tablet and wall, in daylight and in the dark, at the places of a job that matter. They are to be looked at.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, Page

from assistant.display.board import Ear
from tests.display.browser import PHONE, TABLET, WALL, chromium, shows
from tests.display.play import AFTER_THE_WAIT, NOTHING, ROOT, TO_FIRST_STEP, TO_TIGHTENING, Play
from tests.display.scenes import scenes

OUT = ROOT / "build" / "pictures"
SCREENS = {
    "phone-light": (PHONE, "light"),
    "tablet-dark": (TABLET, "dark"),
    "wall-light": (WALL, "light"),
    "wall-dark": (WALL, "dark"),
}
FULL = {"phone": PHONE, "phone-on-its-side": (844, 390), "tablet": TABLET, "laptop": (1280, 720), "wall": WALL}
DESK = {"jobs": "jobs", "procedures": "procedures", "procedure": "procedures/coolant-pump-cover.yaml"}


class Camera:
    """Open pages of all sizes that follow one job."""

    def __init__(self, play: Play, pages: dict[str, Page]) -> None:
        self._play = play
        self._pages = pages
        self.taken = 0

    def take(self, what: str, *phrases: str) -> None:
        """Say ``phrases`` and take a picture of every page."""
        self._play.say(*phrases)
        self.taken += 1
        for name, page in self._pages.items():
            shows(page, self._play.seq)
            page.screenshot(path=OUT / f"{self.taken:02d}-{what}-{name}.png")

    def desk(self) -> None:
        """Take a picture of every page for the desk."""
        for what, path in DESK.items():
            for name, page in self._pages.items():
                page.goto(self._play.display.link + path)
                page.screenshot(path=OUT / f"desk-{what}-{name}.png")


def full(browser: Browser) -> None:
    """Take pictures of the pages at their fullest."""
    with tempfile.TemporaryDirectory(prefix="pictures-") as home:
        os.environ["ASSISTANT_HOME"] = home
        play = Play(Path(home), touch=True)
        play.display.board.listen_to(lambda: Ear("listening", -38.0))
        pages = {}
        for name, (width, height) in FULL.items():
            pages[name] = browser.new_page(viewport={"width": width, "height": height})
            pages[name].goto(play.display.link)
        for what, view in scenes(play):
            play.display.board.show(view)
            for name, page in pages.items():
                shows(page, play.seq)
                page.screenshot(path=OUT / f"full-{what.replace(' ', '-')}-{name}.png")
        play.close()


def main() -> None:
    """Take all pictures."""
    OUT.mkdir(parents=True, exist_ok=True)
    for before in OUT.glob("*.png"):
        before.unlink()
    with tempfile.TemporaryDirectory(prefix="pictures-") as home, chromium() as browser:
        os.environ["ASSISTANT_HOME"] = home
        play = Play(Path(home), touch=True)
        play.display.board.listen_to(lambda: Ear("listening", -38.0))
        pages = {}
        for name, ((width, height), scheme) in SCREENS.items():
            pages[name] = browser.new_page(viewport={"width": width, "height": height}, color_scheme=scheme)
            pages[name].goto(play.display.link)
        camera = Camera(play, pages)
        camera.take("conditions")
        camera.take("caution", *TO_FIRST_STEP[:6])
        camera.take("warning", "confirmed")
        camera.take("check", "confirmed")
        camera.take("wait", *TO_TIGHTENING[len(TO_FIRST_STEP) :])
        play.pass_time(31)
        camera.take("reading", "next")
        camera.take("stage-one", *AFTER_THE_WAIT[1:], NOTHING)
        camera.take("unit", "use pound feet")
        play.say("use newton metres", "next", "next", "one by one", "next")
        play.leave_out()
        camera.take("left-out")
        camera.take("hidden", "all together", "next", "one by one", "next")
        camera.take("angle", "all together", "next")
        camera.take("question", "skip this step")
        camera.take("paused", "cancel", "pause")
        play.display.board.notice("The microphone is gone. Nothing is lost. I keep looking for it.")
        camera.take("notice")
        for page in pages.values():
            page.get_by_text("Menu").click()
        camera.take("menu")
        for page in pages.values():
            for _ in range(4):
                page.get_by_role("button", name="Larger text").click()
            page.get_by_text("Menu").click()
        camera.take("text-200", "carry on")
        camera.desk()
        for page in pages.values():
            page.goto(play.display.link + "?text=100")
            shows(page, play.seq)
        play.close()
        for name, page in pages.items():
            page.get_by_text("NOT UPDATING").wait_for()
            page.screenshot(path=OUT / f"{camera.taken + 1:02d}-not-updating-{name}.png")
            page.close()
        full(browser)
        print(f"{len(list(OUT.glob('*.png')))} pictures are in {OUT.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
