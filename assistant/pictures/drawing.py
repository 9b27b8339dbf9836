"""Photos of people and cameras, drawn anew: upright, of a bounded size, and nothing else in them. Uses Pillow.

What a camera writes beside a picture (place, time, device, a preview of what was cut away) is left behind. A picture is
opened by a stranger's bytes, so this is never done on the thread of a job's loop.
"""

from __future__ import annotations

import io
import struct
from dataclasses import dataclass
from typing import TYPE_CHECKING

from assistant.faults import Fault
from assistant.pictures.bare import bare_picture

if TYPE_CHECKING:
    from PIL import Image

MOST_PHOTO_BYTES = 15_000_000
"""As a phone's camera saves them; ours, not published."""
MOST_PHOTO_POINTS = 64_000_000
"""Width times height of a photo that is taken: 64 megapixels, about 200 MB while it is drawn."""
SHARP_SIDE = 1920
"""Of a photo of a job [points]: it fills a wall screen, and a record holds it as it is, half a million bytes."""
LARGEST_SIDE = 1600
"""Of one for a customer [points]: enough for a large screen, and a few hundred thousand bytes."""
_TURNS = (
    None, "FLIP_LEFT_RIGHT", "ROTATE_180", "FLIP_TOP_BOTTOM", "TRANSPOSE", "ROTATE_270", "TRANSVERSE", "ROTATE_90",
)  # fmt: skip
"""What turns a picture upright, by its way up in Exif, 1 to 8: that tells where its first row and column lie."""
_HINT = "save it as JPEG or PNG, and name that file"


@dataclass(frozen=True, slots=True)
class DrawnPhoto:
    """A photo as it is kept: a JPEG, its width and its height [points]."""

    data: bytes
    width: int
    height: int


def draw_photo(data: bytes, name: str, side: int = SHARP_SIDE) -> DrawnPhoto | Fault:
    """Return what ``data``, called ``name``, shows, with sides of at most ``side`` points; or why that cannot be."""
    from PIL import Image  # noqa: PLC0415 - no job start waits for it

    bare = bare_picture(data)
    if bare.size[0] * bare.size[1] > MOST_PHOTO_POINTS:
        return Fault(f"{name} has {bare.size[0]} by {bare.size[1]} points", "save it smaller, and name that file")
    try:
        with Image.open(io.BytesIO(bare.data), formats=("JPEG", "PNG")) as read:
            if not all(read.size):
                return Fault(f"{name} has no points", _HINT)
            read.draft("RGB", (2 * side, 2 * side))
            turn = _TURNS[bare.way_up - 1]
            upright = (read if turn is None else read.transpose(Image.Transpose[turn])).convert("RGBA")
    except (OSError, SyntaxError, ValueError, EOFError, KeyError, struct.error, Image.DecompressionBombError):
        return Fault(f"{name} is no photo that can be read", _HINT)
    return _kept(upright, side)


def draw_frame(data: bytes, width: int, height: int, stride: int, side: int = SHARP_SIDE) -> DrawnPhoto:
    """Return a frame of a camera as a photo: ``data`` has red, green and blue, ``stride`` bytes for each line."""
    from PIL import Image  # noqa: PLC0415

    return _kept(Image.frombuffer("RGB", (width, height), data, "raw", "RGB", stride, 1), side)


def _kept(image: Image.Image, side: int) -> DrawnPhoto:
    """Return ``image`` with sides of at most ``side`` points, on white where it lets light through."""
    from PIL import Image  # noqa: PLC0415

    image.thumbnail((side, side))
    drawn = Image.new("RGB", image.size, "white")
    drawn.paste(image, mask=image if image.mode == "RGBA" else None)
    out = io.BytesIO()
    drawn.save(out, "JPEG", quality=85)
    return DrawnPhoto(out.getvalue(), *drawn.size)


def clean_photo(data: bytes, name: str) -> bytes | Fault:
    """Return a JPEG of what ``data``, the file ``name``, shows for a customer; or why it cannot be shown."""
    found = draw_photo(data, name, LARGEST_SIDE)
    return found if isinstance(found, Fault) else found.data


def stand_in(number: int) -> bytes:
    """Return a drawing that stands in for a photo where a job is only rehearsed, with its ``number`` in the job."""
    from PIL import Image, ImageDraw  # noqa: PLC0415

    drawn = Image.new("RGB", (640, 480), (90, 98, 108))
    pen = ImageDraw.Draw(drawn)
    pen.rectangle((20, 20, 619, 459), outline=(230, 230, 230), width=4)
    pen.text((320, 240), f"Rehearsal: photo {number}", fill="white", font_size=48, anchor="mm")
    out = io.BytesIO()
    drawn.save(out, "PNG")
    return out.getvalue()
