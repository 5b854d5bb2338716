"""A mistake in the user's data or question: where it is, what it is, and how to mend it.

Mistakes are values that are collected, never the end of the reading of a file. `Refused` carries
them out of a story that cannot serve the question at all; every other exception is our own bug.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from pricing.basis.frozen import frozen
from pricing.formulas.nearest_word import nearest


def option_of(name: str) -> str:
    """The option that tells a field of a question."""
    return "--bid" if name == "offered" else "--" + name.replace("_", "-")


@frozen
class Problem:
    """One thing the user can mend.

    what: one plain sentence, without place and remedy; fix: what to do about it, in the imperative;
    file, line: where it stands (line from 1, header included); column: the user's own header;
    value: the cell as written; expected: what would have been read. kind: what sort of mistake it
    is; option: the question's field that it is about. Code goes by these two, not by the sentence.
    """

    what: str
    fix: str = ""
    file: str | None = None
    line: int | None = None
    column: str | None = None
    value: str | None = None
    expected: str | None = None
    kind: str = ""
    option: str | None = None

    def __str__(self) -> str:
        """`sales.csv:41: price 'tbc' is not an amount of money (expected: 120); fix: …`."""
        place = ":".join(str(part) for part in (self.file, self.line) if part is not None)
        cell = f"{self.column}: " if self.column else ""
        if self.column and self.value is not None:
            cell = f"{self.column} {self.value!r}: "
        if self.option and not cell and self.file is None:
            cell = f"{option_of(self.option)}: "
        text = f"{place}: {cell}{self.what}" if place else f"{cell}{self.what}"
        if self.expected:
            text += f" (expected: {self.expected})"
        return f"{text}; fix: {self.fix}" if self.fix else text

    def as_dict(self) -> dict[str, str | int]:
        """The fields that are set, for `--json`."""
        return {key: value for key, value in asdict(self).items() if value not in (None, "")}


def told_by(stderr: str) -> Problem | None:
    """The first problem that a command told on its standard error under `--json`."""
    import json

    for line in stderr.splitlines():
        try:
            return Problem(**json.loads(line)["problem"])
        except (ValueError, TypeError, KeyError):
            continue  # a warning, not a problem
    return None


class Refused(Exception):
    """The user's data or question cannot be served (exit code 1); nothing was changed. problems: at
    least one. columns: of a sheet that lacks a heading: each, what it was taken for, values."""

    columns: Sequence[tuple[str, str, list[str]]] = ()

    def __init__(self, *problems: Problem | str) -> None:
        self.problems = tuple(Problem(p) if isinstance(p, str) else p for p in problems)
        super().__init__("\n".join(str(p) for p in self.problems))

    def __reduce__(self) -> tuple[type[Refused], tuple[Problem, ...]]:
        """So that it comes back whole from another process."""
        return type(self), self.problems


class Unusable(Refused, ValueError):
    """What a caller from Python gave cannot be used."""


def meant(told: str, known: Sequence[str], otherwise: str, cutoff: float = 0.6) -> str:
    """The fix for a name that is not known: the known one most like it, else `otherwise`."""
    guess = nearest(told, known, cutoff)
    return f"did you mean {guess}?" if guess else otherwise


def refused(what: str, fix: str = "", **where: Any) -> Refused:
    """One mistake that ends a story. where: the other fields of a `Problem`."""
    return Refused(Problem(what, fix, **where))


def unusable(what: str, fix: str = "", **where: Any) -> Unusable:
    """The same for what a caller from Python gave."""
    return Unusable(Problem(what, fix, **where))
