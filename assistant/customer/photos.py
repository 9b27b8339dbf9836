"""Photos that the workshop puts on the page for the customer: drawn anew, so that nothing else is in them."""

from __future__ import annotations

from collections.abc import Iterable
from hashlib import sha256
from pathlib import Path

from assistant.customer.links import customer_folder, put_private
from assistant.display.hung import Hung
from assistant.facts import Fact
from assistant.faults import Fault
from assistant.files import FileFault, read_file, whole_number
from assistant.pictures.drawing import MOST_PHOTO_BYTES, clean_photo
from assistant.pictures.store import photos_that_count, store_of

MOST_PHOTOS = 20
"""Of one job."""
_MOST_KEPT_BYTES = 4_000_000


def add_photo(job: str, path: Path, work: int) -> Fault | None:
    """Put the photo ``path`` on the page of ``job``, to extra work number ``work`` (0: above all); or say why not.

    Raises:
        OSError: it cannot be kept.
    """
    data = read_file(path, MOST_PHOTO_BYTES, "a photo")
    if isinstance(data, FileFault):
        return data
    return add_picture(job, data, path.name, work)


def add_photo_of_job(job: str, number: int, facts: Iterable[Fact], work: int) -> Fault | None:
    """Put photo ``number`` of ``job``, which ``facts`` tell of, on its page in the same way; or say why not.

    Raises:
        OSError: it cannot be kept.
    """
    photos = photos_that_count(facts)
    if number not in photos:
        known = f"it has {', '.join(map(str, photos))}" if photos else "it has none"
        return Fault(f"job {job} has no photo {number}", known)
    data = store_of(job).data(photos[number].sha256)
    if data is None:
        return Fault(f"the file of photo {number} is not there, or is another one", f"see assistant verify {job}")
    return add_picture(job, data, f"photo {number}", work)


def add_picture(job: str, data: bytes, name: str, work: int) -> Fault | None:
    """Put the photo ``data``, called ``name``, on the page of ``job`` in the same way.

    Raises:
        OSError: it cannot be kept.
    """
    clean = clean_photo(data, name)
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
