"""The sound devices of the workshop."""

from tests.devices.conftest import pulse

__all__ = ["pulse"]
