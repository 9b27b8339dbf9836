"""A small provider of OpenID Connect for tests: discovery, keys, authorization and tokens, on a loopback port.

It signs with a real key, checks redirect address, client and PKCE as a provider does, and logs in whoever comes as the
person that a test says. ``spoil`` lets it misbehave: it gets the claims of the ID token and returns those to sign.
"""

from __future__ import annotations

import base64
import hashlib
import json
import secrets
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import Any
from urllib.parse import parse_qs, urlencode, urlsplit

from joserfc import jwt
from joserfc.jwk import OctKey, RSAKey

CLIENT = "assistant-office"


class FakeProvider:
    """One provider with one client."""

    def __init__(self) -> None:
        self.key = RSAKey.generate_key(2048, {"kid": "first", "use": "sig"})
        self.published = [self.key]
        self.algorithm = "RS256"
        self.person: dict[str, Any] = {"sub": "kim", "name": "Kim Example", "groups": ["workshop-office"]}
        self.spoil: Callable[[dict[str, Any]], dict[str, Any]] = lambda claims: claims
        self.secret = ""
        self.asked: list[dict[str, str]] = []
        """What browsers were sent with to log in."""
        self.tokens: list[dict[str, str]] = []
        """What the office sent to get a token."""
        self._codes: dict[str, dict[str, str]] = {}
        self.issuer = ""

    def new_key(self) -> None:
        """Sign with another key from now on, and publish it alone."""
        self.key = RSAKey.generate_key(2048, {"kid": secrets.token_hex(4), "use": "sig"})
        self.published = [self.key]

    def authorize(self, given: dict[str, str]) -> str:
        """Log the person in at once; return where the browser is sent back to."""
        self.asked.append(given)
        assert given["response_type"] == "code"
        assert given["client_id"] == CLIENT
        assert given["code_challenge_method"] == "S256"
        code = secrets.token_urlsafe(8)
        self._codes[code] = given
        return f"{given['redirect_uri']}?{urlencode({'code': code, 'state': given['state']})}"

    def token(self, given: dict[str, str], authorization: str) -> tuple[int, dict[str, Any]]:
        """Return what the code is good for, once."""
        self.tokens.append(given)
        begun = self._codes.pop(given.get("code", ""), None)
        if begun is None or given.get("redirect_uri") != begun["redirect_uri"]:
            return 400, {"error": "invalid_grant"}
        digest = hashlib.sha256(given.get("code_verifier", "").encode()).digest()
        if base64.urlsafe_b64encode(digest).rstrip(b"=").decode() != begun["code_challenge"]:
            return 400, {"error": "invalid_grant"}
        wanted = "Basic " + base64.b64encode(f"{CLIENT}:{self.secret}".encode()).decode()
        if self.secret and authorization != wanted:
            return 401, {"error": "invalid_client"}
        now = int(time.time())
        claims = {
            "iss": self.issuer, "aud": CLIENT, "iat": now, "exp": now + 300, "nonce": begun["nonce"], **self.person,
        }  # fmt: skip
        claims = self.spoil(claims)
        key = OctKey.import_key("shared-by-both-of-them-and-long-enough") if self.algorithm == "HS256" else self.key
        header = {"alg": self.algorithm, "kid": self.key.kid}
        signed = jwt.encode(header, claims, key, algorithms=[self.algorithm])
        return 200, {"access_token": "unused", "token_type": "Bearer", "id_token": signed}


@contextmanager
def provider() -> Iterator[FakeProvider]:
    """Serve one."""
    fake = FakeProvider()

    class Answers(BaseHTTPRequestHandler):
        """One request to it."""

        def do_GET(self) -> None:
            at = urlsplit(self.path)
            given = {key: values[0] for key, values in parse_qs(at.query).items()}
            match at.path:
                case "/.well-known/openid-configuration":
                    ends = {
                        "issuer": fake.issuer, "authorization_endpoint": f"{fake.issuer}/authorize",
                        "token_endpoint": f"{fake.issuer}/token", "jwks_uri": f"{fake.issuer}/keys",
                    }  # fmt: skip
                    self.say(200, ends)
                case "/keys":
                    self.say(200, {"keys": [key.as_dict(private=False) for key in fake.published]})
                case "/authorize":
                    self.send_response(302)
                    self.send_header("location", fake.authorize(given))
                    self.end_headers()
                case _:
                    self.say(404, {})

        def do_POST(self) -> None:
            body = self.rfile.read(int(self.headers["content-length"])).decode()
            given = {key: values[0] for key, values in parse_qs(body).items()}
            self.say(*fake.token(given, self.headers.get("authorization", "")))

        def say(self, status: int, told: dict[str, Any]) -> None:
            data = json.dumps(told).encode()
            self.send_response(status)
            self.send_header("content-type", "application/json")
            self.send_header("content-length", str(len(data)))
            self.end_headers()
            self.wfile.write(data)

        def log_message(self, *_: object) -> None:
            """Print nothing."""

    server = ThreadingHTTPServer(("127.0.0.1", 0), Answers)
    server.daemon_threads = True
    fake.issuer = f"http://127.0.0.1:{server.server_port}"
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield fake
    finally:
        server.shutdown()
        server.server_close()
