"""A line between a phone and the kitchen's server that can be cut and mended, over TLS as well."""

from __future__ import annotations

import ipaddress
import socket
import ssl
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime, timedelta
from pathlib import Path


class Line:
    """Passes bytes on to a port of this machine, until it is cut."""

    def __init__(self, to: int, tls: ssl.SSLContext | None = None) -> None:
        self._to, self._tls = to, tls
        self._open: set[socket.socket] = set()
        self._listening = self._listen(0)
        self.port: int = self._listening.getsockname()[1]

    @property
    def address(self) -> str:
        """As a browser asks for it."""
        return f"http{'s' if self._tls else ''}://127.0.0.1:{self.port}"

    def cut(self) -> None:
        """Nothing gets through any more, nor does what is on its way."""
        # Whoever waits in `accept` keeps a socket alive that is only closed.
        with suppress(OSError):
            self._listening.shutdown(socket.SHUT_RDWR)
        self._listening.close()
        for one in list(self._open):
            with suppress(OSError):
                one.shutdown(socket.SHUT_RDWR)
            one.close()
        self._open.clear()

    def mend(self) -> None:
        """As before, at the same address."""
        self._listening = self._listen(self.port)

    def _listen(self, port: int) -> socket.socket:
        listening = socket.create_server(("127.0.0.1", port), backlog=64)
        threading.Thread(target=self._accept, args=(listening,), daemon=True).start()
        return listening

    def _accept(self, listening: socket.socket) -> None:
        while True:
            try:
                found, _ = listening.accept()
            except OSError:
                return
            threading.Thread(target=self._connect, args=(found,), daemon=True).start()

    def _connect(self, near: socket.socket) -> None:
        try:
            if self._tls is not None:
                near = self._tls.wrap_socket(near, server_side=True)
            far = socket.create_connection(("127.0.0.1", self._to))
        except OSError:
            near.close()
            return
        self._open |= {near, far}
        back = threading.Thread(target=self._pass, args=(far, near), daemon=True)
        back.start()
        self._pass(near, far)

    def _pass(self, one: socket.socket, other: socket.socket) -> None:
        with suppress(OSError):
            while some := one.recv(65536):
                other.sendall(some)
        for each in (one, other):
            with suppress(OSError):
                each.close()
            self._open.discard(each)


@contextmanager
def line(to: int, tls: ssl.SSLContext | None = None) -> Iterator[Line]:
    """A line that is cut in the end."""
    one = Line(to, tls)
    yield one
    one.cut()


def certified(folder: Path) -> ssl.SSLContext:
    """A certificate of a day for this machine's number, signed by itself."""
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes, serialization
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.x509.oid import NameOID

    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "kitchen")])
    now = datetime.now(UTC)
    here = x509.SubjectAlternativeName([x509.IPAddress(ipaddress.ip_address("127.0.0.1"))])
    made = (
        x509.CertificateBuilder()
        .subject_name(name)
        .issuer_name(name)
        .public_key(key.public_key())
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - timedelta(minutes=5))
        .not_valid_after(now + timedelta(days=1))
        .add_extension(here, critical=False)
        .sign(key, hashes.SHA256())
    )
    file = folder / "kitchen.pem"
    private = key.private_bytes(
        serialization.Encoding.PEM,
        serialization.PrivateFormat.PKCS8,
        serialization.NoEncryption(),
    )
    file.write_bytes(private + made.public_bytes(serialization.Encoding.PEM))
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(file)
    return context
