"""On the bench: what is spent plays no part, the ways add up, and when to quit looking."""

from __future__ import annotations

import json
from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import numpy as np
import pytest
from offer_numbers import DAY, PLAIN, TYPES, learned, numbers_of
from scipy import stats

from pricing.advice import costs
from pricing.advice.bench import GO_ON, BenchAnswer, decide, quit_looking
from pricing.advice.by_plan import by_plan
from pricing.advice.ways import AS_IS, PART_OUT, SCRAP
from pricing.basis.question import Question
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.formulas.exits import FINDING_SHARE
from pricing.model.repair.repair_fit import fit_repair
from pricing.pages import laid_out
from pricing.wording import bench_words as words


def ask(
    known: dict[str, float] | None = None,
    numbers: Any = None,
    own: Settings | None = None,
    **unit: Any,
) -> BenchAnswer:
    unit = {"type": "electric dryer", "fault": "no heat", "age": 8.0} | unit
    return decide(Question(unit, known or {}), numbers or numbers_of(0), own or Settings(), DAY)


def way(answer: BenchAnswer, name: str) -> Any:
    return next(one for one in answer.ways if one.name == name)


def test_going_on_by_hand() -> None:
    """Sells for 200, part 30 still to buy, 1.5 hours still to work, 4 in 5 to fix, else sold as it
    is for 40, half the failures waste the part: .8 x 170 + .2 x (40 - 15) = 141, less 1.5 x 30."""
    told = replace(PLAIN, assumed_types={"electric dryer": {"as_is_share": 0.2}})
    answer = ask({"price": 200, "parts": 30, "hours": 1.5, "fix_chance": 0.8}, own=told)

    assert way(answer, AS_IS).money == pytest.approx(40)
    assert way(answer, GO_ON).money == pytest.approx(141)
    assert way(answer, GO_ON).worth == pytest.approx(96)
    assert way(answer, GO_ON).per_hour == pytest.approx(141 / 1.5)
    assert answer.best == GO_ON
    assert {one.name for one in answer.ways} == {GO_ON, AS_IS, PART_OUT, SCRAP}


def test_a_way_counts_as_often_as_own_duds_went_that_way() -> None:
    """Sells for 200 and as it is for a fifth of that. None of 27 duds was sold so, all brought 10
    at the yard: .1 x 40 + .9 x 10. With six more sold at a fifth of the usual price (3 + 6) / (33 +
    3) of 40 and the rest of 10; the scrap of the others does not know of them."""
    told = replace(PLAIN, assumed_types={"electric dryer": {"as_is_share": 0.2, "price": 150}})
    dud = {"type": "electric dryer", "fault": "no heat", "got": float(DAY.toordinal() - 90)}
    scrapped = [dud | {"outcome": "scrapped", "salvage": 10.0}] * 27
    as_is = [dud | {"outcome": "sold", "repair": "as-is", "price": 30.0}] * 6
    for rows, share in ((scrapped, 3 / 30), (scrapped + as_is, 9 / 36)):
        numbers = SimpleNamespace(**vars(numbers_of(0)))
        numbers.repair = fit_repair(from_rows(rows), told, DAY)
        answer = ask({"price": 200}, numbers, told)
        scrap, tried = way(answer, SCRAP), way(answer, AS_IS)
        assert scrap.money == pytest.approx(10, rel=0.05)
        assert tried.money == pytest.approx(share * 40 + (1 - share) * scrap.money)
        assert tried.hours == pytest.approx(0.6 + (1 - share) * scrap.hours)


@pytest.mark.parametrize("type_name", TYPES)
def test_money_already_spent_plays_no_part(type_name: str) -> None:
    fresh, deep = (
        ask(spent, numbers_of(150), type=type_name) for spent in ({}, {"spent_money": 400.0})
    )

    assert (
        deep.ways == fresh.ways and deep.best == fresh.best and deep.quit_after == fresh.quit_after
    )
    assert deep.spent_money == 400 and fresh.spent_money is None
    view = laid_out.worded(words.view, deep, Settings())
    assert any("400" in line for line in laid_out.lines(view, more=True))


def test_hours_already_spent_change_no_way() -> None:
    fresh, deep = ask(), ask({"spent_hours": 3.0})
    assert deep.ways == fresh.ways and deep.spent_hours == 3


def test_ways_are_ranked_by_what_is_left_after_the_hours() -> None:
    answer = ask({"fix_chance": 0.1, "hours": 6}, numbers_of(150))
    worths = [one.worth for one in answer.ways]
    assert worths == sorted(worths, reverse=True)
    assert answer.best != GO_ON
    assert answer.ways[-1].name == GO_ON


def test_own_parted_units_teach_what_parts_bring() -> None:
    rows = [
        {"type": "electric dryer", "outcome": "parted", "salvage": 110.0, "fault": "dead"}
    ] * 15 + [{"type": "electric dryer", "outcome": "sold", "price": 185.0, "fault": "dead"}] * 3
    numbers = learned(from_rows(rows), Settings())
    guess, own = way(ask(), PART_OUT), way(ask(numbers=numbers), PART_OUT)
    assert guess.standing == "GUESS" and own.standing == "YOURS (15)"
    assert own.money > 3 * guess.money


def test_nobody_opens_a_sealed_system_or_a_microwave() -> None:
    for unit in (
        {"type": "top-freezer fridge", "found": "sealed system"},
        {"type": "over-the-range microwave", "fault": "dead"},
    ):
        answer = ask(**unit)
        assert all(one.name == SCRAP for one in answer.ways)
        assert answer.best == "scrap_only" and answer.quit_after == answer.fix_chance == 0


