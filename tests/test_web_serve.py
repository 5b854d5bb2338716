"""The server as it runs: start, stop, ports, what it prints, and hostile bytes on its socket."""

from __future__ import annotations

import gc
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest
from web_client import Running, home_with, start

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.web import serve
from pricing.web.place import Place
from pricing.web.refit import Refit

SHEET = (
    "unit,type,price,sold,note\n1,gas range,150,2026-09-01,<script>alert(1)</script>\n2,gas"
    ' range,,,"""><img src=x onerror=alert(1)>"\n'
)


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Running]:
    running = start(home_with(tmp_path_factory.mktemp("served"), SHEET))
    yield running
    running.process.kill()
    running.process.communicate()


def tree(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in folder.rglob("*")
        if path.is_file()
    }


def test_it_says_where_it_is_and_whose_record_it_shows(page: Running) -> None:
    assert str(page.home.path) in page.said
    assert page.answer("/")[0] == 200


def test_record_text_is_shown_as_text(page: Running) -> None:
    _, body = page.answer("/records/unit?unit=1")
    assert b"&lt;script&gt;alert(1)" in body
    assert b"<script>alert" not in body
    assert b"<img" not in page.answer("/records/unit?unit=2")[1]


BAD_HOSTS = [
    b"evil.example",
    b"127.0.0.1.evil.example",
    b"",
    b"a" * 5000,
    b"127.0.0.1:%d@evil.example",
    b"evil.example\x00",
]


@pytest.mark.parametrize("host", BAD_HOSTS, ids=lambda host: host[:20].decode())
def test_a_foreign_host_is_refused_on_the_wire(page: Running, host: bytes) -> None:
    assert b" 4" in page.raw(
        b"GET /records HTTP/1.1\r\nHost: "
        + host.replace(b"%d", str(page.port).encode())
        + b"\r\nConnection: close\r\n\r\n"
    )


def test_two_hosts_or_none_are_refused(page: Running) -> None:
    own = f"Host: 127.0.0.1:{page.port}\r\n".encode()
    assert b" 4" in page.raw(b"GET / HTTP/1.1\r\n" + own + b"Host: evil.example\r\n\r\n")
    assert b" 4" in page.raw(b"GET / HTTP/1.1\r\n\r\n")


PATHS = [
    "/../../etc/passwd",
    "/%2e%2e/%2e%2e/etc/passwd",
    "/static/../../../etc/passwd",
    "/static/%2e%2e/app.py",
    "//etc/passwd",
    "/%00",
    "/" + "a" * 20000,
    "/\\..\\etc",
    "/%c0%ae/etc/passwd",
]


@pytest.mark.parametrize("path", PATHS, ids=lambda path: path[:24])
def test_no_path_leads_out(page: Running, path: str) -> None:
    line = page.raw(
        f"GET {path} HTTP/1.1\r\nHost: 127.0.0.1:{page.port}\r\nConnection: close\r\n\r\n".encode()
    )
    assert re.match(rb"HTTP/1\.[01] [34]\d\d", line), line


LENGTHS = ["-5", "abc", "2\r\nContent-Length: 9", str(3 << 30), "0\r\nX-A: " + "a" * 200_000]


@pytest.mark.parametrize("length", LENGTHS, ids=lambda length: length[:12])
def test_broken_lengths_are_refused(page: Running, length: str) -> None:
    line = page.raw(
        f"POST /records/new HTTP/1.1\r\nHost: 127.0.0.1:{page.port}\r\nContent-Type:"
        f" text/plain\r\nContent-Length: {length}\r\nConnection: close\r\n\r\n{{}}".encode()
    )
    assert line == b"closed" or re.match(rb"HTTP/1\.[01] 4\d\d", line), line


def learned(page: Running) -> None:
    """Wait until what is learned at the start is written."""
    until = time.monotonic() + 120
    while (
        not (page.home.models / "0001.json").exists()
        or b"rested" not in page.answer("/learning")[1]
    ):
        assert time.monotonic() < until
        time.sleep(0.1)


