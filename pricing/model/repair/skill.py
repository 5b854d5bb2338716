"""How the people of one record differ at the bench: a shift of each one's log odds to fix and of ln
bench hours. numpy only.

    logit q = group's + a_person,  ln hours = group's + b_person,     a ~ N(0, fix_sd^2),  b ~ N(0,
        hours_sd^2)

Whose work the record does not know gets no shift and the whole spread between people. A record of
one has no spread and nothing changes.
"""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np

from pricing.basis.frozen import frozen
from pricing.model import numbers

FIX_SD, HOURS_SD = 0.45, 0.30  # between people, before any unit: own judgement


@frozen
class Skill:
    """names: people told apart, J; fix, hours: mean and variance of each one's shift, (J, 2);
    anyone: of both for all others, (4,); fix_sd, hours_sd: spread between people."""

    names: tuple[str, ...]
    fix: np.ndarray
    hours: np.ndarray
    anyone: tuple[float, float, float, float]
    fix_sd: float
    hours_sd: float

    def of(self, owners: Sequence[str]) -> np.ndarray:
        """Mean and variance of the shift of the log odds to fix, then of ln hours, (n, 4)."""
        table = np.vstack([np.hstack([self.fix, self.hours]), np.array(self.anyone)])
        place = {name: index for index, name in enumerate(self.names)}
        return table[[place.get(owner, len(self.names)) for owner in owners]]


NO_PEOPLE = Skill((), np.zeros((0, 2)), np.zeros((0, 2)), (0.0, 0.0, 0.0, 0.0), 0.0, 0.0)


def alone(skill: Skill, owner: str) -> Skill:
    """The skill of one person whoever asks, naming no one: the same answers as for `owner`."""
    fix, fix_variance, hours, hours_variance = skill.of([owner])[0].tolist()
    return Skill(
        (),
        np.zeros((0, 2)),
        np.zeros((0, 2)),
        (fix, fix_variance, hours, hours_variance),
        skill.fix_sd,
        skill.hours_sd,
    )


def as_numbers(skill: Skill) -> dict[str, Any]:
    """Plain tables for the saved file."""
    return dict(vars(skill))


def from_numbers(data: Mapping[str, Any]) -> Skill:
    """From the saved file, every size and bound checked. Raises Damaged."""
    names, ends = numbers.texts(data, "names", most=5_000), (-100, 100)
    people = numbers.several(data, (len(names), 2), fix=ends, hours=ends)
    anyone = tuple(numbers.array(data, "anyone", (4,), *ends).tolist())
    variances = [anyone[1], anyone[3], *people["fix"][:, 1], *people["hours"][:, 1]]
    if min(variances) < 0:
        raise numbers.Damaged("a variance of the people is below 0")
    wide = numbers.several(data, fix_sd=(0, 100), hours_sd=(0, 100))
    return Skill(names, **people, anyone=anyone, **wide)
