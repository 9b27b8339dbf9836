"""Photos as cameras save them, drawn here."""

from __future__ import annotations

import io
from pathlib import Path

from PIL import Image

PHOTOGRAPHED = Path(__file__).parents[1] / "typed/procedures/photographed.yaml"


def photo(shade: int = 0, size: tuple[int, int] = (300, 200)) -> bytes:
    """A photo that lies on its side, and says so in its metadata, with place and device."""
    exif = Image.Exif()
    exif[0x010F], exif[0x0112] = "Secret Camera Works", 6
    exif.get_ifd(0x8825)[1] = "N"
    out = io.BytesIO()
    Image.linear_gradient("L").resize(size).convert("RGB").point(lambda one: (one + shade) % 256).save(
        out, "JPEG", exif=exif
    )
    return out.getvalue()
