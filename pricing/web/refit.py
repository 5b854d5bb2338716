"""Learning again in the background: one `pricing fit` in a process of its own, so that answers stay
quick and memory stays flat.

A change marks the record as newer; the fit starts a moment later, so that a row of changes costs
one fit, and once more where something changed meanwhile. What it is doing is one sentence, shown on
every page.
"""

import os
import subprocess
import sys
import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date
from typing import Any

from pricing.basis.home import Home
from pricing.basis.problems import Refused, told_by
from pricing.basis.settings import load_settings, settings_digest
from pricing.model import saved
from pricing.record.entries import content_hash
from pricing.record.store import record_file
from pricing.web.forms import sentence

PAUSE = 1.0  # seconds after a change before learning starts
LOOK_AFTER = 1.5  # seconds after the start: the first page goes first
LONGEST = 1800.0  # seconds after which a fit is given up


def aside() -> dict[str, str]:
    """The environment of a process beside the page: one core, answers keep the others."""
    return {
        **os.environ,
        **dict.fromkeys(("OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS", "MKL_NUM_THREADS"), "1"),
        "PYTHONUTF8": "1",
    }


def own_command(name: str, home: Home, day: date, *more: str) -> list[str]:
    """One of our own commands, answering in JSON."""
    told = ["--json", "--home", str(home.path), "--as-of", day.isoformat()]
    return [sys.executable, "-m", "pricing", name, *told, *more]


@dataclass(frozen=True)
class State:
    """state: "rested", "waiting", "learning" or "failed"; said: one sentence, or empty."""

    state: str
    said: str = ""


RESTED = State("rested")
WAITING = State("waiting", "Learning from your record in a moment.")
LEARNING = State("learning", "Learning from your record. Answers rest on what was known before.")


@dataclass
class Refit:
    """Use `changed` after every change, `state` for the page, `stop` at the end."""

    home: Home
    today: Callable[[], date]
    pause: float = PAUSE
    now: State = RESTED
    wanted: int = 0  # how many changes there were
    done: int = 0  # of these, how many the last fit has seen
    lock: threading.Condition = field(default_factory=threading.Condition)
    process: subprocess.Popen[str] | None = None
    thread: threading.Thread | None = None
    stopped: bool = False

    def changed(self) -> None:
        with self.lock:
            self.wanted += 1
            self.now = WAITING if self.process is None else self.now
            if self.thread is None and not self.stopped:
                self.thread = threading.Thread(target=self._work, name="refit", daemon=True)
                self.thread.start()
            self.lock.notify_all()

    def look(self) -> None:
        """At the start: learn where nothing was learned yet from this record and settings."""
        timer = threading.Timer(LOOK_AFTER, self._look)
        timer.daemon = True
        timer.start()

    def _look(self) -> None:
        try:
            record = content_hash(self.home) if record_file(self.home).exists() else ""
            settings = settings_digest(load_settings(self.home))
        except Refused:
            return  # the pages will say what is wrong
        try:
            known = saved.load(self.home) if saved.newest(self.home) is not None else None
        except Refused:
            return
        if known is None or (known.record, known.settings) != (record, settings):
            self.changed()

    def state(self) -> State:
        return self.now

    def wait(self, seconds: float) -> bool:
        """Whether everything that changed is learned within that time; for tests alone."""
        with self.lock:
            return self.lock.wait_for(
                lambda: not self.process and self.done >= self.wanted, seconds
            )

    def stop(self) -> None:
        """End the fit that may be running: the numbers from before stay whole."""
        with self.lock:
            self.stopped = True
            if self.process is not None:
                self.process.terminate()
            self.lock.notify_all()

    def _work(self) -> None:
        while True:
            with self.lock:
                self.lock.wait_for(lambda: self.stopped or self.wanted > self.done)
                if self.stopped:
                    return
                if self.lock.wait_for(lambda: self.stopped, self.pause):
                    return
                seen = self.wanted
                self.now = LEARNING
            problem = self._learn()
            with self.lock:
                self.process = None
                self.done = seen
                if self.wanted > self.done:
                    self.now = WAITING
                elif problem:
                    why = f"Your change is saved, but learning from it failed: {problem}"
                    self.now = State("failed", why)
                else:
                    self.now = RESTED
                self.lock.notify_all()

    def _learn(self) -> str:
        """Run the fit; "" where it went well, else why not, in one sentence."""
        try:
            process = self._start()
        except (OSError, subprocess.SubprocessError) as error:
            return f"it could not be started: {error}"
        with self.lock:
            self.process = process
            if self.stopped:
                process.terminate()
        return self._finish(process)

    def _start(self) -> subprocess.Popen[str]:
        nothing: Any = {"stdin": subprocess.DEVNULL, "stdout": subprocess.DEVNULL}
        how: Any = {"stderr": subprocess.PIPE, "encoding": "utf-8", "errors": "replace"}
        command = own_command("fit", self.home, self.today())
        return subprocess.Popen(command, env=aside(), **nothing, **how)

    def _finish(self, process: subprocess.Popen[str]) -> str:
        """ "" where it went well, else why not, in one sentence."""
        try:
            _, said = process.communicate(timeout=LONGEST)
        except subprocess.TimeoutExpired:
            process.kill()
            process.communicate()
            return "it took too long. Run pricing fit in a window to see why."
        if process.returncode == 0 or self.stopped:
            return ""
        if process.returncode == 1 and (problem := told_by(said)) is not None:
            return sentence(problem)
        return "run pricing fit in a window to see why."
