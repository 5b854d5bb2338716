"""`@frozen` behaves as a frozen dataclass does."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import pytest

from pricing.basis.frozen import frozen


@frozen
class Ours:
    """One of ours."""

    name: str
    age: float = 1.5
    words: Mapping[str, int] = field(default_factory=dict)

    @property
    def double(self) -> float:
        return 2 * self.age


@dataclass(frozen=True)
class Theirs:
    """The standard one."""

    name: str
    age: float = 1.5
    words: Mapping[str, int] = field(default_factory=dict)


@pytest.mark.parametrize("values", [("a",), ("a", 2.0), ("a", 2.0, {"x": 1})])
def test_values_defaults_and_text_agree(values: tuple[Any, ...]) -> None:
    """Same fields, same defaults, same printed form."""
    ours, theirs = Ours(*values), Theirs(*values)

    assert dataclasses.asdict(ours) == dataclasses.asdict(theirs)
    assert repr(ours) == repr(theirs).replace("Theirs", "Ours")
    assert [f.name for f in dataclasses.fields(ours)] == [
        f.name for f in dataclasses.fields(theirs)
    ]
    assert vars(ours) == vars(theirs)


def test_each_record_has_a_default_of_its_own() -> None:
    assert Ours("a").words is not Ours("b").words


def test_equal_by_value_and_only_with_its_own_kind() -> None:
    assert Ours("a") == Ours("a", 1.5, {})
    assert Ours("a") != Ours("b")
    assert Ours("a") != Theirs("a")


def test_replace_makes_a_new_one() -> None:
    before = Ours("a")
    after = dataclasses.replace(before, age=4.0)

    assert (before.age, after.age, after.double) == (1.5, 4.0, 8.0)


def test_nothing_can_be_changed() -> None:
    one = Ours("a")

    with pytest.raises(dataclasses.FrozenInstanceError):
        one.age = 2.0  # type: ignore[misc]
    with pytest.raises(dataclasses.FrozenInstanceError):
        del one.age  # type: ignore[misc]


@pytest.mark.parametrize(
    ("args", "named"),
    [((), {}), (("a", 1, {}, 4), {}), (("a",), {"name": "b"}), (("a",), {"agee": 2})],
)
def test_wrong_values_are_refused(args: tuple[Any, ...], named: dict[str, Any]) -> None:
    """As the standard one refuses them."""
    for kind in (Ours, Theirs):
        with pytest.raises(TypeError):
            kind(*args, **named)
