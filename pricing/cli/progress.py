"""The line that says how long a command has been at it, on a terminal; the answer wipes it."""

import sys
import threading
from collections.abc import Collection

# commands that ask nothing and may take over two seconds; add and fit say how far they are
LONG = {"accuracy", "report", "compare", "export", "verify", "backup", "restore", "member", "phone",
    "undo", "drop", "rule", "slip", "history"}  # fmt: skip
AFTER = 2.0  # seconds
_said = threading.Event()
_thread: threading.Thread | None = None


def begin(name: str, words: Collection[str], after: float = AFTER) -> bool:
    """Begin to count for a command and its words, where a person looks on; whether it did."""
    global _thread
    if name not in LONG or not sys.stderr.isatty() or {"-q", "--quiet"} & {*words}:
        return False
    end()
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
    seconds, wait = after, after
    while not _said.wait(wait):
        print(f"\r{name}: {seconds:.0f} seconds …", end="", file=sys.stderr, flush=True)
        seconds, wait = seconds + 1, 1.0
    print("\r\033[K", end="", file=sys.stderr, flush=True)
