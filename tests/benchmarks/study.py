"""How near the price model comes to a learner that is given the law of the simulated ledgers.

    python tests/benchmarks/study.py STUDY [--seeds 900:908] [--truths linear,hard] [--n
        25,50,100,250] [--cache DIR] [--out cells.csv]

STUDY: folder with `simulate.py` (ledgers with a known law) and `eb.py` (FLOOR: the same kind of
model given that law, nothing tuned).
For each ledger: the first n sales are learned from, the next 100 are predicted from a model that
stays as it is. Printed with standard
errors over ledgers: the geometric mean of the paired ratio to FLOOR of the mean absolute error of
ln price and of the interval score of the 80 % range, the coverage, and the same by truth, for blank
ages and for types with few sales.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
import argparse
import importlib
import pickle
import sys
import time
import warnings
from datetime import date
from pathlib import Path

import numpy as np
import pandas as pd

import pricing
from pricing.model.price import price
from pricing.pipeline.frames import to_units

CONDITION = {"A": "like new", "B": "good", "C": "fair", "D": "rough"}
TIER = {"budget": "plain", "mid": "middle", "premium": "upper"}
FEATURES = {"cap_large": "large capacity", "steam": "steam", "stacked": "stacked"}
TESTED = 100
START = pd.Timestamp("2021-03-01")


def sales_table(ledger: pd.DataFrame) -> pd.DataFrame:
    """A simulated ledger in our columns; the study's grades, tiers and 0/1 features by our
    words."""
    features = [
        "; ".join(word for name, word in FEATURES.items() if row[name])
        for row in ledger[list(FEATURES)].to_dict("records")
    ]
    return pd.DataFrame(
        {
            "type": ledger["type"],
            "maker": ledger["maker"],
            "tier": ledger["tier"].map(TIER),
            "age": ledger["age"],
            "condition": ledger["condition"].map(CONDITION),
            "features": features,
            "fuel": ledger["fuel"],
            "finish": ledger["finish"],
            "repair": ledger["repair"].where(ledger["repair"] != "none", ""),
            "sold_where": ledger["channel"],
            "sold": START + pd.to_timedelta((ledger["month_f"] * 30.4375).astype(int), unit="D"),
            "price": ledger["price"],
            "outcome": "sold",
        }
    )


def settings_table(
    families: dict[str, str], anchors: dict[str, float] | None = None
) -> dict[str, object]:
    """The study's types are not the trade's: each with its family, one price for all, and the
    prototype's loss with age (-.50 per five years)."""
    table: dict[str, object] = {
        "assumed": {
            "types": {
                name: {"family": family, "price": 150.0, "slope_5y": -0.50}
                for name, family in families.items()
            }
        }
    }
    if anchors:
        table["usual_price"] = anchors
    return table


def interval_score(y: np.ndarray, low: np.ndarray, high: np.ndarray) -> np.ndarray:
    return high - low + 10 * (np.maximum(low - y, 0) + np.maximum(y - high, 0))


def scored(
    test: pd.DataFrame, center: np.ndarray, low: np.ndarray, high: np.ndarray, few: np.ndarray
) -> dict[str, float]:
    """Figures of one way on one ledger, all of ln price."""
    y, blank = test["y"].to_numpy(), test["age"].isna().to_numpy()
    inside = (y >= low) & (y <= high)
    error = np.abs(y - center)
    out = {
        "mae": error.mean(),
        "bias": float((center - y).mean()),
        "wink": interval_score(y, low, high).mean(),
        "cov": inside.mean(),
    }
    for name, rows in (("blank", blank), ("few", few)):
        out |= {
            f"mae_{name}": error[rows].mean() if rows.any() else np.nan,
            f"cov_{name}": inside[rows].mean() if rows.any() else np.nan,
        }
    return out


def ours(
    train: pd.DataFrame, test: pd.DataFrame, families: dict[str, str], switches: dict[str, object]
) -> tuple[np.ndarray, np.ndarray, np.ndarray, float]:
    """Center, low and high of ln price, and the seconds of the fit."""
    sales, asked = sales_table(train), sales_table(test)
    begun = time.perf_counter()
    model = pricing.fit(
        sales, settings_table(families), as_of=sales["sold"].max().date(), **switches
    )
    seconds = time.perf_counter() - begun
    days = np.array([date.toordinal(day) for day in asked["sold"].dt.date], dtype=float)
    law = price.law(
        model.numbers,
        to_units(asked.drop(columns=["price", "sold", "outcome"]), model.settings, True),
        days,
    )
    low, high = price.range_of(law, 0.8)
    return law.center, np.log(low), np.log(high), seconds


