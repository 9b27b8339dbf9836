"""The options of the commands that serve pages, as they were typed."""

from __future__ import annotations

from dataclasses import dataclass

DISPLAY_PORT = 8470


@dataclass(frozen=True, slots=True)
class DisplayOptions:
    """Where the page is served: on the loopback address unless ``host`` names one of the shop's network.

    ``port`` 0 takes any that is free. ``touch``: the page has buttons for next, repeat and pause.
    """

    host: str
    port: int
    touch: bool = False


@dataclass(frozen=True, kw_only=True)
class ServeOptions:
    """Where pages are served: on the loopback address unless a host names one of the shop's network.

    Port 0 takes any that is free.
    """

    display_host: str = ""
    display_port: int = DISPLAY_PORT


@dataclass(frozen=True, kw_only=True)
class PageOptions(ServeOptions):
    """Whether there is a page, and where."""

    display: bool = False

    @property
    def page(self) -> DisplayOptions | None:
        """Where the page is; None without one. Each of its options but the port switches it on."""
        if not (self.display or self.display_host):
            return None
        return DisplayOptions(self.display_host, self.display_port)


@dataclass(frozen=True, kw_only=True)
class TouchOptions(PageOptions):
    """A page that may have buttons for next, repeat and pause."""

    display_touch: bool = False

    @property
    def page(self) -> DisplayOptions | None:
        """Where the page is, and whether it has buttons; None without one."""
        if not (self.display or self.display_host or self.display_touch):
            return None
        return DisplayOptions(self.display_host, self.display_port, self.display_touch)
