"""Where the central store is: an address without a password, and the token in a file of its own."""

from __future__ import annotations

import re
import stat
from dataclasses import dataclass, replace
from pathlib import Path

from assistant.files import FileFault, read_file

_MOST_BYTES = 4096
_PAIR = re.compile(r"([a-z_]+)=([^\s'\\]+)", re.ASCII)
_KEYS = frozenset({"host", "port", "dbname", "user", "sslmode", "sslrootcert"})
LOCAL = ("localhost", "127.0.0.1", "::1")


class CentralFault(Exception):
    """The central store cannot be used, or refused something; ``sentence`` says what, where, and what to do next.

    ``gone`` says that it could not be reached, or has no room or time: later it may. ``unreadable`` says that what it
    was given are no values that it can hold, ``refused`` that a guard of it said no.
    """

    def __init__(self, sentence: str, *, gone: bool = False, unreadable: bool = False, refused: bool = False) -> None:
        super().__init__(sentence)
        self.sentence = sentence
        self.gone, self.unreadable, self.refused = gone, unreadable, refused


@dataclass(frozen=True, slots=True)
class CentralPlace:
    """Where the store is and who asks; ``token`` is the password of the login, and is shown nowhere."""

    host: str
    port: int
    database: str
    login: str
    token: str
    tls: str = ""
    """How the line is kept secret, as libpq says it; empty: by a certificate that is checked, but to this machine."""
    root: str = ""
    """The file with the certificate of whoever signed that of the store; empty: the system's."""

    def __repr__(self) -> str:
        """Return the place without the token."""
        return f"CentralPlace({self.told})"

    @property
    def told(self) -> str:
        """The place for a person: login, machine and database."""
        return f"{self.login} at {self.host}:{self.port}/{self.database}"

    @property
    def is_here(self) -> bool:
        """Whether the store is on this machine: a socket's folder, or a loopback address."""
        return self.host.startswith("/") or self.host in LOCAL


def read_place(address: str, token_file: Path) -> CentralPlace:
    """Return the place that ``address`` names (``host=HOST port=5432 dbname=shop user=LOGIN``), with its token.

    Raises:
        CentralFault: the address is none, holds a password, or the token cannot be read or may be read by others.
    """
    place = place_at(address, "central, in the settings", f"the token stands in {token_file}")
    return replace(place, token=read_token(token_file))


def place_at(address: str, named_by: str, kept: str, token: str = "") -> CentralPlace:
    """Return the place that ``address`` names, with ``token``.

    ``named_by`` says who named it, and ``kept`` where its password stands, for the sentence about one that is none.

    Raises:
        CentralFault: the address is none, or holds a password.
    """
    pairs = dict(_PAIR.findall(address))
    if _PAIR.sub("", address).strip() or not pairs.keys() <= _KEYS or not {"host", "user"} <= pairs.keys():
        raise CentralFault(
            f"The address of the central store ({named_by}) cannot be used; write it as "
            "host=HOST port=5432 dbname=shop user=LOGIN, with sslmode and sslrootcert where they are wanted and never "
            f"with a password: {kept}."
        )
    port = pairs.get("port", "5432")
    if not port.isdecimal() or not 0 < int(port) < 65_536:
        raise CentralFault(f"The port of the central store must be a number up to 65535; mend it in {named_by}.")
    return CentralPlace(
        pairs["host"],
        int(port),
        pairs.get("dbname", "shop"),
        pairs["user"],
        token,
        pairs.get("sslmode", ""),
        pairs.get("sslrootcert", ""),
    )


def read_token(path: Path, advice: str = "the office makes a token with: assistant workshop add-bay NAME") -> str:
    """Return the token (or a password) in the file at ``path``; ``advice`` is what to do when it cannot be read.

    Raises:
        CentralFault: it is not there, is empty, or may be read by others than its owner.
    """
    data = read_file(path, _MOST_BYTES, "the token for the central store, one line")
    if isinstance(data, FileFault):
        raise CentralFault(f"{data.sentence}; {advice}")
    if path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO):
        raise CentralFault(f"Others may read the token for the central store; say: chmod 600 {path}")
    token = data.decode("utf-8", "replace").strip()
    if not token or len(token.split()) != 1 or not token.isascii():
        raise CentralFault(f"The token for the central store in {path} is not one word; copy it there once more.")
    return token
