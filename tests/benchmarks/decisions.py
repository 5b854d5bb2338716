"""Price, buying and listing in invented worlds with a known truth, inside one process (the same
stories as the commands, without their start-up).

    python tests/benchmarks/decisions.py BENCH [--n 25,50,100,250] [--seeds 0:20] [--shapes
        linear,bent,crossed] [--cache DIR] [--price-only] [--out cells.csv]

BENCH: folder with `worlds.py`, `known_law.py` and `run.py` (its SETTINGS, yardsticks and scores are
used as they are). The known law is a posterior that is told the law the worlds are drawn from:
about the limit for anyone who must learn. Printed for the same worlds, with
standard errors over worlds: price error and interval score over the known law's, coverage, and what
was gained in buying and in listing.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
import argparse
import importlib
import pickle
import sys
import tempfile
import time
import tomllib
import warnings
from datetime import date
from pathlib import Path
from types import ModuleType
from typing import Any

import numpy as np
import pandas as pd

from pricing.basis.home import Home
from pricing.basis.problems import Problem
from pricing.basis.settings import Settings, read_settings
from pricing.basis.units import Units
from pricing.ingest import Answers
from pricing.model import saved
from pricing.model.price import price, price_fit
from pricing.pipeline import adding, asking, offering
from pricing.pipeline.fitting import fit
from pricing.pipeline.frames import to_units

WAYS = ("known law", "ridge (cv)")
QUESTION = ["type", "maker", "age", "condition", "features", "repair", "sold_where"]


def world_of(
    run: ModuleType, shape: str, n: int, seed: int, cache: Path | None
) -> dict[str, Any] | None:
    """One world with its questions and the answers of the yardsticks; None where it has fewer than
    three sales."""
    kept = cache / f"{shape}-{n}-{seed}.pkl" if cache else None
    if kept is not None and kept.exists():
        found: dict[str, Any] = pickle.loads(kept.read_bytes())  # our own file of a moment ago
        return found
    worlds = importlib.import_module("worlds")
    w = worlds.World(1000 * n + seed, shape)
    h = w.history(n)
    if (h["outcome"] == "sold").sum() < 3:
        return None
    day = (worlds.START + pd.Timedelta(days=int(w.last_day) + 1)).strftime("%Y-%m-%d")
    (u, tu), (c, tc), (listed, market) = w.sales(200), w.calls(300), w.listings(200)
    ways = run.yardsticks()
    answers = {name: ways[name](w, h, u, c, listed) for name in WAYS}
    found = {
        "w": w,
        "h": h,
        "day": day,
        "u": u,
        "tu": tu,
        "c": c,
        "tc": tc,
        "l": listed,
        "market": market,
        "best": market.best(),
        "res": answers,
    }
    if kept is not None:
        kept.write_bytes(pickle.dumps(found))
    return found


def settings_of(run: ModuleType) -> Settings:
    settings, problems = read_settings(tomllib.loads(run.SETTINGS))
    if problems:
        raise SystemExit("\n".join(map(str, problems)))
    return settings


def whole(world: dict[str, Any], settings: Settings) -> dict[str, Any]:
    """The answers by the stories: add, fit, ask, offer."""
    day = date.fromisoformat(world["day"])
    with tempfile.TemporaryDirectory() as folder:
        home = Home(Path(folder))
        paths = {name: home.path / f"{name}.csv" for name in ("history", "u", "c", "l")}
        for name, frame in (
            ("history", world["h"]),
            ("u", world["u"].drop(columns=["price", "sold"])),
            ("c", world["c"]),
            ("l", world["l"]),
        ):
            frame.to_csv(paths[name], index=False)
        adding.add(home, paths["history"], settings, day, Answers())
        begun = time.perf_counter()
        fit(home, settings, day)
        seconds = time.perf_counter() - begun
        numbers = saved.load(home)
        asked, listed = (
            asking.ask_file(paths[name], numbers, settings, day) for name in ("u", "l")
        )
        offers = offering.offer_file(paths["c"], numbers, settings, day)
    for one in (*asked, *offers, *listed):
        if isinstance(one, Problem):
            raise SystemExit(str(one))
    prices, limits, plans = ([one.as_dict() for one in part] for part in (asked, offers, listed))
    return {
        **{
            name: np.array([row[name] for row in prices], dtype=float)
            for name in ("median", "low", "high")
        },
        "limit": np.array(
            [-1.0 if row["advice"].startswith("pass") else row["pay_up_to"] for row in limits],
            dtype=float,
        ),
        "plans": [
            [
                (0, float(row["ask"])),
                *(
                    ((date.fromisoformat(step["date"]) - day).days, float(step["ask"]))
                    for step in row["plan"]
                ),
            ]
            for row in plans
        ],
        "fit_s": seconds,
        "add_s": 0.0,
    }


def _units(frame: pd.DataFrame, settings: Settings) -> Units:
    days = [name for name in ("got", "listed", "sold") if name in frame]
    return to_units(
        frame.assign(**{name: pd.to_datetime(frame[name]) for name in days}), settings, True
    )


def price_only(world: dict[str, Any], settings: Settings) -> dict[str, Any]:
    """The price model alone; buying and listing are taken from the known law, so that only the
    price columns mean anything."""
    day = date.fromisoformat(world["day"])
    begun = time.perf_counter()
    model = price_fit.fit_price(_units(world["h"], settings), settings, day)
    seconds = time.perf_counter() - begun
    law = price.law(model, _units(world["u"][QUESTION], settings), day.toordinal())
    low, high = price.range_of(law, 0.8)
    known = world["res"]["known law"]
    return {
        "median": np.exp(law.center),
        "low": low,
        "high": high,
        "limit": known["limit"],
        "plans": known["plans"],
        "fit_s": seconds,
        "add_s": 0.0,
    }


def report(table: pd.DataFrame) -> list[str]:
    """Ours over the known law in the same worlds, as Markdown."""
    keys = ["shape", "n", "seed"]
    law, me = (
        table[table["way"] == "known law"].set_index(keys),
        table[table["way"] == "ours"].set_index(keys),
    )
    head = [
        "n",
        "worlds",
        "price / known law",
        "interval score / known law",
        "coverage",
        "blank ages",
        "buy: ours less known law",
        "list: the same",
        "fit, s",
    ]
    lines = ["| " + " | ".join(head) + " |", "|---" * len(head) + "|"]
    for n in sorted({key[1] for key in me.index}):
        for shape in ["all", *sorted({key[0] for key in me.index})]:
            rows = [key for key in me.index if key[1] == n and shape in ("all", key[0])]
            a, b = me.loc[rows], law.loc[rows]
            cells = [
                str(n),
                f"{len(rows)} {shape}",
                *(_ratio(a[name], b[name]) for name in ("err", "int")),
            ]
            cells += [
                f"{a['coverage'].mean():.3f} ± {a['coverage'].std() / len(a) ** 0.5:.3f}",
                f"{a['cover_blank'].mean():.3f}",
            ]
            cells += [
                _share(a[x], b[x], b[whole_of])
                for x, whole_of in (("gain", "all_gain"), ("worth", "all_worth"))
            ]
            lines.append("| " + " | ".join([*cells, f"{a['fit_s'].median():.2f}"]) + " |")
    return lines


def _ratio(a: pd.Series, b: pd.Series) -> str:
    logs = np.log(a / b)
    mean = float(np.exp(logs.mean()))
    return f"{mean:.3f} ± {mean * logs.std() / len(logs) ** 0.5:.3f}"


def _share(a: pd.Series, b: pd.Series, all_: pd.Series) -> str:
    """Difference of pooled shares, its standard error by leaving one world out."""
    pooled = (a.sum() - b.sum()) / all_.sum()
    left = (a.sum() - a - b.sum() + b) / (all_.sum() - all_)
    return (
        f"{pooled:+.3f} ± {np.sqrt((len(a) - 1) / len(a) * ((left - left.mean()) ** 2).sum()):.3f}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("bench", type=Path)
    parser.add_argument("--n", default="25,50,100,250")
    parser.add_argument("--seeds", default="0:20")
    parser.add_argument("--shapes", default="linear,bent,crossed")
    parser.add_argument("--cache", type=Path)
    parser.add_argument("--price-only", action="store_true")
    parser.add_argument("--out", type=Path)
    options = parser.parse_args()
    warnings.simplefilter("ignore")
    pd.set_option(
        "future.infer_string", False
    )  # the bench's own code indexes words as numpy arrays
    sys.path.insert(0, str(options.bench))
    run = importlib.import_module("run")
    settings = settings_of(run)
    low, high = map(int, options.seeds.split(":"))
    rows = []
    for n in map(int, options.n.split(",")):
        for shape in options.shapes.split(","):
            for seed in range(low, high):
                world = world_of(run, shape, n, seed, options.cache)
                if world is None:
                    continue
                answers = {name: world["res"][name] for name in WAYS} | {
                    "ours": (price_only if options.price_only else whole)(world, settings)
                }
                parts = [world[name] for name in ("u", "tu", "c", "tc", "market", "best")]
                rows += [
                    {"shape": shape, "n": n, "seed": seed, "way": name} | run.score(answer, *parts)
                    for name, answer in answers.items()
                ]
        print("\n".join(report(pd.DataFrame([row for row in rows if row["n"] == n]))), flush=True)
    if options.out:
        pd.DataFrame(rows).to_csv(options.out, index=False)


if __name__ == "__main__":
    main()
