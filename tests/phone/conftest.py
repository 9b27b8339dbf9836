"""An address of this machine in a network, for every test in this folder."""

from tests.display.conftest import network

__all__ = ["network"]
