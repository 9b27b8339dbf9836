"""A label for the machine: what was renewed, when, at what reading, when again, and the job as a QR code.

One layout in millimetres serves both forms: a PDF page of the label's size, and a picture for a label printer. Text
that does not fit is refused; it is never cut. segno and Pillow have their adapters here.
"""

from __future__ import annotations

import io
import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache

import segno
from markupsafe import Markup
from PIL import Image, ImageDraw, ImageFont

from assistant.report.pages import render
from assistant.visible import visible

SIZES = ("105x74", "99.1x67.7", "99.1x38.1", "70x37", "63.5x38.1", "62x29", "57x32", "52.5x29.7", "38.1x21.2")
"""Labels of common sheets and printers [mm]; common practice, no source. Any other size may be given."""
DPI = (203, 300, 600)
"""Resolutions of common label printers [dots per inch]; common practice, no source."""
_SIZE = re.compile(r"(\d{1,3}(?:\.\d)?)\s*[x×]\s*(\d{1,3}(?:\.\d)?)")
_MARGIN = 2.0
_LARGEST_PT, _SMALLEST_PT = 13.0, 6.0
_MM_PER_PT = 25.4 / 72
_PITCH = 1.25
_LEAST_MODULE = 0.3
"""Width [mm] of one module of the QR code that a phone still reads from paper (common practice, no source)."""
_QUIET = 4
"""Modules of white around a QR code: ISO/IEC 18004, from memory."""
_FONTS = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")


@dataclass(frozen=True, slots=True)
class LabelLine:
    """One line of text: its words, whether they are bold, and its baseline's top [mm]."""

    text: str
    bold: bool
    top: float


@dataclass(frozen=True, slots=True)
class Label:
    """A label that fits: its size and that of the QR code [mm], size of the letters [pt], lines, and the job."""

    width: float
    height: float
    qr: float
    points: float
    lines: tuple[LabelLine, ...]
    job: str

    @property
    def left(self) -> float:
        """Return where the text begins [mm]."""
        return self.qr + 2 * _MARGIN


def parse_label_size(text: str) -> tuple[float, float] | str:
    """Read a size such as ``63.5x38.1`` [mm]; a sentence when it is none."""
    found = _SIZE.fullmatch(text.strip().removesuffix("mm").strip())
    if (
        found is None
        or min(Decimal(found[1]), Decimal(found[2])) < 10
        or max(Decimal(found[1]), Decimal(found[2])) > 300
    ):
        return f'"{text}" is no size of a label; write width x height from 10 to 300 mm, such as {SIZES[4]}.'
    return float(found[1]), float(found[2])


def lay_out(job: str, texts: list[tuple[str, bool]], width: float, height: float) -> Label | str:
    """Return the label of ``texts`` (each with whether it is bold) on ``width`` by ``height`` [mm].

    A sentence when they do not fit in letters of 6 points.
    """
    modules = segno.make_qr(job).symbol_size(border=_QUIET)[0]
    qr = min(height - 2 * _MARGIN, 0.36 * width)
    room = width - qr - 3 * _MARGIN
    size = f"{width:g}x{height:g}"
    if qr < modules * _LEAST_MODULE:
        return f"A label of {size} mm is too small for the QR code; take a larger one, such as --size {SIZES[0]}."
    points = _LARGEST_PT
    while points >= _SMALLEST_PT:
        pitch = points * _MM_PER_PT * _PITCH
        lines = [(line, bold) for text, bold in texts for line in _folded(visible(text), bold, points, room)]
        if len(lines) * pitch <= height - 2 * _MARGIN and all(_width(t, b, points) <= room for t, b in lines):
            top = (height - len(lines) * pitch) / 2
            placed = tuple(LabelLine(text, bold, top + n * pitch) for n, (text, bold) in enumerate(lines))
            return Label(width, height, qr, points, placed, job)
        points -= 0.5
    return f"The text does not fit on a label of {size} mm; take a larger one, such as --size {SIZES[0]}."


def _folded(text: str, bold: bool, points: float, room: float) -> list[str]:
    """Return ``text`` in lines of at most ``room`` [mm], broken between words."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and _width(longer, bold, points) > room:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _width(text: str, bold: bool, points: float) -> float:
    """Return how wide a line is [mm]."""
    return _length(text, bold) * points * _MM_PER_PT


@lru_cache(maxsize=4096)
def _length(text: str, bold: bool) -> float:
    """Return how long a line is, in sizes of its letters; each size that is tried asks for the same lines."""
    return float(_font(bold).getlength(text)) / 200


@cache
def _font(bold: bool) -> ImageFont.FreeTypeFont:
    """Return the letters that are measured; to find their file takes a walk through all folders of fonts."""
    return ImageFont.truetype(_FONTS[bold], 200)


def as_png(label: Label, dpi: int) -> bytes:
    """Return the label as a black and white picture of its size at ``dpi`` [dots per inch]."""
    scale = dpi / 25.4
    picture = Image.new("L", (round(label.width * scale), round(label.height * scale)), 255)
    draw = ImageDraw.Draw(picture)
    matrix = [list(row) for row in segno.make_qr(label.job).matrix_iter(border=_QUIET)]
    module = int(label.qr * scale / len(matrix))  # whole dots, so that the edges are sharp
    left = round(_MARGIN * scale)
    above = round((label.height * scale - module * len(matrix)) / 2)
    for y, row in enumerate(matrix):
        for x, dark in enumerate(row):
            if dark:
                at = (left + x * module, above + y * module)
                draw.rectangle((*at, at[0] + module - 1, at[1] + module - 1), fill=0)
    size = label.points * _MM_PER_PT * scale
    for line in label.lines:
        font = ImageFont.truetype(_FONTS[line.bold], size)
        draw.text((label.left * scale, line.top * scale), line.text, font=font, fill=0)
    out = io.BytesIO()
    picture.point(lambda grey: 255 if grey > 127 else 0).convert("1").save(out, "PNG", dpi=(dpi, dpi))
    return out.getvalue()


def label_html(label: Label) -> str:
    """Return the label as a page of its own size, for a PDF."""
    code = segno.make_qr(label.job).svg_inline(border=_QUIET, omitsize=True)
    return render(
        "label.html",
        label=label,
        code=Markup(code),  # noqa: S704 - made of the job's number by segno
        above=(label.height - label.qr) / 2,
        margin=_MARGIN,
        pitch=label.points * _MM_PER_PT * _PITCH,
    )
