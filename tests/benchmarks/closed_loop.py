"""Buy by `offer`, sell by `ask`'s own plan: what the two decisions bring together, in invented
worlds with a known truth.

    python tests/benchmarks/closed_loop.py BENCH [--n 100] [--seeds 0:4] [--shapes linear,bent,crossed]

BENCH: folder with `worlds.py` and `run.py` (its SETTINGS). Of each world's calls those with a known
age; a call is bought where its limit reaches the price; once fixed (by the repair that it really
needs) it is listed by the plan, storage and clearing counted, and hours at what the settings say an
hour costs. What the offer says to leave as it is brings the world's scrap and no bench hours: these
worlds have no market for broken ones. Printed, pooled over worlds, with standard errors by leaving
one world out: bought units that are worth less than nothing so counted, worth gained of the
possible (an all-knowing buyer who fixes or scraps and sells by the same plan; calls that a danger
bars are nobody's), and the gain that the offers stated over what came. A second line does what the
bench says once it is seen what a unit needs: it goes on, or stops after the time of finding out;
its all-knowing buyer stops too. --keep FILE adds the worlds' sums to a table, so that two trees can
be compared on the same worlds.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
import argparse
import importlib
import sys
import tempfile
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import pandas as pd

from pricing.advice import ask, bench, listing, offer
from pricing.basis.home import Home
from pricing.basis.question import Question
from pricing.basis.settings import load_settings
from pricing.formulas.exits import FINDING_SHARE
from pricing.formulas.limit import HAUL
from pricing.model import saved
from pricing.pipeline import adding, question_from
from pricing.pipeline.fitting import fit


def measure(shape: str, n: int, seed: int, folder: Path) -> dict[str, Any]:
    """One world: bought, under, gained, possible, stated, came."""
    worlds, run = importlib.import_module("worlds"), importlib.import_module("run")
    w = worlds.World(1000 * n + seed, shape)
    history = w.history(n)
    today = (worlds.START + pd.Timedelta(days=int(w.last_day) + 1)).date()
    calls, _ = w.calls(300)
    (folder / "pricing.toml").write_text(run.SETTINGS)
    history.to_csv(folder / "history.csv", index=False)
    calls = calls[calls.age.notna()].reset_index(drop=True)
    calls.to_csv(folder / "calls.csv", index=False)
    home = Home(folder)
    settings = load_settings(home)
    adding.add(home, folder / "history.csv", settings, today)
    fit(home, settings, today)
    numbers = saved.load(home)
    asked = question_from.from_file(folder / "calls.csv", settings, today)
    each = [one for one in asked if isinstance(one, Question)]
    if len(each) != len(calls):
        raise SystemExit(f"{len(calls) - len(each)} calls were not read")
    answers = offer.decide_many(each, numbers, settings, today)
    ways = truth(worlds, w, calls, each, numbers, settings, today)
    theirs = calls.their_price.to_numpy()
    worths = [money - settings.hour_worth * hours - theirs for money, hours in ways]
    tries = np.array([one.tries for one in answers])
    barred = np.array([one.verdict.decision != "" for one in answers])
    bought = np.array([one.advice == HAUL for one in answers])
    keeping = np.array(
        [-dict(one.because).get("keeping it until it sells", 0.0) for one in answers]
    )
    stated = np.array([one.expected_gain for one in answers]) - keeping
    found = {"shape": shape, "seed": seed, "n": n, "bought": float(bought.sum())}
    found["stated"] = float(stated[bought].sum())
    for name, done, best in (("", 0, 0), ("stops ", 2, 3)):
        worth = np.where(tries, worths[done], worths[1])
        gain = np.where(tries, ways[done][0], ways[1][0])
        most = np.where(barred, 0.0, np.maximum(worths[best], worths[1]))
        found |= {
            f"{name}under": float((worth[bought] < 0).sum()),
            f"{name}gained": float(worth[bought].sum()),
            f"{name}possible": float(most[most > 0].sum()),
            f"{name}came": float((gain - theirs)[bought].sum()),
        }
    return found


def truth(
    worlds: Any, w: Any, calls: pd.DataFrame, each: list[Question], numbers: Any, settings: Any,
    today: date,
) -> tuple[tuple[np.ndarray, np.ndarray], ...]:  # fmt: skip
    """What each call truly brings before its price, money and hours, the repair it needs summed
    out: fixed and sold by the plan, after storage and clearing; scrapped as it is; fixed where the
    bench goes on with what it found; and where that is truly worth more."""
    needs = [
        (i, repair, chance)
        for i, fault in enumerate(calls.fault)
        for repair, chance in zip(worlds.FAULTS[fault], w.p_repair[fault], strict=True)
    ]
    owner = np.array([i for i, _, _ in needs])
    repairs, chance = [r for _, r, _ in needs], np.array([c for _, _, c in needs])
    rows = calls.iloc[owner]
    drawn = {
        "ty": np.array([worlds.TYPES.index(name) for name in rows.type]),
        "mk": np.array([worlds.MAKERS.index(name) for name in rows.maker]),
        "age": rows.age.to_numpy(),
        "cond": np.array([worlds.CONDITIONS.index(name) for name in rows.condition]),
        "features": np.array(
            [[float(f in str(x).split("; ")) for f in worlds.FEATURES] for x in rows.features]
        ),
        "repair": np.array(repairs),
        "channel": np.zeros(len(owner), dtype=int),
    }
    market = worlds.Market(w, drawn)
    fixed = [
        replace(
            each[i],
            unit={k: v for k, v in each[i].unit.items() if k != "fault"} | {"repair": repair},
            known={},
        )
        for i, repair, _ in needs
    ]
    view = ask.look(fixed, numbers, settings, today)
    plans = []
    for place, one in enumerate(fixed):
        terms, _ = ask.terms_of(one, view, place, numbers, settings)
        found = listing.best(view.demands[place], terms)
        plans.append(list(zip(found.starts.tolist(), found.asks.tolist(), strict=True)))
    sold = market.value(plans)
    ok = w.fix_chance(repairs, drawn["age"])
    mean = np.exp(0.045)  # of the lognormal spread of parts and hours
    part = np.array([w.parts[r] for r in repairs]) * mean
    hour = np.array([w.hours[r] for r in repairs]) * mean
    money = ok * (sold - part) + (1 - ok) * (w.scrap[drawn["ty"]] - 0.5 * part)
    work = ok * (hour + 0.6) + (1 - ok) * (0.8 * hour + 0.2)
    looked = [
        replace(one, unit=one.unit | {"found": repair})
        for one, (_, repair, _) in zip((each[i] for i in owner), needs, strict=True)
    ]
    said = [bench.decide(one, numbers, settings, today).best == bench.GO_ON for one in looked]
    n, miles = len(calls), calls.miles.to_numpy()
    drive, on_road = 2 * miles * worlds.MILE, 2 * miles / worlds.SPEED
    kinds = np.array([worlds.TYPES.index(name) for name in calls.type])
    stop = (w.scrap[drawn["ty"]], FINDING_SHARE * hour + 0.2)
    truly = money - settings.hour_worth * work >= stop[0] - settings.hour_worth * stop[1]

    def over(on: Any) -> tuple[np.ndarray, np.ndarray]:
        each_way = (np.where(on, done, off) for done, off in zip((money, work), stop, strict=True))
        brings, takes = (np.bincount(owner, chance * one, n) for one in each_way)
        return brings - drive, takes + on_road

    left = (w.scrap[kinds] - drive, 0.2 + on_road)
    return over(True), left, over(np.array(said)), over(truly)


def figures(table: pd.DataFrame, name: str) -> pd.Series:
    total = table.select_dtypes("number").sum()
    return pd.Series(
        {
            "under what an hour costs": total[f"{name}under"] / total.bought,
            "gained of the possible": total[f"{name}gained"] / total[f"{name}possible"],
            "stated over came": total.stated / total[f"{name}came"],
        }
    )


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("bench")
    parser.add_argument("--n", default="100")
    parser.add_argument("--seeds", default="0:4")
    parser.add_argument("--shapes", default="linear,bent,crossed")
    parser.add_argument("--keep")
    told = parser.parse_args()
    sys.path.insert(0, told.bench)
    low, high = map(int, told.seeds.split(":"))
    for n in map(int, told.n.split(",")):
        rows = []
        for shape in told.shapes.split(","):
            for seed in range(low, high):
                with tempfile.TemporaryDirectory() as folder:
                    rows.append(measure(shape, n, seed, Path(folder)))
        table, k = pd.DataFrame(rows), len(rows)
        if told.keep:
            table.to_csv(told.keep, mode="a", header=not Path(told.keep).exists(), index=False)
        for name in ("", "stops "):
            found = figures(table, name)
            part = pd.DataFrame([figures(table.drop(i), name) for i in table.index])
            error = np.sqrt((k - 1) / k * ((part - part.mean()) ** 2).sum())
            said = "  ".join(f"{one} {found[one]:.3f} ±{error[one]:.3f}" for one in found.index)
            print(f"n={n}  {k} worlds, {name}{int(table.bought.sum())} bought: {said}", flush=True)


if __name__ == "__main__":
    main()
