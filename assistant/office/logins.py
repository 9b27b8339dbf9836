"""Who may see the office: the file office.toml, with the way in, and the groups that stand for each role."""

from __future__ import annotations

import ipaddress
import re
import stat
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

from assistant.central.place import LOCAL
from assistant.display.roles import OfficeRole
from assistant.files import FileFault, read_file
from assistant.settings import read_tables

LOGINS, SECRET = "office.toml", "office.secret"
_HEADER = re.compile(r"[A-Za-z][A-Za-z0-9-]{0,63}", re.ASCII)
_KEYS = {
    "": {"address", "roles", "proxy", "oidc"},
    "roles": {role.value for role in OfficeRole},
    "proxy": {"addresses", "user_header", "groups_header"},
    "oidc": {"issuer", "client", "claim"},
}
_Network = ipaddress.IPv4Network | ipaddress.IPv6Network


class LoginsFault(Exception):
    """The file cannot be used; ``sentence`` says what is wrong, where, and what to do next."""

    def __init__(self, sentence: str) -> None:
        super().__init__(sentence)
        self.sentence = sentence


@dataclass(frozen=True, slots=True)
class ByProxy:
    """A proxy at one of ``networks`` logs people in, and says in two headers who they are, and in which groups."""

    networks: tuple[_Network, ...]
    user_header: str = "X-Forwarded-User"
    groups_header: str = "X-Forwarded-Groups"


@dataclass(frozen=True, slots=True)
class ByOidc:
    """A provider of OpenID Connect logs people in; ``claim`` of its ID token has their groups."""

    issuer: str
    client: str
    claim: str = "groups"
    secret: str = field(default="", repr=False)


@dataclass(frozen=True, slots=True)
class Logins:
    """The way in, the groups of each role, and the address by which browsers come ("": where it is served)."""

    way: ByProxy | ByOidc
    roles: Mapping[OfficeRole, frozenset[str]]
    address: str = ""

    def role_of(self, groups: Collection[str]) -> OfficeRole | None:
        """Return the highest role that one of ``groups`` stands for; None where none does."""
        found = [role for role in OfficeRole if self.roles.get(role, frozenset()) & set(groups)]
        return found[-1] if found else None


def read_logins(folder: Path) -> Logins | None:
    """Return the logins that the file in ``folder`` sets; None when there is none.

    Raises:
        LoginsFault: it cannot be read, or says what cannot be.
        SettingsFault: it is no TOML.
    """
    path = folder / LOGINS
    given = read_tables(path)
    if given is None:
        return None
    _known(given, "", path)
    roles = {
        OfficeRole(name): frozenset(_texts(groups, f"roles.{name}", path))
        for name, groups in _table(given, "roles", path)
    }
    if not roles:
        raise LoginsFault(f'{path} names no group for any role; write for example: [roles] and office = ["office"].')
    address = _address(given.get("address", ""), "address", path) if given.get("address") else ""
    if ("proxy" in given) == ("oidc" in given):
        raise LoginsFault(
            f"{path} must have one of the tables [proxy] and [oidc], and not both: say how people log in."
        )
    way = _proxy(dict(_table(given, "proxy", path)), path) if "proxy" in given else _oidc(given, folder, path)
    return Logins(way, roles, address)


def _known(given: Mapping[str, Any], table: str, path: Path) -> None:
    for name in given.keys() - _KEYS[table]:
        where = f"[{table}] of {path}" if table else str(path)
        raise LoginsFault(
            f'"{name[:40]}" is not known in {where}; the known ones are {", ".join(sorted(_KEYS[table]))}.'
        )


def _table(given: Mapping[str, Any], name: str, path: Path) -> list[tuple[str, Any]]:
    table = given.get(name, {})
    if not isinstance(table, dict):
        raise LoginsFault(f"{name} in {path} must be a table: write [{name}] on a line of its own.")
    _known(table, name, path)
    return list(table.items())


def _texts(given: Any, name: str, path: Path) -> list[str]:
    if not isinstance(given, list) or not given or not all(isinstance(one, str) and one.strip() for one in given):
        raise LoginsFault(f'{name} in {path} must be a list of texts, such as ["one", "two"].')
    return [one.strip() for one in given]


def _address(given: Any, name: str, path: Path) -> str:
    parts = urlsplit(given) if isinstance(given, str) else None
    local = parts is not None and parts.scheme == "http" and parts.hostname in LOCAL
    if parts is None or not parts.hostname or parts.query or parts.fragment or not (parts.scheme == "https" or local):
        raise LoginsFault(
            f"{name} in {path} must be an address that begins with https://, such as https://office.example."
        )
    return str(given).rstrip("/")


def _proxy(given: Mapping[str, Any], path: Path) -> ByProxy:
    networks = []
    for one in _texts(given.get("addresses"), "proxy.addresses", path):
        try:
            networks.append(ipaddress.ip_network(one))
        except ValueError as fault:
            raise LoginsFault(f'"{one[:60]}" in proxy.addresses of {path} is no address and no network.') from fault
    headers = {}
    for name in ("user_header", "groups_header"):
        header = given.get(
            name,
            getattr(
                ByProxy(
                    (),
                ),
                name,
            ),
        )
        if not isinstance(header, str) or not _HEADER.fullmatch(header):
            raise LoginsFault(f"proxy.{name} in {path} must be the name of a header, such as X-Forwarded-User.")
        headers[name] = header
    return ByProxy(tuple(networks), **headers)


def _oidc(given: Mapping[str, Any], folder: Path, path: Path) -> ByOidc:
    table = dict(_table(given, "oidc", path))
    client, claim = table.get("client"), table.get("claim", "groups")
    if not isinstance(client, str) or not client or not isinstance(claim, str) or not claim:
        raise LoginsFault(f"oidc.client in {path} must be the id under which the provider knows the office.")
    return ByOidc(_address(table.get("issuer"), "oidc.issuer", path), client, claim, _secret(folder / SECRET))


def _secret(path: Path) -> str:
    """Return the client's secret at the provider; "" without a file: then PKCE alone proves that it is the client."""
    data = read_file(path, 4096, "the office's secret at the provider, one line")
    if isinstance(data, FileFault):
        if data.missing:
            return ""
        raise LoginsFault(f"{data.sentence}.")
    if path.stat().st_mode & (stat.S_IRWXG | stat.S_IRWXO):
        raise LoginsFault(f"Others may read the office's secret at the provider; say: chmod 600 {path}")
    return data.decode("utf-8", "replace").strip()
