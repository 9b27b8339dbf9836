"""The link to PostgreSQL: the one adapter of psycopg. What goes wrong there becomes one sentence."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from assistant.central.place import CentralFault, CentralPlace

if TYPE_CHECKING:
    import psycopg

_CONNECT_S = 5
"""So long a bay waits for a link [s]; it tries again."""
_ANSWER_S = 20
"""So long an answer is waited for [s]; one that takes longer is given up by the server."""
_NOT_INSTALLED = (
    "The extra for a central store is not installed; install it (pip install 'step-assistant[workshop]'), "
    "or take central out of the settings."
)
_NOT_LET_IN = ("authentication failed", "no pg_hba.conf entry", "is not permitted to log in")
"""A link that does not come about has no code, but words of the server, which speaks English to us."""
_REFUSED, _UNKNOWN = "SH001", "SH002"
_Row = tuple[Any, ...]


class CentralLink:
    """One link to the central store; it serves one thread. Each statement stands for itself, but in a transaction."""

    def __init__(
        self,
        place: CentralPlace,
        *,
        program: str = "step-assistant",
        answer_s: float = _ANSWER_S,
        connect_s: int = _CONNECT_S,
    ) -> None:
        """Connect within ``connect_s`` [s]; an answer that takes longer than ``answer_s`` [s] is given up.

        Raises:
            CentralFault: the store cannot be reached, or refuses the login.
        """
        try:
            import psycopg  # noqa: PLC0415 - a bay that stands alone has no need of it
        except ImportError as fault:
            raise CentralFault(_NOT_INSTALLED) from fault
        self.place = place
        self._errors = psycopg.Error
        options = f"-c statement_timeout={round(answer_s * 1000)} -c client_min_messages=warning"
        tls = place.tls or ("prefer" if place.is_here else "verify-full")
        more: dict[str, Any] = {"sslrootcert": place.root or "system"} if tls == "verify-full" or place.root else {}
        try:
            self._link: psycopg.Connection[_Row] = psycopg.connect(
                host=place.host,
                port=place.port,
                dbname=place.database,
                user=place.login,
                password=place.token or None,
                connect_timeout=connect_s,
                application_name=program,
                options=options,
                autocommit=True,
                sslmode=tls,
                tcp_user_timeout=round(answer_s * 1000),
                keepalives_idle=10,
                keepalives_interval=5,
                keepalives_count=3,
                **more,
            )
        except psycopg.Error as fault:
            raise self._explained(fault) from fault

    def ask(self, statement: str, values: Sequence[Any] | Mapping[str, Any] = ()) -> list[_Row]:
        """Return the rows that ``statement`` gives, all at once; [] for one that gives none.

        Raises:
            CentralFault: the store cannot be reached, or refuses it.
        """
        with self._told(), self._link.cursor() as cursor:
            cursor.execute(statement, values or None)
            return cursor.fetchall() if cursor.description else []

    def one(self, statement: str, values: Sequence[Any] | Mapping[str, Any] = ()) -> _Row | None:
        """Return the first row that ``statement`` gives."""
        rows = self.ask(statement, values)
        return rows[0] if rows else None

    def stream(
        self, statement: str, values: Sequence[Any] | Mapping[str, Any] = (), size: int = 2000
    ) -> Iterator[_Row]:
        """Yield the rows that ``statement`` gives, ``size`` at a time, however many there are."""
        with self.transaction(), self._told(), self._link.cursor(name="many") as cursor:
            cursor.itersize = size
            cursor.execute(statement, values or None)
            yield from cursor

    @contextlib.contextmanager
    def transaction(self) -> Iterator[None]:
        """Keep all that is done in it, or nothing."""
        with self._told(), self._link.transaction():
            yield

    def listen(self, channel: str, wait_s: float) -> list[str]:
        """Return what was told on ``channel`` since it was listened to first, waiting up to ``wait_s`` [s] for one."""
        self.hear(channel)
        return self.told(wait_s)

    def hear(self, channel: str) -> None:
        """Keep what is told on ``channel`` from now on for :meth:`told`."""
        from psycopg import sql  # noqa: PLC0415

        with self._told():
            self._link.execute(sql.SQL("LISTEN {}").format(sql.Identifier(channel)))

    def told(self, wait_s: float = 0.0) -> list[str]:
        """Return what was told on the channels that are listened to; [] when nothing was within ``wait_s`` [s]."""
        with self._told():
            return [told.payload for told in self._link.notifies(timeout=wait_s, stop_after=1)]

    def verifier(self, login: str, token: str) -> str:
        """Return what the store keeps of ``token`` to know it again (SCRAM-SHA-256), which does not give it away."""
        return self._link.pgconn.encrypt_password(token.encode(), login.encode(), b"scram-sha-256").decode()

    @property
    def is_open(self) -> bool:
        """Whether the link holds, as far as is known here."""
        return not (self._link.closed or self._link.broken)

    def close(self) -> None:
        """End the link."""
        with contextlib.suppress(self._errors):
            self._link.close()

    @contextlib.contextmanager
    def _told(self) -> Iterator[None]:
        try:
            yield
        except self._errors as fault:
            raise self._explained(fault) from fault

    def _explained(self, fault: psycopg.Error) -> CentralFault:
        """Return ``fault`` as a sentence; never with the statement or its values in it, which may be of people."""
        code = fault.sqlstate or ""
        where = self.place.told
        match code:
            case "28P01" | "28000":
                return CentralFault(f"The central store refuses the login {where}; ask the office for a new token.")
            case "3D000" | "42P01" | "3F000" | "42883":
                return CentralFault(f"There is no central store in {where}; make it with: assistant workshop init")
            case "42501":
                return CentralFault(f"The login {where} may not do that in the central store; ask the office.")
            case "53100" | "53200" | "53300" | "57014" | "57P03" | "54000":
                return CentralFault(
                    f"The central store {where} has no room or no time now ({_first_line(fault)}); "
                    "the bay goes on, and it is tried again.",
                    gone=True,
                )
            case c if c == _UNKNOWN:
                return CentralFault(
                    f"The central store does not know the login {where}; ask the office to add the bay."
                )
            case c if c == _REFUSED:
                return CentralFault(f"The central store refuses that: {_first_line(fault)}.", refused=True)
            case "" if self._kept_out(fault):
                if f'"{self.place.database}"' in str(fault):
                    return CentralFault(f"There is no central store in {where}; make it with: assistant workshop init")
                return CentralFault(f"The central store refuses the login {where}; ask the office for a new token.")
            case "":
                return CentralFault(
                    f"The central store {where} cannot be reached; the bay goes on, and it is tried again.", gone=True
                )
        gone = code[:2] in ("08", "57", "53", "58", "40", "XX")
        told = f"The central store {where} cannot do that now ({code}: {_first_line(fault)})."
        return CentralFault(told, gone=gone, unreadable=code[:2] == "22")

    def _kept_out(self, fault: psycopg.Error) -> bool:
        """Return whether the server answered and let us in not: that has no code, and its words are in its language."""
        asked_for_password = fault.pgconn is not None and fault.pgconn.used_password
        return asked_for_password or any(words in str(fault) for words in _NOT_LET_IN)


def _first_line(fault: psycopg.Error) -> str:
    return (fault.diag.message_primary or str(fault)).splitlines()[0][:200]
