"""A network that can be cut: a real proxy on the loopback, between a bay and the store."""

from __future__ import annotations

import selectors
import socket
import threading


class Network:
    """Passes bytes on between whoever connects to ``port`` and the port ``target``, until it is cut."""

    def __init__(self, target: int) -> None:
        """Listen."""
        self._target = target
        self._listening = socket.create_server(("127.0.0.1", 0))
        self.port = self._listening.getsockname()[1]
        self._pairs: dict[socket.socket, socket.socket] = {}
        self._waiting: set[socket.socket] = set()
        self._lock = threading.Lock()
        self._is_cut = False
        self._left: int | None = None
        self.stuck = threading.Event()
        """Set once nothing more is passed on, because of :meth:`stick_after`."""
        self._selector = selectors.DefaultSelector()
        self._selector.register(self._listening, selectors.EVENT_READ)
        self._ends, self._wake = socket.socketpair()
        self._selector.register(self._ends, selectors.EVENT_READ)
        self._thread = threading.Thread(target=self._pass_on, daemon=True)
        self._thread.start()

    def cut(self) -> None:
        """End every link, in the middle of whatever it says, and take no new one."""
        with self._lock:
            self._is_cut = True
            for one in list(self._pairs):
                self._end(one)

    def stick_after(self, count: int) -> None:
        """Pass so many bytes on, of both ways together, then none: nobody is told, as where a cable is pulled."""
        with self._lock:
            self._left = count

    def mend(self) -> None:
        """Take links again, and pass on what stuck."""
        with self._lock:
            self._is_cut, self._left = False, None
            self.stuck.clear()
            for one in self._waiting:
                self._selector.register(one, selectors.EVENT_READ)
            self._waiting.clear()
        self._wake.send(b"!")

    def close(self) -> None:
        """Be gone."""
        self.cut()
        self._wake.close()
        self._thread.join(5)
        for one in (self._listening, self._ends):
            one.close()

    def _pass_on(self) -> None:
        while True:
            for key, _ in self._selector.select():
                if key.fileobj is self._ends:
                    if not self._ends.recv(1):
                        return
                    continue  # there is more to listen to
                with self._lock:
                    if key.fileobj is self._listening:
                        self._begin()
                    else:
                        self._piece(key.fileobj)  # type: ignore[arg-type]

    def _begin(self) -> None:
        near, _ = self._listening.accept()
        if self._is_cut:
            near.close()
            return
        try:
            far = socket.create_connection(("127.0.0.1", self._target), 2)
        except OSError:
            near.close()
            return
        for one, other in ((near, far), (far, near)):
            self._pairs[one] = other
            self._selector.register(one, selectors.EVENT_READ)

    def _piece(self, one: socket.socket) -> None:
        other = self._pairs.get(one)
        if other is None:
            return
        if self._left is not None and self._left <= 0:
            self.stuck.set()
            self._selector.unregister(one)  # it waits, and is ended by a cut
            self._waiting.add(one)
            return
        try:
            piece = one.recv(65536 if self._left is None else min(65536, self._left))
            if self._left is not None:
                self._left -= len(piece)
            if piece:
                other.sendall(piece)
                return
        except OSError:
            pass
        self._end(one)

    def _end(self, one: socket.socket) -> None:
        other = self._pairs.pop(one, None)
        if other is None:
            return
        self._pairs.pop(other, None)
        for each in (one, other):
            if each in self._waiting:
                self._waiting.remove(each)
            else:
                self._selector.unregister(each)
            each.close()
