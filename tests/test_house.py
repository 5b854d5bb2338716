"""The house only gets smaller: what `tests/house.py` counts is held to its table."""

from __future__ import annotations

import ast

import house
import pytest


@pytest.fixture(scope="module")
def counted() -> tuple[dict[str, float], dict[str, list[str]]]:
    return house.house()


@pytest.mark.parametrize("measure", house.held())
def test_a_measure_does_not_get_worse(
    counted: tuple[dict[str, float], dict[str, list[str]]], measure: str
) -> None:
    """All must not rise; only comments must not fall."""
    measures, listed = counted
    bound, _ = house.held()[measure]
    if measure == house.COMMENTS:
        assert measures[measure] >= bound
    else:
        assert measures[measure] <= bound, listed.get(measure)


def test_every_measure_is_held(counted: tuple[dict[str, float], dict[str, list[str]]]) -> None:
    """A measure without a bound would never fail."""
    assert set(counted[0]) == set(house.held())


def test_the_script_prints_every_measure_and_what_it_counts(
    capsys: pytest.CaptureFixture[str],
) -> None:
    """`python tests/house.py --names`, as the contributor guide prints it."""
    house.main("--names")
    said = capsys.readouterr().out

    measures, listed = house.house()
    assert all(f"{name:26}{value:10,.5g}" in said for name, value in measures.items())
    assert all(f"  {one}\n" in said for found in listed.values() for one in found)


# A small house with one of everything, counted by hand.
SAMPLE = """
# why
def long(a, b, c, d, e, f, g, *h, i=1):
    import json
    for x in a:
        if x and b or c:
            return [y for y in x if y]
    try:
        return json if a else b
    except ValueError:
        return other._secret
"""


def test_a_function_is_counted_as_by_hand() -> None:
    """for, if and except: 4 ways; and, or, the comprehension, its if and one `a if b else c`: 9."""
    [function] = house.functions_of(ast.parse(SAMPLE), "sample.py")

    assert (function.ways, function.decisions) == (4, 9)
    assert function.arguments == 9
    assert function.lines == 9


def test_comments_late_imports_and_private_names_are_counted() -> None:
    tree = ast.parse("from pricing.model import other\n" + SAMPLE)

    assert house.own_comments(SAMPLE) == 1
    assert house.late_imports(tree) == 1
    assert house.private_reads(tree) == ["other._secret"]


def test_circles_are_groups_that_reach_each_other() -> None:
    reach = {"a": {"b"}, "b": {"c"}, "c": {"a"}, "d": {"a"}, "e": {"f"}, "f": {"e"}}

    assert house.circles(reach) == [["a", "b", "c"], ["e", "f"]]
