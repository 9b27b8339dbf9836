"""What a person sees of a page: letters, their heights and their contrast, measured on the rendered page."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Page

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
LETTERS = """() => {
  const found = [];
  const canvas = document.createElement('canvas').getContext('2d');
  const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  const solid = colour => !/^rgba\\(.*, 0\\)$/.test(colour);
  while (walker.nextNode()) {
    const text = walker.currentNode.textContent.trim();
    const element = walker.currentNode.parentElement;
    if (!text || element.closest('noscript, title, svg title, .unseen') || !element.checkVisibility()) continue;
    const style = getComputedStyle(element);
    const box = element.getBoundingClientRect();
    if (style.visibility === 'hidden' || box.width <= 1) continue;
    let size = parseFloat(style.fontSize), colour = style.color, behind = null;
    if (element instanceof SVGElement) {
      colour = style.fill;
      const mark = element.closest('g'); // a number stands on a mark, other words beside one
      behind = mark && getComputedStyle(mark.querySelector('.mark')).fill;
    }
    canvas.font = style.fontWeight + ' 1000px ' + style.fontFamily; // large: hinted heights are whole pixels
    for (let up = element; behind === null && up; up = up.parentElement) {
      const painted = getComputedStyle(up).backgroundColor;
      if (solid(painted)) behind = painted;
    }
    found.push({
      id: (element.closest('[id]') || {id: ''}).id, text, colour, behind,
      capital: size * canvas.measureText('H').actualBoundingBoxAscent / 1000,
      left: box.left, right: box.right,
    });
  }
  return found;
}"""


@dataclass(frozen=True)
class Letters:
    """A piece of text: where it stands (id), the height of its capitals [CSS px], its colours (r, g, b)."""

    id: str
    text: str
    capital: float
    colour: tuple[float, ...]
    behind: tuple[float, ...]
    left: float
    right: float

    @property
    def contrast(self) -> float:
        """Contrast ratio: WCAG 2.2, definition of "contrast ratio"."""
        light, dark = sorted((_luminance(self.colour), _luminance(self.behind)), reverse=True)
        return (light + 0.05) / (dark + 0.05)


def _luminance(colour: tuple[float, ...]) -> float:
    """Relative luminance: WCAG 2.2, definition of "relative luminance"."""
    parts = [value / 255 for value in colour]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def _rgb(text: str) -> tuple[float, ...]:
    parts = text.removeprefix("rgba(").removeprefix("rgb(").rstrip(")").split(",")
    assert len(parts) == 3 or float(parts[3]) == 1.0, f"{text} lets something shine through"
    return tuple(float(part) for part in parts[:3])


def letters(page: Page) -> list[Letters]:
    """Return every piece of text that can be seen on ``page``."""
    return read(page.evaluate(LETTERS))


def read(pieces: list[dict[str, Any]]) -> list[Letters]:
    """Return what the script LETTERS found."""
    return [
        Letters(
            one["id"], one["text"], one["capital"], _rgb(one["colour"]), _rgb(one["behind"] or "rgb(255, 255, 255)"),
            one["left"], one["right"],
        )
        for one in pieces
    ]  # fmt: skip


def accessible(page: Page, rules: list[str] = RULES) -> None:
    """Fail on anything that axe-core finds in the page by ``rules``."""
    page.wait_for_load_state("load")  # its style sheet too: without it there is no background to stand out from
    found = Axe().run(page, options={"runOnly": rules, "resultTypes": ["violations"]})
    assert found.violations_count == 0, found.generate_report()


def height_mm(metres: float, minutes: float = 20.0) -> float:
    """Height that is seen under an angle [minutes of arc] from a distance [m], in mm.

    Formula: h = 2 D tan(a / 2), NUREG-0700 rev. 2, item 1.3.1-4: 16 minutes at least, 20 to 22 preferred.
    """
    return 2000 * metres * math.tan(math.radians(minutes / 60) / 2)


def texts(page, *ids):
    """Return the texts of the parts of ``page`` with these ids."""
    return [page.locator(f"#{name}").inner_text().strip() for name in ids]