def cell(
    study: Path, seed: int, truth: str, n: int, cache: Path | None, switches: dict[str, object]
) -> list[dict[str, object]]:
    """FLOOR and the model on one ledger."""
    simulate, eb = importlib.import_module("simulate"), importlib.import_module("eb")
    kept = cache / f"{truth}-{n}-{seed}.pkl" if cache else None
    if kept is not None and kept.exists():
        train, test, floor = pickle.loads(kept.read_bytes())  # our own file of a moment ago
    else:
        ledger, _ = simulate.make(seed, n + TESTED, truth)
        train, test = ledger[:n].reset_index(drop=True), ledger[n:].reset_index(drop=True)
        known = eb.EBLedger(over=eb.SIM(truth), fixnu=8.0, calib=False).fit(
            train, train["y"].to_numpy()
        )
        floor = (known.predict(test), *known.interval(test))
        if kept is not None:
            kept.write_bytes(pickle.dumps((train, test, floor)))
    few = test["type"].map(train["type"].value_counts()).fillna(0).to_numpy() <= 4
    rows = [{"seed": seed, "truth": truth, "n": n, "way": "floor"} | scored(test, *floor, few)]
    center, low, high, seconds = ours(
        train, test, {name: row[0] for name, row in simulate.FAMILY.items()}, switches
    )
    rows.append(
        {"seed": seed, "truth": truth, "n": n, "way": "ours", "seconds": seconds}
        | scored(test, center, low, high, few)
    )
    oracle = (test["o_med"].to_numpy(), test["o_q10"].to_numpy(), test["o_q90"].to_numpy())
    rows.append(
        {"seed": seed, "truth": truth, "n": n, "way": "oracle"} | scored(test, *oracle, few)
    )
    return rows


def paired(table: pd.DataFrame, figure: str) -> tuple[float, float]:
    """Geometric mean of ours / floor over ledgers, and its standard error."""
    wide = table.pivot_table(
        index=["seed", "truth", "n"], columns="way", values=figure, dropna=False
    )
    logs = np.log(wide["ours"] / wide["floor"]).dropna()
    ratio = float(np.exp(logs.mean()))
    return ratio, ratio * float(logs.std() / np.sqrt(len(logs))) if len(logs) > 1 else np.nan


def report(table: pd.DataFrame) -> list[str]:
    """The tables that are printed and written, as Markdown."""
    head = [
        "n",
        "truth",
        "ledgers",
        "error / floor",
        "interval score / floor",
        "coverage (floor)",
        "blank ages: error / floor",
    ]
    head += ["coverage (floor)", "few of the type: error / floor", "coverage", "bias", "fit, s"]
    lines = ["| " + " | ".join(head) + " |", "|---" * len(head) + "|"]
    for n, at_n in table.groupby("n"):
        for truth, part in [("all", at_n), *at_n.groupby("truth")]:
            me, floor = part[part["way"] == "ours"], part[part["way"] == "floor"]
            ratio = {
                f: "{:.3f} ± {:.3f}".format(*paired(part, f))
                for f in ("mae", "wink", "mae_blank", "mae_few")
            }
            spread = me["cov"].std() / max(len(me), 1) ** 0.5
            cells = [
                str(n),
                str(truth),
                str(len(me)),
                ratio["mae"],
                ratio["wink"],
                f"{me['cov'].mean():.3f} ± {spread:.3f} ({floor['cov'].mean():.3f})",
            ]
            cells += [
                ratio["mae_blank"],
                f"{me['cov_blank'].mean():.2f} ({floor['cov_blank'].mean():.2f})",
                ratio["mae_few"],
                f"{me['cov_few'].mean():.2f}",
            ]
            lines.append(
                "| "
                + " | ".join([*cells, f"{me['bias'].mean():+.3f}", f"{me['seconds'].median():.2f}"])
                + " |"
            )
    return lines


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("study", type=Path)
    parser.add_argument("--seeds", default="900:908")
    parser.add_argument("--truths", default="linear,hard")
    parser.add_argument("--n", default="25,50,100,250")
    parser.add_argument("--cache", type=Path)
    parser.add_argument("--out", type=Path)
    parser.add_argument(
        "--switch",
        action="append",
        default=[],
        metavar="NAME=0|1|N",
        help="switches of the fit, such as interactions=0",
    )
    options = parser.parse_args()
    sys.path.insert(0, str(options.study))
    warnings.simplefilter("ignore")
    pd.set_option(
        "future.infer_string", False
    )  # the study's own code indexes words as numpy arrays
    switches = {
        name: bool(int(value)) if name != "draws" else int(value)
        for name, value in (pair.split("=") for pair in options.switch)
    }
    if options.cache:
        options.cache.mkdir(parents=True, exist_ok=True)
    low, high = map(int, options.seeds.split(":"))
    rows: list[dict[str, object]] = []
    for n in map(int, options.n.split(",")):
        for truth in options.truths.split(","):
            for seed in range(low, high):
                rows += cell(options.study, seed, truth, n, options.cache, switches)
        print("\n".join(report(pd.DataFrame([row for row in rows if row["n"] == n]))), flush=True)
    if options.out:
        pd.DataFrame(rows).to_csv(options.out, index=False)


if __name__ == "__main__":
    main()