def test_told_found_changes_the_chance() -> None:
    assert (
        ask(found="tub bearings", type="front-load washer", fault="leaks").fix_chance
        < ask(type="front-load washer", fault="leaks").fix_chance
    )


def stakes_of(known: dict[str, float], own: Settings) -> costs.Stakes:
    question = Question({"type": "electric dryer", "fault": "no heat", "age": 8.0}, known)
    plans = by_plan([question], numbers_of(0), own, DAY)
    return costs.stakes([question], [8.0], numbers_of(0), own, DAY, plans)


def test_the_minute_to_quit_equals_trying_every_minute() -> None:
    """Quit after t minutes is worth: sum over minutes of P(fixed then) x money then, less the hours
    looked and the parts wasted, plus the best other way where it was not fixed by t. With one way of
    finding it the best t of all minutes is the answer of the induction.
    """
    own = replace(PLAIN, hourly_target=40.0)
    for chance, other in ((0.35, 20.0), (0.5, 5.0), (0.7, 40.0), (0.15, 10.0)):
        at = stakes_of({"price": 190, "parts": 24, "fix_chance": chance}, own)
        found = quit_looking(at, other, own)
        after = 190 - 24 - 40 * float(at.view.sell_mean[0])
        t = np.arange(0, 601) / 60
        law = stats.lognorm(np.sqrt(at.view.hours_var[0]), scale=np.exp(at.view.hours_log[0]))
        reached = chance * law.cdf(t)
        lost = (1 - chance) * float(np.ravel(at.view.waste)[0]) * 24 * np.diff(law.cdf(t))
        gain = np.concatenate([[0.0], np.cumsum(np.diff(reached) * after - lost)])
        looked = np.concatenate([[0.0], np.cumsum((1 - reached[:-1]) / 60)])
        value = gain - 40 * looked + (1 - reached) * other
        best = int(np.argmax(value))
        assert found is not None
        assert value[round(found)] == pytest.approx(value[best], abs=1e-6)


def test_a_minute_to_quit_is_named_beside_going_on_alone() -> None:
    """A way that is not the best says 0 minutes; told hours move the law of the bench."""
    own = replace(PLAIN, hourly_target=40.0)
    stops = 0
    for chance in (0.1, 0.25, 0.4, 0.6):
        for told in ({}, {"hours": 5.0}):
            answer = ask({"price": 190, "parts": 24, "fix_chance": chance} | told, own=own)
            on = way(answer, GO_ON)
            rest = max(one.worth for one in answer.ways if one.name != GO_ON)
            assert (answer.best == GO_ON) == (on.worth > rest)
            if answer.best != GO_ON:
                assert answer.quit_after == 0
            else:
                assert answer.quit_after is None or answer.quit_after > 0
                stops += answer.quit_after is not None
            assert on.worth == pytest.approx(on.money - 40 * on.hours)
    assert stops
    known = {"price": 190, "fix_chance": 0.5}
    quick, slow = (minutes(known | {"hours": hours}, 5.0, own) for hours in (1.0, 2.0))
    assert quick is not None and slow is not None and quick > slow


def test_what_was_found_takes_the_hours_of_finding_off() -> None:
    """A third of the bench hours finds it, and is behind where it is known; hours that were told
    are those still to work."""
    known = {"price": 190.0}
    blind, found = (way(ask(known, repair=repair), GO_ON) for repair in ("", "belt"))
    told = way(ask(known | {"hours": 2.0}, repair="belt"), GO_ON)
    finding = FINDING_SHARE * float(stakes_of(known, PLAIN).view.hours_mean[0])
    assert blind.hours - found.hours == pytest.approx(finding)
    assert told.hours == pytest.approx(2.0)


def minutes(known: dict[str, float], other: float, own: Settings) -> float | None:
    return quit_looking(stakes_of(known, own), other, own)


def test_quitting_comes_later_where_more_is_at_stake_and_never_where_it_cannot_pay() -> None:
    own = PLAIN
    small, large = (
        minutes({"price": price, "fix_chance": 0.5, "parts": 10}, 10.0, own) for price in (110, 400)
    )
    assert small is not None and (large is None or large > small)
    assert minutes({"price": 40, "fix_chance": 0.2, "parts": 30}, 20.0, own) == 0
    sure = {"price": 400, "fix_chance": 1.0, "parts": 10}
    assert minutes(sure, 10.0, replace(own, hourly_target=5.0)) is None


def test_the_screen_and_the_json() -> None:
    for type_name in (*TYPES, "over-the-range microwave"):
        answer = ask(
            {"spent_money": 55.0, "spent_hours": 1.5},
            numbers_of(150),
            type=type_name,
            fault="hums oddly",
        )
        lines = laid_out.lines(laid_out.worded(words.view, answer, Settings(), short=True))
        more = laid_out.lines(laid_out.worded(words.view, answer, Settings()), more=True)
        assert len(lines) <= 8 and all(len(line) <= 60 for line in lines + more)
        if answer.verdict.dangers:
            assert " ".join(lines).startswith(answer.verdict.dangers[0].short)
        data = json.loads(json.dumps(answer.as_dict(), allow_nan=False))
        assert data["advice"] == (data["decision"] or data["ways"][0]["name"])
        assert data["spent"] == {"money": 55.0, "hours": 1.5}
        assert any("hums oddly" in line for line in data["warnings"])
