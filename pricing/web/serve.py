"""The server: where it listens, what it prints, how it stops."""

from __future__ import annotations

import errno
import logging
import os
import signal
import socket
import threading
from types import FrameType
from typing import TYPE_CHECKING, Any

from pricing.basis.problems import Problem, Refused

if TYPE_CHECKING:
    from flask import Flask

PORT = 8737  # unassigned; nothing usual on a home machine listens there
LARGEST_BODY = 64 * 2**20  # bytes; cut off beyond: the page takes less (`guard`) and says so
LARGEST_HEADERS = 32 * 2**10
THREADS = 4
CONNECTIONS = 250
IDLE_SECONDS = 20  # a connection that says nothing for so long is closed
# After a stop signal, whatever still runs is cut off: every write is whole or not there
STOP_SECONDS = 3.0
_ALONE = "this machine is on no network that a phone could share"
_NO_NETWORK = Problem(_ALONE, "join your Wi-Fi first, or leave --lan out")


def lan_address() -> str:
    """This machine's address on its own network; nothing is sent. Refused without one."""
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        try:
            # TEST-NET-1 (RFC 5737): choosing the way out sends no packet
            probe.connect(("192.0.2.1", 9))
            address = str(probe.getsockname()[0])
        except OSError as error:
            raise Refused(_NO_NETWORK) from error
    if address.startswith("127.") or address == "0.0.0.0":
        raise Refused(_NO_NETWORK)
    return address


def hosts_of(port: int, lan: str | None) -> frozenset[str]:
    """The Host headers that browsers send for this server; port 80 is left out by them."""
    names = ("127.0.0.1", "localhost", *((lan,) if lan else ()))
    return frozenset((*(f"{name}:{port}" for name in names), *(names if port == 80 else ())))


def open_port(port: int, lan: str | None) -> list[socket.socket]:
    """Sockets that listen on loopback and, if asked, the home network. Refused if taken."""
    sockets = []
    try:
        for address in ("127.0.0.1", *((lan,) if lan else ())):
            listening = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
            sockets.append(listening)
            if os.name != "nt":  # on Windows the option would let two programs share the port
                listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            listening.bind((address, port))
            port = listening.getsockname()[1]
            listening.listen(128)
            listening.setblocking(False)
    except (OSError, OverflowError) as error:
        for listening in sockets:
            listening.close()
        raise Refused(_cannot_listen(port, error)) from error
    return sockets


def _cannot_listen(port: int, error: Exception) -> Problem:
    code = error.errno if isinstance(error, OSError) else None
    if code in (errno.EADDRINUSE, 10048):
        what = f"port {port} is taken by another program, perhaps by this page in another window"
        other = port + 1 if port < 65535 else PORT
        return Problem(what, f"close that one, or use pricing web --port {other}")
    denied = code in (errno.EACCES, 10013)
    why = "is not for you on this machine" if denied else f"cannot be used: {error}"
    return Problem(f"port {port} {why}", f"use pricing web --port {PORT}")


def serve(app: Flask, sockets: list[socket.socket]) -> None:
    """Answer until Ctrl-C or a stop signal; then end within five seconds."""
    import waitress

    # A busy moment is no news; a person reads this window
    logging.getLogger("waitress").setLevel(logging.ERROR)
    server: Any = waitress.create_server(
        app,
        sockets=sockets,
        threads=THREADS,
        connection_limit=CONNECTIONS,
        channel_timeout=IDLE_SECONDS,
        cleanup_interval=5,
        max_request_header_size=LARGEST_HEADERS,
        max_request_body_size=LARGEST_BODY,
        ident="",
    )

    def stop(number: int, frame: FrameType | None) -> None:
        last = threading.Timer(STOP_SECONDS, os._exit, (0,))
        last.daemon = True
        last.start()
        raise SystemExit(0)

    signal.signal(signal.SIGTERM, stop)
    signal.signal(signal.SIGINT, stop)
    threading.Thread(target=app.config["WARM"], name="open units", daemon=True).start()
    try:
        server.run()
    finally:
        for place in (app.config["DEMO"], app.config["PLACE"]):
            if place is not None:
                place.refit.stop()
        server.close()


def qr_code(address: str) -> str:
    """A square code of an address for a terminal, in half blocks to fit a screen."""
    import io

    import segno

    out = io.StringIO()
    segno.make(address, error="l", micro=False).terminal(out=out, compact=True)
    return out.getvalue()
