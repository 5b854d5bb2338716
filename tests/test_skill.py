"""How people differ at the bench: closed forms, the mode, a known truth, and that a record of one
is untouched."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

import numpy as np
import pytest
from invented_sales import DAY, PLAIN

from pricing.basis.units import from_rows
from pricing.model import numbers
from pricing.model.fold import over
from pricing.model.repair import outlook, repair, skill, skill_fit
from pricing.model.repair.pooled_fit import PULL
from pricing.model.repair.repair import RepairModel
from pricing.model.repair.repair_fit import fit_repair
from pricing.model.repair.skill import NO_PEOPLE

BINS, WIDTH = skill_fit.BINS, skill_fit.WIDTH
KINDS = (
    ("electric dryer", "no heat", "belt"),
    ("dishwasher", "leaks", "pump"),
    ("gas range", "no flame", "igniter"),
)


def bench(
    counts: Mapping[str, int],
    seed: int,
    fix_sd: float = skill.FIX_SD,
    hours_sd: float = skill.HOURS_SD,
) -> tuple[list[dict[str, Any]], dict[str, tuple[float, float]]]:
    """Invented bench work of several people, each with a shift of the log odds to fix (about 8 of
    10) and of ln hours (about 1.5 h, one unit's sd .4), and those shifts."""
    rng = np.random.default_rng(seed)
    shifts = {
        name: (float(rng.normal(0, fix_sd)), float(rng.normal(0, hours_sd))) for name in counts
    }
    rows = []
    for name, n in counts.items():
        for k in range(n):
            kind, fault, done = KINDS[int(rng.integers(3))]
            fixed = rng.random() < 1 / (1 + np.exp(-1.4 - shifts[name][0]))
            hours = float(np.exp(np.log(1.5) + shifts[name][1] + rng.normal(0, 0.4)))
            day = float(DAY.toordinal() - 300 + k)
            row = {
                "unit": f"{name}{k}",
                "owner": name,
                "type": kind,
                "fault": fault,
                "repair": done,
                "diagnose_min": 20.0,
                "repair_min": hours * 60 - 20,
                "got": day,
            }
            rows.append(
                row
                | (
                    {"outcome": "sold", "price": 200.0, "sold": day + 20}
                    if fixed
                    else {"outcome": "scrapped", "sold": day + 5}
                )
            )
    return rows, shifts


def sums(**people: tuple[float, float, float]) -> dict[str, np.ndarray]:
    """Sums of ln hours beside the group's, by person, nothing tried."""
    return {
        name: np.concatenate([np.array(three), np.zeros(2 * BINS)])
        for name, three in people.items()
    }


def test_hours_by_the_closed_form() -> None:
    """Two people, four units each, .3 slower and .3 quicker: kept is n t^2 / (n t^2 + s^2) at the
    learned scales, and those fit their own equations."""
    start = repair.nothing_learned()
    found = skill_fit.fitted(start, sums(ann=(4.0, 1.2, 0.44), bo=(4.0, -1.2, 0.44)))
    t, s = found.skill.hours_sd, found.hours.sigma
    kept = 4 * t**2 / (4 * t**2 + s**2)

    assert found.skill.names == ("ann", "bo")
    assert found.skill.hours[:, 0] == pytest.approx([0.3 * kept, -0.3 * kept], rel=1e-6)
    assert found.skill.hours[:, 1] == pytest.approx([s**2 * kept / 4] * 2, rel=1e-6)
    mean, variance = found.skill.hours[0]
    assert t**2 == pytest.approx(
        (2 * (mean**2 + variance) + PULL * skill.HOURS_SD**2) / (2 + PULL), rel=1e-6
    )
    left = 2 * (0.44 - 2 * mean * 1.2 + 4 * (mean**2 + variance))
    assert s**2 == pytest.approx((left + PULL * start.hours.sigma**2) / (8 + PULL), rel=1e-4)


def test_fixes_by_a_direct_sum() -> None:
    """Mean and variance of each person's shift by adaptive quadrature of the same posterior, at the
    learned spread, which fits its own equation."""
    from scipy.integrate import quad

    group = replace(repair.nothing_learned(), n_failed=30, n_ended=100)
    at = BINS // 2 + 5
    table = sums(ann=(0.0, 0.0, 0.0), bo=(0.0, 0.0, 0.0))
    for name, done in (("ann", 48.0), ("bo", 22.0)):
        table[name][3 + at], table[name][3 + BINS + at] = 50.0, done
    found = skill_fit.fitted(group, table).skill
    odds = (at - BINS / 2 + 0.5) * WIDTH
    for place, done in enumerate((48.0, 22.0)):

        def density(a: float, power: int, done: float = done) -> float:
            return float(
                a**power
                * np.exp(
                    done * (odds + a)
                    - 50 * np.log1p(np.exp(odds + a))
                    - a**2 / (2 * found.fix_sd**2)
                    + 40
                )
            )

        total, first, second = (
            quad(density, -6, 6, args=(power,), epsabs=0, epsrel=1e-10, limit=200)[0]
            for power in range(3)
        )
        assert found.fix[place] == pytest.approx(
            [first / total, second / total - (first / total) ** 2], abs=1e-6
        )
    assert found.fix[1, 0] < 0 < found.fix[0, 0]
    assert found.fix_sd**2 == pytest.approx(
        (np.sum(found.fix[:, 0] ** 2 + found.fix[:, 1]) + PULL * skill.FIX_SD**2) / (2 + PULL),
        rel=1e-6,
    )


@pytest.mark.parametrize("who", [None, "ann"])
def test_a_record_of_one_is_untouched(who: str | None) -> None:
    rows, _ = bench({"x": 60}, 1)
    without, named = (
        fit_repair(from_rows([row | {"owner": name} for row in rows]), PLAIN, DAY)
        for name in (None, who)
    )
    assert named.skill is NO_PEOPLE
    assert numbers.plain(repair.as_numbers(named)) == numbers.plain(repair.as_numbers(without))
    assert "skill" not in repair.as_numbers(named)


@pytest.fixture(scope="module")
def club() -> tuple[RepairModel, list[dict[str, Any]], dict[str, tuple[float, float]]]:
    rows, shifts = bench({f"p{k:02d}": 40 for k in range(12)}, 3)
    return fit_repair(from_rows(rows), PLAIN, DAY), rows, shifts


def ahead(model: RepairModel, owner: str | None) -> outlook.Outlook:
    return outlook.outlook(
        model,
        [
            {
                "type": "electric dryer",
                "fault": "no heat",
                "repair": "belt",
                "age": 7.0,
                "owner": owner,
            }
        ],
        PLAIN,
    )


def test_asked_as_a_person(
    club: tuple[RepairModel, list[dict[str, Any]], dict[str, tuple[float, float]]],
) -> None:
    """The slowest takes longer than the group, the ablest fixes more; a stranger is answered as the
    group, with the spread between people on top."""
    model, _, shifts = club
    slowest, ablest = (
        max(shifts, key=lambda name: shifts[name][1]),
        max(shifts, key=lambda name: shifts[name][0]),
    )
    stranger, nobody = ahead(model, "zoe"), ahead(model, None)

    assert ahead(model, slowest).hours_log[0] > stranger.hours_log[0] + 0.1
    assert ahead(model, ablest).fix[0] > stranger.fix[0] + 0.02
    assert stranger.hours_log[0] == nobody.hours_log[0] and stranger.fix[0] == nobody.fix[0]
    assert (
        stranger.hours_var[0] - ahead(model, slowest).hours_var[0] > 0.6 * model.skill.hours_sd**2
    )
    assert stranger.hours_known[0] < ahead(model, slowest).hours_known[0]


@pytest.mark.parametrize("who", ["p03", "zoe"])
def test_alone_answers_the_same_and_names_no_one(
    club: tuple[RepairModel, list[dict[str, Any]], dict[str, tuple[float, float]]], who: str
) -> None:
    model, _, _ = club
    text = json.dumps(
        numbers.plain(repair.as_numbers(replace(model, skill=skill.alone(model.skill, who)))),
        allow_nan=False,
    )
    assert "p03" not in text
    # the coefficients of the group are saved with nine digits: both sides are read back
    group = repair.from_numbers(json.loads(json.dumps(numbers.plain(repair.as_numbers(model)))))
    alone = repair.from_numbers(json.loads(text))
    here, there = ahead(alone, "p07"), ahead(group, who)
    for name in ("fix", "hours_log", "hours_var", "fix_known", "hours_known", "parts_log"):
        assert getattr(here, name).tolist() == getattr(there, name).tolist()


def test_blocks_of_units_give_the_same(
    club: tuple[RepairModel, list[dict[str, Any]], dict[str, tuple[float, float]]],
) -> None:
    model, rows, _ = club
    blocks = [from_rows(rows[k : k + 77]) for k in range(0, len(rows), 77)]
    bare = replace(model, skill=NO_PEOPLE)
    one, many = (
        skill_fit.with_people(bare, over(units), PLAIN, DAY).skill
        for units in (from_rows(rows), blocks)
    )
    assert one.names == many.names
    assert one.hours == pytest.approx(many.hours, abs=1e-9)
    assert one.fix == pytest.approx(many.fix, abs=1e-9)


@pytest.mark.parametrize(
    ("name", "value"),
    [("fix", [[0.0, -1.0]]), ("anyone", [0.0]), ("hours_sd", float("nan")), ("names", "ann")],
)
def test_tampered_numbers_are_refused(name: str, value: Any) -> None:
    data = {
        "names": ["ann"],
        "fix": [[0.1, 0.2]],
        "hours": [[0.1, 0.2]],
        "anyone": [0.0, 0.1, 0.0, 0.1],
        "fix_sd": 0.3,
        "hours_sd": 0.3,
    }
    assert skill.from_numbers(data).names == ("ann",)
    with pytest.raises(numbers.Damaged):
        skill.from_numbers(data | {name: value})


def test_known_truth() -> None:
    """Seeded: thirty records of 14 people with 40 units and 6 with 6, shifts drawn at the labelled
    spreads.

    For those with six units ln hours are estimated better pooled than as the group, and than from
    the six alone, by more than two standard errors of the paired difference over the people; the 80
    % range of the shift holds .80 +- (.02 + 2 s.e. over the records, whose people share a learned
    spread) of all people. What is compared there is the shift beside the people's mean, which the
    record cannot tell from the group's own level.
    """
    errors: list[list[float]] = []
    inside: dict[str, list[float]] = {"fix": [], "hours": []}
    asked = [
        {"type": kind, "fault": fault, "repair": done, "age": 6.5} for kind, fault, done in KINDS
    ]
    for seed in range(30):
        few = {f"s{k}": 6 for k in range(6)}
        counts = {f"p{k:02d}": 40 for k in range(14)} | few
        rows, shifts = bench(counts, seed + 20)
        found = fit_repair(from_rows(rows), PLAIN, DAY)
        for name in few if seed < 8 else ():
            own = fit_repair(from_rows([row for row in rows if row["owner"] == name]), PLAIN, DAY)
            told = [
                outlook.outlook(model, [unit | {"owner": owner} for unit in asked], PLAIN).hours_log
                for model, owner in ((found, name), (found, None), (own, name))
            ]
            errors.append(
                [float(np.abs(one - np.log(1.5) - shifts[name][1]).mean()) for one in told]
            )
        weights = np.array([counts[name] for name in found.skill.names], dtype=float)
        truth = np.array([shifts[name] for name in found.skill.names])
        truth = truth - weights @ truth / weights.sum()
        for k, (what, table) in enumerate((("fix", found.skill.fix), ("hours", found.skill.hours))):
            inside[what].append(
                float(np.mean(np.abs(table[:, 0] - truth[:, k]) <= 1.2816 * np.sqrt(table[:, 1])))
            )
    table = np.array(errors)
    print(
        "ln hours of people with six units: pooled {:.3f}, as the group {:.3f}, alone {:.3f}".format(
            *table.mean(0)
        )
    )
    print(
        f"80 % range of the shift holds: fix {np.mean(inside['fix']):.3f}, hours"
        f" {np.mean(inside['hours']):.3f} of {20 * 30}"
    )

    for other in (1, 2):
        gain = table[:, other] - table[:, 0]
        assert gain.mean() > 2 * gain.std(ddof=1) / np.sqrt(len(gain))
    for held in inside.values():
        assert abs(np.mean(held) - 0.8) < 0.02 + 2 * np.std(held, ddof=1) / np.sqrt(len(held))
