"""One command from its start to its exit code, and what is said where it cannot be served: 0 done,
1 the data or question could not be served, 2 wrong usage, 130 stopped by Ctrl-C."""

import errno
import json
import os
import sys
import threading
from collections.abc import Collection, Sequence

import click

from pricing.basis.problems import Problem, Refused
from pricing.basis.version import __version__

STOPPED = 130  # what a shell gives a program that an interrupt ended
_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EFBIG, errno.EIO)


class ReaderGone(Exception):
    """Who read the output has closed it: `pricing … | head` is no mistake."""


def run(group: click.Group) -> int:
    """The exit code of the command that the command line names."""
    try:
        done = group.main(prog_name="pricing", standalone_mode=False)
        sys.stdout.flush()
        return done if isinstance(done, int) else 0
    except Refused as refusal:
        end()
        return _told(refusal.problems, 1, "refused")
    except click.ClickException as error:
        if "--json" in sys.argv:
            return _told([_of_usage(error)], error.exit_code, "usage")
        error.show()
        return error.exit_code
    except (click.Abort, KeyboardInterrupt) as stop:
        return _stopped(stop)
    except (ReaderGone, BrokenPipeError):
        _silence()
        return 0
    except OSError as error:
        if error.errno not in _FULL:
            raise
        _silence()
        return _told([_no_room(error)], 1, "no room")


def _stopped(stop: BaseException) -> int:
    """Ctrl-C, or an input that ends before the questions do."""
    _silence()
    if isinstance(stop, KeyboardInterrupt) or isinstance(stop.__context__, KeyboardInterrupt):
        print("Stopped. What is in your record: pricing files", file=sys.stderr)
        return STOPPED
    print("Stopped: the answers ended before the questions.", file=sys.stderr)
    return 1


def _no_room(error: OSError) -> Problem:
    what = error.filename or "the answer"
    why = (error.strerror or "no room").lower()
    fix = "make room, or send it elsewhere"
    return Problem(f"{what} cannot be written: {why}", fix, kind="no room")


def _of_usage(error: click.ClickException) -> Problem:
    context = getattr(error, "ctx", None)
    page = f"{context.command_path} --help" if context is not None else "pricing --help"
    return Problem(error.format_message(), f"see {page}", kind="usage")


def _told(problems: Sequence[Problem], code: int, kind: str) -> int:
    """Says each problem on the standard error; under --json all of them are the answer too, the
    first with its code and remedy."""
    as_json = "--json" in sys.argv
    if as_json:
        first, rest = problems[0], [one.as_dict() for one in problems]
        said = {"code": first.kind or kind, "message": first.what, "remedy": first.fix}
        stamp = {"schema": "error/1", "version": __version__, "currency": None, "as_of": None}
        _print({**stamp, "error": said, "problems": rest})
    for one in problems:
        line = json.dumps({"problem": one.as_dict()}, ensure_ascii=False) if as_json else one
        print(line, file=sys.stderr)
    return code


def _print(answer: object) -> None:
    try:
        print(json.dumps(answer, ensure_ascii=False), flush=True)
    except OSError:  # the device is full: the standard error tells
        _silence()


def _silence() -> None:
    """Nothing more goes to the standard output: else its last flush fails while Python ends."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


# ---- The line that says how long a command has been at it, on a terminal; the answer wipes it
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
