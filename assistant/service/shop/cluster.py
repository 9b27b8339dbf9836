"""A PostgreSQL of its own: a cluster in a folder, on a port of its own. No other cluster of the computer is touched."""

from __future__ import annotations

import os
import pwd
import secrets
import socket
import subprocess
from collections.abc import Sequence
from pathlib import Path

from assistant.central.place import CentralPlace, read_token
from assistant.files import private_folder, replace_private
from assistant.terminal.exits import Exit, Refusal

ADMIN = "shop_admin"
OLDEST = 15
"""The oldest version of PostgreSQL that the store is made for."""
PORTS = range(24320, 24420)
"""Below those that Linux gives to whoever connects."""
_DEBIAN = Path("/usr/lib/postgresql")
_USER = "postgres"
"""Whom root starts it as: PostgreSQL refuses to run as root. Debian's package makes this user."""
_LONGEST_S = 120
_TRIES = 3


class Cluster:
    """The cluster in the folder ``pg`` of ``folder``; its administrator's password is in ``admin.token`` beside it."""

    def __init__(self, folder: Path) -> None:
        """Know where it is; nothing is done yet."""
        self.folder = folder / "pg"
        self.data = self.folder / "data"
        self.log = self.folder / "log"
        self.token = folder / "admin.token"
        self.port = 0

    @property
    def is_made(self) -> bool:
        """Whether it is there."""
        return (self.data / "PG_VERSION").exists()

    def make(self) -> None:
        """Make it, unless it is there.

        Raises:
            Refusal: there is no PostgreSQL, its user may not enter the folder, or initdb fails.
        """
        if self.is_made:
            return
        self.folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        replace_private(self.token, f"{secrets.token_urlsafe(24)}\n".encode("ascii"))
        word = self.folder / "word"
        replace_private(word, self.token.read_bytes())
        for path in (self.folder, word):
            _give_away(path)
        if os.geteuid() == 0 and not self._asked("test", "-x", str(self.folder)):
            raise Refusal(
                f"PostgreSQL does not run as root, and its user {_USER} may not enter {self.folder}: "
                "name a folder that everybody may enter, such as make shop SHOP=/srv/shop",
                Exit.OUTPUT,
            )
        self._do("initdb", "-D", str(self.data), "-U", ADMIN, "-A", "scram-sha-256", f"--pwfile={word}", "-E", "UTF8",
                 "--locale=C.UTF-8")  # fmt: skip
        word.unlink()

    def start(self) -> CentralPlace:
        """Start it on a port that is free, unless it runs, and return its place for the administrator.

        Raises:
            Refusal: it cannot be started; the end of its log is in the sentence.
        """
        if self.runs():
            self.stop()  # left behind by one that was killed; on a port that is not known here
        free = [port for port in PORTS if _is_free(port)][:_TRIES] or [0]
        for self.port in free:
            try:
                self._start_on(self.port)
                break
            except Refusal:
                if self.port == free[-1]:
                    raise  # the others may have been taken by somebody since we looked
        return CentralPlace("127.0.0.1", self.port, "shop", ADMIN, read_token(self.token))

    def _start_on(self, port: int) -> None:
        settings = (
            f"port={port}", "listen_addresses=127.0.0.1", "unix_socket_directories=", "log_parameter_max_length=0",
        )  # fmt: skip
        told = " ".join(f"-c {one}" for one in settings)
        self._do("pg_ctl", "-D", str(self.data), "-l", str(self.log), "-w", "-t", "60", "-o", told, "start")

    def runs(self) -> bool:
        """Return whether it runs."""
        return self._asked(str(_program("pg_ctl")), "-D", str(self.data), "status")

    def stop(self) -> None:
        """Stop it in an orderly way, if it runs; one that does not end by it is cut off, which loses nothing."""
        if self.is_made and self.runs():
            how = ("-D", str(self.data), "-w", "-t", "20", "-m")
            if not self._asked(str(_program("pg_ctl")), *how, "fast", "stop") and self.runs():
                self._do("pg_ctl", *how, "immediate", "stop")

    def _asked(self, *command: str) -> bool:
        return _run(command).returncode == 0

    def _do(self, program: str, *arguments: str) -> None:
        done = _run((str(_program(program)), *arguments))
        if done.returncode:
            log = self.log.read_text("utf-8", "replace").splitlines()[-3:] if self.log.exists() else []
            why = " ".join([*done.stderr.split("\n")[:3], *log]).strip()[:600]
            raise Refusal(f"{program} of PostgreSQL failed ({why}); see {self.log}", Exit.CENTRAL)


def _program(name: str) -> Path:
    found = sorted(
        (path for path in _DEBIAN.glob("*/bin") if path.parent.name.isdecimal() and int(path.parent.name) >= OLDEST),
        key=lambda path: int(path.parent.name),
    )
    if not found:
        raise Refusal(
            f"There is no PostgreSQL {OLDEST} or later here: make shop installs it (Debian package postgresql).",
            Exit.CENTRAL,
        )
    return found[-1] / name


def _run(command: Sequence[str]) -> subprocess.CompletedProcess[str]:
    before = ["runuser", "-u", _USER, "--"] if os.geteuid() == 0 else []
    return subprocess.run(  # noqa: S603 - programs of PostgreSQL, and paths of ours
        [*before, *command], capture_output=True, stdin=subprocess.DEVNULL, text=True, check=False, cwd="/",
        timeout=_LONGEST_S,
    )  # fmt: skip


def _give_away(path: Path) -> None:
    if os.geteuid() == 0:
        try:
            user = pwd.getpwnam(_USER)
        except KeyError:
            raise Refusal(
                f"There is no user {_USER} here, as whom PostgreSQL runs: install Debian's package postgresql.",
                Exit.CENTRAL,
            ) from None
        os.chown(path, user.pw_uid, user.pw_gid)


def _is_free(port: int) -> bool:
    with socket.socket() as sock:
        sock.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            sock.bind(("127.0.0.1", port))
        except OSError:
            return False
    return True


def shop_folder(path: Path) -> Path:
    """Return the folder ``path`` for a workshop to try out: a new or empty one, or one that was made by this.

    Raises:
        Refusal: there is something else in it, or it cannot be made.
    """
    mark = path / "shop.lock"
    try:
        if path.exists() and not mark.exists() and any(path.iterdir()):
            raise Refusal(f"{path} has something else in it: name a folder of its own.", Exit.OUTPUT)
        private_folder(path.parent)
        path.mkdir(mode=0o755, exist_ok=True)
        if os.geteuid() == 0:
            path.chmod(0o755)  # the user of PostgreSQL goes through it; what is in it is for its owner alone
        mark.touch(mode=0o600)
    except OSError as fault:
        raise Refusal(f"{path} cannot be used ({fault.strerror}): name another folder.", Exit.OUTPUT) from fault
    return path.resolve()
