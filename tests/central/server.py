"""A real PostgreSQL of the tests' own: a cluster in a folder, reached on a loopback port, gone at the end."""

from __future__ import annotations

import contextlib
import itertools
import os
import pwd
import secrets
import shutil
import signal
import socket
import subprocess
import tempfile
import threading
from pathlib import Path

from assistant.central.link import CentralLink
from assistant.central.migrating import migrate
from assistant.central.place import CentralPlace

ADMIN = "shop_admin"
_USER = "postgres"
QUICK = ("fsync=off", "synchronous_commit=off", "full_page_writes=off")
"""Nothing is to survive these tests but the tests of survival, which do without it."""


def programs() -> Path:
    """Return the folder of Debian's newest PostgreSQL (15 or later)."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin"), key=lambda path: int(path.parent.name))
    if not found:
        raise FileNotFoundError("there is no PostgreSQL here; make test installs it (Debian package postgresql)")
    return found[-1]


def free_port() -> int:
    """Return a port that nobody listens on now."""
    with socket.socket() as sock:
        sock.bind(("127.0.0.1", 0))
        return int(sock.getsockname()[1])


class Server:
    """One cluster. PostgreSQL refuses to run as root, so root starts it as Debian's user for it."""

    def __init__(self, folder: Path | None = None, *settings: str) -> None:
        """Make the cluster in a new folder, and start it with ``settings`` (``fsync=off``)."""
        self.folder = Path(tempfile.mkdtemp(prefix="shop-pg-")) if folder is None else folder
        self.port = free_port()
        self.password = secrets.token_hex(16)
        self._settings = settings
        word = self.folder / "word"
        word.write_text(self.password, "ascii")
        self._own(self.folder)
        data = self.folder / "data"
        self._run("initdb", "-D", str(data), "-U", ADMIN, "-A", "scram-sha-256", f"--pwfile={word}", "-E", "UTF8",
                  "--locale=C.UTF-8", "--no-sync")  # fmt: skip
        word.unlink()
        self.start()

    def start(self) -> None:
        """Start it, and return when it answers."""
        options = [f"port={self.port}", "listen_addresses=127.0.0.1", "unix_socket_directories="]
        options += ["max_connections=200", *self._settings]
        told = " ".join(f"-c {one}" for one in options)
        self._run("pg_ctl", "-D", str(self.folder / "data"), "-l", str(self.folder / "log"), "-w", "-t", "60",
                  "-o", told, "start")  # fmt: skip

    def stop(self) -> None:
        """Stop it in an orderly way, ending all links."""
        self._run("pg_ctl", "-D", str(self.folder / "data"), "-m", "fast", "-w", "stop")

    def kill(self) -> None:
        """Take it away as a lost mains would: no process of it gets to end anything."""
        pid = int((self.folder / "data" / "postmaster.pid").read_text("ascii").splitlines()[0])
        children = subprocess.run(["pgrep", "-P", str(pid)], capture_output=True, text=True, check=False).stdout.split()
        all_of_them = (pid, *map(int, children))
        for one in all_of_them:
            with contextlib.suppress(ProcessLookupError):
                os.kill(one, signal.SIGKILL)
        while any(map(_runs, all_of_them)):
            threading.Event().wait(0.02)
        # Where nobody fetches dead processes (a container) its number stays taken, and the next start is refused.
        (self.folder / "data" / "postmaster.pid").unlink()

    def remove(self) -> None:
        """Stop it, and remove its folder."""
        try:
            if (self.folder / "data" / "postmaster.pid").exists():
                self.stop()
        finally:
            shutil.rmtree(self.folder, ignore_errors=True)

    def place(self, database: str, login: str = ADMIN, token: str = "") -> CentralPlace:
        """Return the place of ``database`` for ``login``, which is the administrator unless another is given."""
        return CentralPlace("127.0.0.1", self.port, database, login, token or self.password)

    def database(self, name: str, template: str = "template1") -> CentralPlace:
        """Make a database, as a copy of ``template``."""
        link = CentralLink(self.place("postgres"))
        try:
            link.ask(f"CREATE DATABASE {name} TEMPLATE {template}")
        finally:
            link.close()
        return self.place(name)

    def shop_template(self) -> str:
        """Make the database that each test gets a copy of: an empty central store of the newest schema."""
        link = CentralLink(self.database("shop_template"))
        try:
            migrate(link)
        finally:
            link.close()
        return "shop_template"

    def _own(self, path: Path) -> None:
        if os.geteuid() == 0:
            user = pwd.getpwnam(_USER)
            for one in (path, *path.rglob("*")):
                os.chown(one, user.pw_uid, user.pw_gid)

    def _run(self, program: str, *arguments: str) -> None:
        as_user = ["runuser", "-u", _USER, "--"] if os.geteuid() == 0 else []
        command = [*as_user, str(programs() / program), *arguments]
        done = subprocess.run(command, capture_output=True, text=True, check=False, cwd="/", timeout=120)
        if done.returncode:
            log = self.folder / "log"
            told = log.read_text("utf-8", "replace")[-2000:] if log.exists() else ""
            raise RuntimeError(f"{program}: {done.stdout}{done.stderr}{told}")


def _runs(pid: int) -> bool:
    try:
        return Path(f"/proc/{pid}/stat").read_text("utf-8").rpartition(")")[2].split()[0] not in "ZX"
    except (FileNotFoundError, ProcessLookupError):
        return False


class Shop:
    """An empty central store: a database of its own on ``server``."""

    _made = itertools.count(1)

    def __init__(self, server: Server) -> None:
        """Make it."""
        self.server = server
        self.name = f"shop_{next(self._made)}"
        self.admin = server.database(self.name, "shop_template")

    def as_login(self, login: str, token: str) -> CentralPlace:
        """Return the place for ``login``."""
        return self.server.place(self.name, login, token)

    def remove(self) -> None:
        """Remove it, whoever is still linked to it."""
        with contextlib.closing(CentralLink(self.server.place("postgres"))) as link:
            link.ask(f"DROP DATABASE {self.name} WITH (FORCE)")
