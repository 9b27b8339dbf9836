"""Photos that the workshop puts on the page for the customer: drawn anew, so that nothing else is in them. Uses Pillow.

What a camera writes beside a picture (place, time, device, a preview of what was cut away) does not reach the page.
"""

from __future__ import annotations

import io
import struct
from hashlib import sha256
from pathlib import Path

from assistant.customer.links import customer_folder, put_private
from assistant.display.hung import Hung
from assistant.faults import Fault
from assistant.files import FileFault, read_file, whole_number

MOST_PHOTO_BYTES = 15_000_000
"""As a phone's camera saves them; ours, not published."""
MOST_PHOTO_POINTS = 64_000_000
"""Width times height of a photo that is taken: 64 megapixels, about 200 MB while it is drawn."""
LARGEST_SIDE = 1600
"""Of what is kept [points]: enough for a large screen, and a few hundred thousand bytes."""
MOST_PHOTOS = 20
"""Of one job."""
_MOST_KEPT_BYTES = 4_000_000
_HINT = "save it as JPEG or PNG, and name that file"


def clean_photo(data: bytes, name: str) -> bytes | Fault:
    """Return a JPEG of what ``data``, the file ``name``, shows, and of nothing else; or why it cannot be shown."""
    from PIL import Image, ImageOps  # noqa: PLC0415 - no job start waits for it

    try:
        with Image.open(io.BytesIO(data), formats=("JPEG", "PNG")) as read:
            width, height = read.size
            if width * height > MOST_PHOTO_POINTS or not width or not height:
                return Fault(f"{name} has {width} by {height} points", "save it smaller, and name that file")
            read.draft("RGB", (2 * LARGEST_SIDE, 2 * LARGEST_SIDE))
            upright = ImageOps.exif_transpose(read).convert("RGBA")
    except (OSError, SyntaxError, ValueError, EOFError, KeyError, struct.error, Image.DecompressionBombError):
        return Fault(f"{name} is no photo that can be read", _HINT)
    upright.thumbnail((LARGEST_SIDE, LARGEST_SIDE))
    drawn = Image.new("RGB", upright.size, "white")
    drawn.paste(upright, mask=upright)
    out = io.BytesIO()
    drawn.save(out, "JPEG", quality=85)
    return out.getvalue()


def add_photo(job: str, path: Path, work: int) -> Fault | None:
    """Put the photo ``path`` on the page of ``job``, to extra work number ``work`` (0: above all); or say why not.

    Raises:
        OSError: it cannot be kept.
    """
    data = read_file(path, MOST_PHOTO_BYTES, "a photo")
    if isinstance(data, FileFault):
        return data
    clean = clean_photo(data, path.name)
    if isinstance(clean, Fault):
        return clean
    if len(_files(job)) >= MOST_PHOTOS:
        return Fault(f"job {job} has {MOST_PHOTOS} photos, and more are not shown", "remove some with --no-pictures")
    put_private(customer_folder(job) / f"photo-{work}-{sha256(clean).hexdigest()}.jpg", clean)
    return None


def remove_photos(job: str) -> int:
    """Take all photos off the page of ``job``; return how many there were.

    Raises:
        OSError: one cannot be removed.
    """
    files = _files(job)
    for file in files:
        file.unlink()
    return len(files)


def photos_of(job: str) -> list[tuple[int, Hung]]:
    """Return the photos of ``job``, each with the number of the extra work that it belongs to (0: to none)."""
    found = []
    for path in _files(job)[:MOST_PHOTOS]:
        work = whole_number(path.name.split("-")[1])
        data = read_file(path, _MOST_KEPT_BYTES, "a photo", no_link=True)
        if work is not None and not isinstance(data, FileFault):
            found.append((work, Hung(data, "image/jpeg", sha256(data).hexdigest())))
    return found


def _files(job: str) -> list[Path]:
    return sorted(customer_folder(job).glob("photo-*-*.jpg"))
