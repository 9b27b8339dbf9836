"""Serves the pages over TLS in the shop's network, with the bay's own certificate: what a phone's microphone wants."""

from __future__ import annotations

from contextlib import ExitStack
from dataclasses import dataclass

from assistant.clock import SteadyClock
from assistant.display.server import Tls, listening_socket
from assistant.phone.certificate import Certificate, certificate_at
from assistant.phone.installed import NO_EXTRA, phone_is_installed
from assistant.settings import home
from assistant.terminal.exits import Exit, Refusal


@dataclass(frozen=True, slots=True)
class Secured:
    """What is served over TLS, where, and the certificate it is shown with."""

    tls: Tls
    certificate: Certificate
    host: str
    port: int

    @property
    def base(self) -> str:
        """The address of the front page."""
        return f"https://{self.host}:{self.port}/"


def wanted(https: str, *, local: bool) -> str:
    """Return how the pages are served over TLS: ``only``, ``beside`` plain HTTP, or "": this computer alone sees them.

    Raises:
        Refusal: they would be served without it, against the settings, because the extra is missing.
    """
    if https == "only" and not local and not phone_is_installed():
        raise Refusal(NO_EXTRA, Exit.DISPLAY)
    return https if phone_is_installed() and not local else ""


def secured(stack: ExitStack, host: str, address: str, port: int) -> Secured:
    """Listen for TLS at ``address`` and ``port`` (0: any that is free), until ``stack`` ends.

    Raises:
        DisplayFault: it cannot be served there.
        Refusal: the certificate cannot be kept.
    """
    names, clock = {address, host}, SteadyClock()
    heard = stack.enter_context(listening_socket(address, port))
    try:
        certificate = certificate_at(home(), names, clock.now())
        context = certificate.context()
    except OSError as fault:
        raise Refusal(
            f"The certificate of this bay cannot be kept in {home()} ({fault.strerror}); make room there, or take "
            "https out of the settings.",
            Exit.DISPLAY,
        ) from fault

    def renew() -> None:
        context.load_cert_chain(certificate_at(home(), names, clock.now()).path)

    return Secured(Tls(heard, context, renew), certificate, host, heard.getsockname()[1])
