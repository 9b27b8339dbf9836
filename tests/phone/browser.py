"""A real Chromium as the phone: its microphone plays a file, and it trusts this bay's certificate and no other."""

from __future__ import annotations

import base64
import hashlib
import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import numpy.typing as npt
import soundfile
from playwright.sync_api import Browser, Page

from assistant.desk.display import Display
from tests.display.browser import FLAGS, PATIENT_MS, PHONE

REAL = [flag for flag in FLAGS if "media-stream" not in flag]
"""The flags of every other test's browser, without those that give it a camera and a microphone of its own."""


def key_hash(display: Display) -> str:
    """Return the hash of the certificate's public key, as Chromium takes it for a certificate to trust."""
    from cryptography import x509
    from cryptography.hazmat.primitives.serialization import Encoding, PublicFormat

    own = x509.load_pem_x509_certificate(display._secure.certificate.path.read_bytes())
    spki = own.public_key().public_bytes(Encoding.DER, PublicFormat.SubjectPublicKeyInfo)
    return base64.b64encode(hashlib.sha256(spki).digest()).decode("ascii")


@contextmanager
def phone(
    browser: Browser, display: Display, heard: Path | None, *flags: str, path: str = "", allows: bool = True
) -> Iterator[Page]:
    """Open the page with the touch buttons as a phone does; its microphone hears the file ``heard`` again and again.

    Without a file Chromium has what the system has. ``flags`` are more of its own; ``path`` is more of the address.
    ``allows``: the person at the phone lets the page have the microphone.
    """
    fake = [] if heard is None else ["--use-fake-device-for-media-stream", f"--use-file-for-fake-audio-capture={heard}"]
    asked = "--use-fake-ui-for-media-stream" if allows else "--deny-permission-prompts"
    trusted = [f"--ignore-certificate-errors-spki-list={key_hash(display)}"] if display._secure else []
    started = browser.browser_type.launch(
        executable_path=shutil.which("chromium"),
        args=[*REAL, *fake, asked, *trusted, *flags],
        ignore_default_args=["--mute-audio"],
        env=dict(os.environ),
    )
    try:
        context = started.new_context(viewport={"width": PHONE[0], "height": PHONE[1]})
        page = context.new_page()
        page.set_default_timeout(PATIENT_MS)
        page.goto((display._links.secure_touching or display.link) + path)
        yield page
    finally:
        started.close()


def wav(path: Path, samples: npt.NDArray[np.floating], rate_hz: int) -> Path:
    """Write ``samples``, shape (n,), -1 to 1, as a file that Chromium's microphone can play."""
    soundfile.write(path, samples, rate_hz, subtype="PCM_16")
    return path


def state(page: Page) -> str:
    """Return what the page says about the headset."""
    return page.locator("#headset-state").inner_text()


def waits_for(page: Page, text: str) -> None:
    """Wait until the page says ``text`` about the headset."""
    page.wait_for_function("text => document.getElementById('headset-state').textContent.includes(text)", arg=text)