def test_nothing_of_this_changed_the_home(page: Running) -> None:
    learned(page)
    before = tree(page.home.path)
    headers = {"Content-Type": "application/x-www-form-urlencoded"}
    for path in (
        "/records/new",
        "/records/step",
        "/records/undo",
        "/records/add",
        "/records/file",
        "/offer",
        "/nothing",
    ):
        for body in (b"", b"form_token=x&type=gas+range", bytes(range(256)), b"a=1&" * 5000):
            status, _ = page.answer(path, "POST", headers, body)
            assert 400 <= status < 500, (path, status)
        for method in ("PUT", "DELETE", "TRACE", "PATCH"):
            assert 400 <= page.answer(path, method)[0] < 500
    for path in (
        "/",
        "/records",
        "/records/new",
        "/records/file",
        "/records/changes",
        "/records/unit?unit=1",
        "/learning",
    ):
        assert page.answer(path)[0] == 200
    assert tree(page.home.path) == before


def test_slow_clients_keep_nobody_waiting(page: Running) -> None:
    slow = [socket.create_connection(("127.0.0.1", page.port), 3) for _ in range(60)]
    try:
        for connection in slow:
            connection.sendall(b"GET / HTTP/1.1\r\nHost: 127")
        begun = time.monotonic()
        assert page.answer("/")[0] == 200
        assert time.monotonic() - begun < 3
    finally:
        for connection in slow:
            connection.close()


def test_eight_people_at_once(page: Running) -> None:
    wrong: list[object] = []

    def person() -> None:
        for _ in range(10):
            try:
                if (status := page.answer()[0]) != 200:
                    wrong.append(status)
            except OSError as error:
                wrong.append(error)

    people = [threading.Thread(target=person) for _ in range(8)]
    for thread in people:
        thread.start()
    for thread in people:
        thread.join()
    assert not wrong


def test_only_this_machine_is_answered(page: Running) -> None:
    """No address of the network listens unless it was asked for."""
    try:
        outside = serve.lan_address()
    except Refused:
        pytest.skip("this machine is on no network")
    with pytest.raises(OSError, match=r"refused|unreachable|timed out"):
        socket.create_connection((outside, page.port), 2)


def test_a_taken_port_is_one_sentence(page: Running) -> None:
    command = [
        sys.executable,
        "-m",
        "pricing",
        "web",
        "--port",
        str(page.port),
        "--home",
        str(page.home.path),
    ]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert done.stderr.count("\n") == 1
    assert f"port {page.port} is taken" in done.stderr
    assert "--port" in done.stderr


@pytest.mark.skipif(os.name == "nt", reason="Windows ends a process without a signal")
@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_it_stops_cleanly(tmp_path: Path, number: signal.Signals) -> None:
    running = start(home_with(tmp_path))
    running.answer("/")
    running.process.send_signal(number)
    said, _ = running.process.communicate(timeout=5)
    assert running.process.returncode == 0
    assert "Traceback" not in said


def test_on_the_wi_fi_it_prints_the_address_a_key_and_a_square_code(tmp_path: Path) -> None:
    try:
        address = serve.lan_address()
    except Refused:
        pytest.skip("this machine is on no network")
    running = start(home_with(tmp_path), "--lan")
    try:
        there = re.search(
            rf"http://{re.escape(address)}:{running.port}/\?token=([\w-]+)", running.said
        )
        assert there
        assert len(there[1]) >= 22  # 128 bits
        assert "█" in running.said
        assert "own Wi-Fi" in running.said
        assert running.answer("/")[0] == 401
        assert running.answer(f"/?token={there[1]}")[0] == 200
    finally:
        running.process.kill()
        running.process.communicate()


def test_no_network_is_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    def nowhere(self: socket.socket, address: object) -> None:
        raise OSError("network is unreachable")

    monkeypatch.setattr(socket.socket, "connect", nowhere)
    with pytest.raises(Refused, match="no network"):
        serve.lan_address()


def test_a_run_leaves_no_folder_behind(tmp_path: Path) -> None:
    """What waits for a press goes with the page, whichever way it ends."""
    here = Place(Home(tmp_path), date.today, Refit(Home(tmp_path), date.today))
    waiting = here.scratch()
    assert waiting.is_dir() and here.scratch() == waiting
    (waiting / "sheet.csv").write_text("type,price\n")
    del here
    gc.collect()
    assert not waiting.exists()
