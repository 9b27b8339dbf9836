"""Where the command ``assistant`` begins: Control-C ends it without a word while its parts are still being loaded."""

from __future__ import annotations

import signal


def main() -> None:
    """Load the command line and run it."""
    before = signal.signal(signal.SIGINT, signal.SIG_DFL)
    from assistant.__main__ import command_line  # noqa: PLC0415 - loading it takes a moment

    signal.signal(signal.SIGINT, before)
    command_line()
