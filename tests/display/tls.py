"""A TLS proxy as a workshop would put one before the pages: Python's own ssl, and a certificate of one day."""

from __future__ import annotations

import http.client
import ssl
import subprocess
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from urllib.parse import urlsplit

HOP = {"connection", "keep-alive", "te", "trailer", "transfer-encoding", "upgrade"}
"""Headers between two neighbours, which a proxy does not hand on (RFC 9110, section 7.6.1)."""


def certificate(folder: Path) -> tuple[Path, Path]:
    """Make a key and a certificate for this computer, good for a day."""
    key, cert = folder / "key.pem", folder / "cert.pem"
    subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:prime256v1", "-nodes", "-days", "1",
         "-keyout", key, "-out", cert, "-subj", "/CN=localhost", "-addext",
         "subjectAltName=DNS:localhost,IP:127.0.0.1"],
        check=True, capture_output=True, timeout=30,
    )  # fmt: skip
    return key, cert


@contextmanager
def tls_proxy(folder: Path, to: str, *, says: bool = True) -> Iterator[tuple[str, Path, list[str]]]:
    """Hand on what comes over TLS to the plain server whose link the list ``to`` holds at its end.

    Yields its address, the certificate to trust, and the list to put that link into. ``says``: it tells X-Forwarded-*
    to the server, as it should; Host stays as the browser said it.
    """
    key, cert = certificate(folder)
    servers = [to] if to else []

    class Proxy(BaseHTTPRequestHandler):
        """One request, handed on."""

        def handle_one(self) -> None:
            inside = http.client.HTTPConnection(urlsplit(servers[-1]).netloc, timeout=20)
            body = self.rfile.read(int(self.headers.get("content-length", "0")))
            inside.putrequest(self.command, self.path, skip_host=True, skip_accept_encoding=True)
            for name, value in self.headers.items():
                if name.lower() not in HOP and not name.lower().startswith("x-forwarded"):
                    inside.putheader(name, value)
            if says:
                inside.putheader("X-Forwarded-Proto", "https")
                inside.putheader("X-Forwarded-For", self.client_address[0])
            inside.endheaders(body or None)
            answer = inside.getresponse()
            data = answer.read()
            self.send_response_only(answer.status, answer.reason)
            for name, value in answer.getheaders():
                if name.lower() not in HOP | {"content-length"}:
                    self.send_header(name, value)
            self.send_header("Content-Length", str(len(data)))
            self.end_headers()
            self.wfile.write(data)
            inside.close()

        do_GET = do_POST = do_HEAD = handle_one  # noqa: N815 - as http.server names them

        def log_message(self, *_: object) -> None:
            """Print nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Proxy)
    server.daemon_threads = True
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(cert, key)
    server.socket = context.wrap_socket(server.socket, server_side=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"https://localhost:{server.server_port}", cert, servers
    finally:
        server.shutdown()
        server.server_close()


def ask_tls(
    address: str, cert: Path, path: str, method: str = "GET", body: bytes = b"", **headers: str
) -> tuple[int, dict[str, str], str]:
    """Ask over TLS; return status, headers (lower case) and body."""
    at = urlsplit(address)
    context = ssl.create_default_context(cafile=str(cert))
    outside = http.client.HTTPSConnection("localhost", at.port, context=context, timeout=20)
    outside.request(
        method, path, body or None, {"Host": at.netloc, **{k.replace("_", "-"): v for k, v in headers.items()}}
    )
    answer = outside.getresponse()
    text = answer.read().decode("utf-8", "replace")
    outside.close()
    return answer.status, {name.lower(): value for name, value in answer.getheaders()}, text
