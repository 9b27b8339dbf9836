"""What a camera writes beside a picture is taken off before anything reads it; only the way up is heeded."""

from __future__ import annotations

import io
import struct
import time
import warnings

import pytest
from PIL import Image, ImageChops, ImageOps

from assistant.faults import Fault
from assistant.pictures.bare import UPRIGHT, bare_picture
from assistant.pictures.drawing import MOST_PHOTO_BYTES, draw_photo
from tests.pictures.samples import photo


def exif_of(way_up: int, order: str = "<", *, kind: int = 3, count: int = 1, first: int = 8) -> bytes:
    """Return an Exif block by hand: TIFF 6.0, section 2, with one entry, the way up."""
    head = (b"II" if order == "<" else b"MM") + struct.pack(f"{order}HI", 42, first)
    return head + struct.pack(f"{order}HHHIHHI", 1, 0x0112, kind, count, way_up, 0, 0)


def picture(form: str, exif: bytes = b"") -> bytes:
    """Return a picture of which no turn looks like another one."""
    image = Image.linear_gradient("L").resize((48, 32)).convert("RGB")
    image.paste((200, 0, 0), (0, 0, 12, 8))
    out = io.BytesIO()
    image.save(out, form, **({"exif": b"Exif\0\0" + exif} if exif else {}))
    return out.getvalue()


def shown(data: bytes) -> Image.Image:
    found = draw_photo(data, "it")
    assert not isinstance(found, Fault), found
    return Image.open(io.BytesIO(found.data)).convert("RGB")


@pytest.mark.parametrize("form", ["JPEG", "PNG"])
@pytest.mark.parametrize("order", ["<", ">"], ids=["little", "big"])
@pytest.mark.parametrize("way_up", range(1, 9))
def test_each_way_up_is_turned_as_pillow_does(form: str, order: str, way_up: int) -> None:
    data = picture(form, exif_of(way_up, order))
    assert bare_picture(data).way_up == way_up
    with Image.open(io.BytesIO(data)) as read:
        upright = ImageOps.exif_transpose(read).convert("RGB")
    drawn = shown(data)
    assert drawn.size == upright.size
    unlike = ImageChops.difference(drawn, upright).convert("L")
    assert sum(value * count for value, count in enumerate(unlike.histogram())) / (48 * 32) < 8, "a JPEG is not exact"


@pytest.mark.parametrize("form", ["JPEG", "PNG"])
@pytest.mark.parametrize(
    "exif",
    [
        exif_of(9), exif_of(0), exif_of(6, kind=4), exif_of(6, count=3), exif_of(6, first=4_000_000_000),
        exif_of(6)[:12], exif_of(6)[:19], b"II", b"XX" + exif_of(6)[2:], exif_of(6).replace(b"\x2a", b"\x2b"),
        b"II*\0\x08\0\0\0\xff\xff" + b"\x0f\x01\x02\0\xff\xff\xff\x7f\xff\xff\xff\x7f" * 40,
    ],
)  # fmt: skip
def test_a_broken_block_is_nobodys_matter_and_the_picture_is_as_it_lies(form: str, exif: bytes) -> None:
    data = picture(form, exif)
    assert bare_picture(data).way_up == UPRIGHT
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert shown(data).size == (48, 32)


@pytest.mark.parametrize("form", ["JPEG", "PNG"])
def test_nothing_but_the_picture_is_handed_on(form: str) -> None:
    data = picture(form, exif_of(6)) if form == "PNG" else photo()
    bare = bare_picture(data)
    for secret in (b"Exif", b"eXIf", b"Secret Camera Works"):
        assert secret not in bare.data
    with Image.open(io.BytesIO(data)) as before, Image.open(io.BytesIO(bare.data)) as after:
        assert bare.size == before.size == after.size
        assert list(before.convert("RGB").tobytes()) == list(after.convert("RGB").tobytes()), "the same points"
        assert dict(after.getexif()) == {}


def test_several_pictures_in_one_file_and_its_text_are_left_behind() -> None:
    first, second = picture("JPEG"), picture("JPEG", exif_of(6))
    several = io.BytesIO()
    Image.open(io.BytesIO(first)).save(several, "MPO", save_all=True, append_images=[Image.open(io.BytesIO(second))])
    assert b"MPF" in several.getvalue()
    bare = bare_picture(several.getvalue())
    assert b"MPF" not in bare.data
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert shown(several.getvalue()).size == (48, 32)


@pytest.mark.parametrize(
    "data",
    [b"", b"\xff\xd8", b"\xff\xd8\xff\xe1", b"\xff\xd8" + b"\xff" * 1000, picture("JPEG")[:60], b"\x89PNG\r\n\x1a\n\0",
     picture("PNG")[:20], b"GIF89a" + bytes(40)],
)  # fmt: skip
def test_what_ends_before_it_begins_is_no_photo(data: bytes) -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert isinstance(draw_photo(data, "it"), Fault)


def test_the_largest_file_of_nothing_is_looked_through_quickly() -> None:
    for filling in (b"\xff", b"\0", b"\xff\xe1\0\x02", b"\xff\x01"):
        data = b"\xff\xd8" + filling * (MOST_PHOTO_BYTES // len(filling))
        begun = time.process_time()
        bare_picture(data)
        assert time.process_time() - begun < 2
