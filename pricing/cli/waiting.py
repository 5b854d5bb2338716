"""That a command which takes long is still at it: one line on the terminal, wiped by the answer."""

from __future__ import annotations

import sys
import threading

# commands that ask nothing and may take over two seconds; add and fit say how far they are
LONG = {"accuracy", "report", "compare", "export", "verify", "backup", "restore", "member", "phone",
    "undo", "drop", "rule", "slip", "history"}  # fmt: skip
AFTER = 2.0  # seconds
_said = threading.Event()
_thread: threading.Thread | None = None


def begin(words: list[str], after: float = AFTER) -> bool:
    """Begin to count, where a person looks on; whether it did. words: the command line."""
    global _thread
    name = next((word for word in words if word in LONG), "")
    if not name or not sys.stderr.isatty() or {"-q", "--quiet"} & set(words):
        return False
    _said.clear()
    _thread = threading.Thread(target=_count, args=(name, after), daemon=True)
    _thread.start()
    return True


def end() -> None:
    """Wipe the line: the answer comes."""
    global _thread
    if _thread is not None:
        _said.set()
        _thread.join()
        _thread = None


def _count(name: str, after: float) -> None:
    seconds = after
    if _said.wait(after):
        return
    print(f"\r{name}: {seconds:.0f} seconds …", end="", file=sys.stderr, flush=True)
    while not _said.wait(1.0):
        seconds += 1
        print(f"\r{name}: {seconds:.0f} seconds …", end="", file=sys.stderr, flush=True)
    print("\r\033[K", end="", file=sys.stderr, flush=True)
