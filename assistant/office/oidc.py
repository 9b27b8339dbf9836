"""OpenID Connect: sends people to the provider and proves who comes back. The adapter of authlib, joserfc and httpx.

Authorization code with PKCE (RFC 6749, 7636), state and nonce; the ID token is verified by the provider's keys (OpenID
Connect Core 1.0, section 3.1.3.7): signature, issuer, audience, expiry, nonce.
"""

from __future__ import annotations

import threading
import warnings
from collections.abc import Callable, Mapping
from typing import Any

from assistant.office.logins import ByOidc

_ANSWER_S = 5.0
_LEEWAY_S = 60
"""So far the provider's clock may be off [s]."""
_ALGORITHMS = ("RS256", "RS384", "RS512", "PS256", "PS384", "PS512", "ES256", "ES384", "EdDSA")
"""Signatures by keys that the provider alone has; never "none", and none by a secret that both share."""
_NOT_INSTALLED = (
    "Logins by OpenID Connect need the extra for workshops; install it (pip install 'step-assistant[workshop]')."
)
_AGAIN = "Log in once more; if it happens again, ask who looks after the provider."


class OidcFault(Exception):
    """Nobody could be logged in: ``sentence`` for a person, ``why`` for the log, without a secret."""

    def __init__(self, sentence: str, why: str) -> None:
        super().__init__(sentence)
        self.sentence, self.why = sentence, why


class Provider:
    """The provider of one client. Any thread may ask; each question has its own connection."""

    def __init__(self, way: ByOidc, back: str, now: Callable[[], float]) -> None:
        """Send people back to ``back``; ``now`` is in seconds since the epoch.

        Raises:
            OidcFault: what is needed is not installed.
        """
        try:
            with warnings.catch_warnings():
                import authlib.deprecate  # noqa: PLC0415, F401 - it asks to be heard; what it says is of its next version

                warnings.simplefilter("ignore")
                import httpx  # noqa: PLC0415 - an office without such logins needs none of it
                import joserfc.jwk  # noqa: PLC0415
                import joserfc.jwt  # noqa: PLC0415
                from authlib.integrations.httpx_client import OAuth2Client  # noqa: PLC0415
        except ImportError as fault:
            raise OidcFault(_NOT_INSTALLED, "not installed") from fault
        self._way, self._back, self._now = way, back, now
        self._client, self._http, self._jwk, self._jwt = OAuth2Client, httpx, joserfc.jwk, joserfc.jwt
        self._guard = threading.Lock()
        self._about: Mapping[str, Any] | None = None
        self._keys: Any = None

    def address(self, state: str, nonce: str, verifier: str) -> str:
        """Return where the browser is sent to log in.

        Raises:
            OidcFault: the provider does not answer.
        """
        about = self._discovered()
        with self._made() as client:
            url, _ = client.create_authorization_url(
                about["authorization_endpoint"], state=state, code_verifier=verifier, nonce=nonce
            )
        return str(url)

    def claims(self, code: str, nonce: str, verifier: str) -> Mapping[str, Any]:
        """Return what the provider says of who came back with ``code``.

        Raises:
            OidcFault: it does not answer, refuses, or its ID token is not good.
        """
        about = self._discovered()
        try:
            with self._made() as client:
                token = client.fetch_token(about["token_endpoint"], code=code, code_verifier=verifier)
        except Exception as fault:
            raise OidcFault(f"The provider does not take this login. {_AGAIN}", type(fault).__name__) from fault
        given = token.get("id_token") if isinstance(token, Mapping) else None
        if not isinstance(given, str):
            raise OidcFault(f"The provider sent no ID token. {_AGAIN}", "no id_token")
        return self._verified(given, nonce)

    def _verified(self, given: str, nonce: str) -> Mapping[str, Any]:
        for fresh in (False, True):  # a key that is not known may be new
            try:
                claims: dict[str, Any] = self._jwt.decode(given, self._key_set(fresh=fresh), list(_ALGORITHMS)).claims
                break
            except OidcFault:
                raise
            except Exception as fault:
                if fresh:
                    raise OidcFault(
                        f"The ID token is not signed by the provider. {_AGAIN}", repr(fault)[:80]
                    ) from fault
        wanted = self._jwt.JWTClaimsRegistry(
            now=lambda: int(self._now()),
            leeway=_LEEWAY_S,
            iss={"essential": True, "value": self._about["issuer"] if self._about else ""},
            aud={"essential": True, "value": self._way.client},
            sub={"essential": True},
            exp={"essential": True},
            iat={"essential": True},
            nonce={"essential": True, "value": nonce},
        )
        try:
            wanted.validate(claims)
        except Exception as fault:
            raise OidcFault(f"The ID token is not for this login. {_AGAIN}", repr(fault)[:80]) from fault
        several = isinstance(claims["aud"], list) and len(claims["aud"]) > 1
        if claims.get("azp", self._way.client) != self._way.client or (several and "azp" not in claims):
            raise OidcFault(f"The ID token is not for this login. {_AGAIN}", "azp")
        return claims

    def _discovered(self) -> Mapping[str, Any]:
        with self._guard:
            if self._about is None:
                about = self._get(f"{self._way.issuer}/.well-known/openid-configuration")
                issuer = str(about.get("issuer", ""))
                ends = [about.get(key) for key in ("authorization_endpoint", "token_endpoint", "jwks_uri")]
                if issuer.rstrip("/") != self._way.issuer or not all(isinstance(end, str) for end in ends):
                    raise OidcFault(
                        "The provider of the logins says that it is another one; mend issuer in office.toml.",
                        issuer[:80],
                    )
                self._about = about
            return self._about

    def _key_set(self, *, fresh: bool) -> Any:
        about = self._discovered()
        with self._guard:
            if self._keys is None or fresh:
                found: Any = self._get(about["jwks_uri"])
                self._keys = self._jwk.KeySet.import_key_set(found)
            return self._keys

    def _get(self, url: str) -> dict[str, Any]:
        try:
            answer = self._http.get(url, timeout=_ANSWER_S).raise_for_status().json()
        except Exception as fault:
            raise OidcFault(f"The provider of the logins does not answer. {_AGAIN}", type(fault).__name__) from fault
        if not isinstance(answer, dict):
            raise OidcFault(f"The provider of the logins does not answer. {_AGAIN}", "no mapping")
        return answer

    def _made(self) -> Any:
        way = self._way
        return self._client(
            way.client,
            way.secret or None,
            token_endpoint_auth_method="client_secret_basic" if way.secret else "none",
            scope="openid profile",
            redirect_uri=self._back,
            code_challenge_method="S256",
            timeout=_ANSWER_S,
        )
