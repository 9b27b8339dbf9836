"""Pictures of the page that are kept, and compared in the tests: ``python -m tests.display.kept`` makes them anew.

Look at what changed before they are committed. The same command draws the picture of the page in the README.
"""

from __future__ import annotations

import io
import os
import tempfile
from collections.abc import Iterator
from pathlib import Path

from PIL import Image, ImageChops
from playwright.sync_api import Browser, Page

from tests.display.browser import PHONE, TABLET, WALL, chromium, shows
from tests.display.play import AFTER_THE_WAIT, ROOT, TO_FIRST_STEP, TO_TIGHTENING, Play

KEPT = Path(__file__).parent / "kept"
README_PICTURE = ROOT / "docs" / "display.png"
COMMAND = ".venv/bin/python -m tests.display.kept"
SIZES = {"phone": PHONE, "tablet": TABLET, "wall": WALL}
COLOURS = 32
"""So many a kept picture has: the page has a dozen, and the edges of its letters are grey."""
FAR = 96
"""A pixel differs where a colour of it is so far off, of 255: edges of letters are drawn a little otherwise by each
release of a browser, and a kept picture has few colours (common practice, no source)."""
MOST = 0.002
"""So much of a picture may differ: a word of small letters on a wall screen is more (tests: the one to say)."""
PROBE = (
    "<p style='margin:0;font:bold 40px/1.2 \"DejaVu Sans\"'>5 N·m 1.25</p>"
    "<p style='margin:0;font:20px \"DejaVu Sans\"'>Tighten ▪ ✓ ●</p>"
)
"""Letters and signs as the page has them, of the font that it names first."""


def small(data: bytes) -> Image.Image:
    """Return a picture with few colours, as it is kept."""
    return Image.open(io.BytesIO(data)).convert("RGB").quantize(COLOURS, dither=Image.Dither.NONE)


def unlike(one: Image.Image, other: Image.Image) -> tuple[float, Image.Image]:
    """Return how much of two pictures differs [0 to 1], all of it where their sizes do, and a picture of where."""
    if one.size != other.size:
        return 1.0, Image.new("L", one.size, 255)
    bands = ImageChops.difference(one.convert("RGB"), other.convert("RGB")).split()
    most = ImageChops.lighter(ImageChops.lighter(bands[0], bands[1]), bands[2])
    where = most.point(lambda far: 255 if far > FAR else 0)
    return where.histogram()[255] / (one.size[0] * one.size[1]), where


def probe(browser: Browser) -> Image.Image:
    """Return how this machine draws the letters of the page."""
    page = browser.new_page(viewport={"width": 320, "height": 90})
    page.set_content(PROBE)
    drawn = small(page.screenshot())
    page.close()
    return drawn


def views(browser: Browser, home: Path) -> Iterator[tuple[str, Image.Image]]:
    """Yield the names and pictures of the views that are kept, of a job in the data folder ``home``."""
    play = Play(home)
    pages: dict[str, Page] = {}
    for name, (width, height) in SIZES.items():
        pages[name] = browser.new_page(viewport={"width": width, "height": height}, color_scheme="light")
        pages[name].goto(play.display.link)

    def seen(what: str) -> Iterator[tuple[str, Image.Image]]:
        for name, page in pages.items():
            shows(page, play.seq, 30.0)
            yield f"{what}-{name}", small(page.screenshot())

    try:
        play.say(*TO_FIRST_STEP[:7])
        yield from seen("warning")
        play.say("confirmed")
        yield from seen("question")
        play.say(*TO_TIGHTENING[8:])
        play.pass_time(31)
        play.say(*AFTER_THE_WAIT)
        yield from seen("tightening")
    finally:
        for page in pages.values():
            page.close()
        play.close()


def main() -> None:
    """Make all kept pictures anew."""
    KEPT.mkdir(exist_ok=True)
    for before in KEPT.glob("*.png"):
        before.unlink()
    with tempfile.TemporaryDirectory(prefix="kept-") as home, chromium() as browser:
        os.environ["ASSISTANT_HOME"] = home
        probe(browser).save(KEPT / "probe.png", optimize=True)
        for name, drawn in views(browser, Path(home)):
            drawn.save(KEPT / f"{name}.png", optimize=True)
            if name == "tightening-wall":
                half = drawn.convert("RGB").resize((960, 540), Image.Resampling.LANCZOS)
                half.quantize(COLOURS, dither=Image.Dither.NONE).save(README_PICTURE, optimize=True)
    total = sum(path.stat().st_size for path in KEPT.glob("*.png"))
    print(f"{len(list(KEPT.glob('*.png')))} pictures, {total // 1024} KiB, are in {KEPT.relative_to(ROOT)}")


if __name__ == "__main__":
    main()
