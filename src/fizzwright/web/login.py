"""The passphrase of a workshop on a network: who may come in, how often one may try, how long it holds."""

from __future__ import annotations

import hmac
import json
import os
import secrets
import threading
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from itsdangerous import BadSignature, URLSafeTimedSerializer

__all__ = ["SESSION_COOKIE", "SESSION_S", "Door", "Tries", "lan_key"]

SESSION_COOKIE = "fizzwright_session"
SESSION_S = 30 * 24 * 3600
# Letters and digits that are not taken for one another.
_LETTERS = "abcdefghjkmnpqrstuvwxyz23456789"


@dataclass(frozen=True)
class _Key:
    secret: str
    passphrase: str


def lan_key(folder: Path) -> _Key:
    """The key and passphrase of this workshop, made once and kept where only its user can read them.

    They outlive a restart, so that a phone beside a tank stays let in.
    """
    file = folder / "lan.json"
    try:
        kept = json.loads(file.read_text(encoding="utf-8"))
        return _Key(str(kept["secret"]), str(kept["passphrase"]))
    except (OSError, ValueError, KeyError, TypeError):
        pass
    groups = ["".join(secrets.choice(_LETTERS) for _ in range(4)) for _ in range(4)]
    key = _Key(secrets.token_urlsafe(32), "-".join(groups))
    folder.mkdir(parents=True, exist_ok=True)
    file.unlink(missing_ok=True)
    with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w", encoding="utf-8") as out:
        json.dump({"secret": key.secret, "passphrase": key.passphrase}, out)
    return key


class Tries:
    """Counts failed tries by address and in all, and says how long to wait. `now_s` only ever grows."""

    def __init__(
        self, *, now_s: Callable[[], float], each: int = 5, together: int = 40, window_s: float = 60.0
    ) -> None:
        self._now_s, self._each, self._together, self._window_s = now_s, each, together, window_s
        self._lock, self._failed = threading.Lock(), list[tuple[float, str]]()

    def wait_s(self, address: str) -> int:
        """Seconds until another try is heard; 0 where one may try now."""
        with self._lock:
            now = self._now_s()
            self._failed = [(at, who) for at, who in self._failed if now - at < self._window_s]
            own = [at for at, who in self._failed if who == address]
            waits = [0.0]
            if len(own) >= self._each:
                waits.append(own[-self._each] + self._window_s - now)
            if len(self._failed) >= self._together:
                waits.append(self._failed[-self._together][0] + self._window_s - now)
            return int(max(waits) + 0.999)

    def failed(self, address: str) -> None:
        """Count one failed try."""
        with self._lock:
            self._failed.append((self._now_s(), address))


class Door:
    """Knows the passphrase and the sessions it gave out; a session is a signed text, kept by the browser."""

    def __init__(self, key: _Key, tries: Tries) -> None:
        self.tries = tries
        self._passphrase = key.passphrase
        self._signer = URLSafeTimedSerializer(key.secret, salt="session " + key.passphrase)

    def opens(self, passphrase: str) -> bool:
        """Whether the passphrase is right, taking as long for a wrong one; case and blanks do not count."""
        plain = "".join(passphrase.lower().split())
        return hmac.compare_digest(plain.encode(), self._passphrase.encode())

    def session(self, name: str) -> str:
        """A new session for somebody who came in; never one that was there before."""
        return str(self._signer.dumps({"name": name, "id": secrets.token_urlsafe(12)}))

    def name_in(self, session: str | None) -> str | None:
        """Who a session belongs to, or None where it is not ours or too old."""
        if not session:
            return None
        try:
            found = self._signer.loads(session, max_age=SESSION_S)
        except BadSignature:
            return None
        return str(found.get("name", "")) if isinstance(found, dict) else None
