"""A printer, as far as one is seen behind ``lp``: a program of that name which keeps what it is given."""

from __future__ import annotations

import sys
from pathlib import Path

_LP = """#!{python}
import os, sys, tempfile
words = sys.argv[1:]
title, printer = words[words.index("-t") + 1], words[words.index("-d") + 1]
with tempfile.NamedTemporaryFile(dir={tray!r}, delete=False) as page:
    page.write(sys.stdin.buffer.read())
os.rename(page.name, os.path.join({tray!r}, title + " on " + printer))
"""


class PaperTray:
    """Where an ``lp`` lays its pages: ``-d`` names the printer, ``-t`` the title, the rest is on its input (lp(1))."""

    def __init__(self, folder: Path) -> None:
        """Write the program into ``folder``, which goes first in the PATH of whoever prints."""
        self.folder, self._tray = folder, folder / "tray"
        self._tray.mkdir(parents=True)
        self.lp = folder / "lp"
        self.lp.write_text(_LP.format(python=sys.executable, tray=str(self._tray)))
        self.lp.chmod(0o755)

    @property
    def pages(self) -> dict[str, bytes]:
        """Return what was printed whole so far, by "TITLE on PRINTER"."""
        return {path.name: path.read_bytes() for path in self._tray.iterdir() if " on " in path.name}
