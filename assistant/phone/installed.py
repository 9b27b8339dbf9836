"""Whether the extra ``phone`` is there: what makes certificates, reads Opus and speaks WebSocket."""

from __future__ import annotations

import importlib.util

NO_EXTRA = (
    "HTTPS and a phone as headset need the extra phone (pip install 'step-assistant[phone]'); "
    "install it, or take https out of the settings."
)


def phone_is_installed() -> bool:
    """Return whether all of it is there."""
    return all(importlib.util.find_spec(name) is not None for name in ("av", "cryptography", "websockets"))
