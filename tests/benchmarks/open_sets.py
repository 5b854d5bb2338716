"""Open sets of used goods through the Python face, with own attributes and no appliance
assumptions, beside general-purpose learners.

    python tests/benchmarks/open_sets.py DATA [--sets tractors,phones] [--n 50,100,250,500]
        [--splits 20] [--cache DIR] [--out cells.csv]

DATA: folder with the CSV files named in SETS. On each random split n rows are learned from (at most
.7 of them) and up to 400 of the others predicted. The best fixed peer of a set and n is chosen on 5
other splits. Printed: mean absolute error of ln price, ours over that peer's, as the geometric mean
over splits with its standard error; coverage and mean width of the 80 % range.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
import argparse
import pickle
import time
import warnings
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pandas as pd
from peers import errors_of, installed

import pricing

CHOOSING = 5  # splits on which the peer is chosen, numbered from 1000
MOST_TESTED, MOST_SHARE = 400, 0.7


def _tractors(data: Path) -> pd.DataFrame:
    return pd.read_csv(data / "used_tractors.csv").rename(columns={"saleprice": "price"})


def _corolla(data: Path) -> pd.DataFrame:
    return pd.read_csv(data / "used_corolla_nl.csv")


def _phones(data: Path) -> pd.DataFrame:
    frame = pd.read_csv(
        data / "used_phones_tablets.csv"
    )  # prices are on a log scale there: put back to money
    used, new = (
        np.exp(frame.pop("normalized_used_price")),
        np.exp(frame.pop("normalized_new_price")),
    )
    return frame.assign(price=used, new_price=new)


def _vehicles(data: Path) -> pd.DataFrame:
    frame = pd.read_csv(data / "used_vehicle_ads_days_listed_a.csv")
    frame = frame[frame["price"] >= 500]  # placeholder prices of 1 to 499
    return frame.assign(
        posted=(pd.to_datetime(frame["date_posted"]) - pd.Timestamp("2018-05-01")).dt.days
    ).drop(columns=["row_id", "date_posted", "days_listed"])


def _three_cars(data: Path) -> pd.DataFrame:
    return pd.read_csv(data / "used_three_cars_2017.csv").drop(
        columns=["mazda6", "accord", "maxima"]
    )


SETS: dict[str, Callable[[Path], pd.DataFrame]] = {
    "tractors": _tractors,
    "corolla_nl": _corolla,
    "phones": _phones,
    "vehicle_ads": _vehicles,
    "three_cars": _three_cars,
}
LOGS = {"new_price"}  # money acts by its ln


def kinds_of(frame: pd.DataFrame) -> dict[str, str]:
    """Numbers are numbers, words are categories, all columns as found."""
    return {
        name: (
            ("log" if name in LOGS else "number")
            if pd.api.types.is_numeric_dtype(frame[name])
            else "category"
        )
        for name in frame.columns
        if name != "price"
    }


def split(frame: pd.DataFrame, n: int, seed: int) -> tuple[pd.DataFrame, pd.DataFrame]:
    order = np.random.default_rng([n, seed]).permutation(len(frame))
    return frame.iloc[order[:n]].reset_index(drop=True), frame.iloc[
        order[n : n + MOST_TESTED]
    ].reset_index(drop=True)


def peers_on(
    name: str, frame: pd.DataFrame, n: int, seed: int, cache: Path | None
) -> dict[str, float]:
    kept = cache / f"{name}-{n}-{seed}.pkl" if cache else None
    known: dict[str, float] = {}
    if kept is not None and kept.exists():
        known = pickle.loads(kept.read_bytes())  # our own file of a moment ago
    if set(installed()) <= set(known):
        return known
    train, test = split(frame, n, seed)
    found = errors_of(
        train,
        np.log(train["price"].to_numpy(float)),
        test,
        np.log(test["price"].to_numpy(float)),
        kinds_of(frame),
        known,
    )
    if kept is not None:
        kept.write_bytes(pickle.dumps(found))
    return found


def ours(frame: pd.DataFrame, n: int, seed: int) -> dict[str, float]:
    train, test = split(frame, n, seed)
    begun = time.perf_counter()
    model = pricing.fit(train, {"attributes": kinds_of(frame)}, assumptions=False)
    seconds = time.perf_counter() - begun
    answer = model.predict(test.drop(columns=["price"]), coverage=0.8)
    y, low, high = (
        np.log(np.asarray(v, float)) for v in (test["price"], answer["low"], answer["high"])
    )
    return {
        "mae": float(np.abs(np.log(answer["median"]) - y).mean()),
        "cov": float(((y >= low) & (y <= high)).mean()),
        "width": float((high - low).mean()),
        "wink": float(
            (high - low + 10 * (np.maximum(low - y, 0) + np.maximum(y - high, 0))).mean()
        ),
        "seconds": seconds,
    }


def geometric(ratios: np.ndarray) -> tuple[float, float]:
    logs = np.log(ratios)
    mean = float(np.exp(logs.mean()))
    return mean, mean * float(logs.std(ddof=1) / np.sqrt(len(logs))) if len(logs) > 1 else np.nan


def main() -> None:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("data", type=Path)
    parser.add_argument("--sets", default=",".join(SETS))
    parser.add_argument("--n", default="50,100,250,500")
    parser.add_argument("--splits", type=int, default=20)
    parser.add_argument("--cache", type=Path)
    parser.add_argument("--out", type=Path)
    options = parser.parse_args()
    if options.cache:
        options.cache.mkdir(parents=True, exist_ok=True)
    warnings.simplefilter("ignore")
    rows = []
    print(
        "| set | n | best fixed peer (its error) | ours / peer | coverage of the 80 % range | width"
        " | fit, s | all peers / best |"
    )
    print("|---|---|---|---|---|---|---|---|")
    for name in options.sets.split(","):
        frame = SETS[name](options.data)
        for n in map(int, options.n.split(",")):
            if n > MOST_SHARE * len(frame):
                continue
            chosen = pd.DataFrame(
                [peers_on(name, frame, n, 1000 + k, options.cache) for k in range(CHOOSING)]
            ).mean()
            best = str(chosen.idxmin())
            peers = pd.DataFrame(
                [peers_on(name, frame, n, k, options.cache) for k in range(options.splits)]
            )
            mine = pd.DataFrame([ours(frame, n, k) for k in range(options.splits)])
            ratio, error = geometric((mine["mae"] / peers[best]).to_numpy())
            rows.append(
                {
                    "set": name,
                    "n": n,
                    "peer": best,
                    "ratio": ratio,
                    "error": error,
                    "coverage": mine["cov"].mean(),
                    "wink": mine["wink"].mean(),
                }
            )
            others = ", ".join(
                f"{peer} {value:.2f}"
                for peer, value in (peers.mean() / peers[best].mean()).sort_values().items()
                if peer != best
            )
            print(
                f"| {name} | {n} | {best} ({peers[best].mean():.4f}) | {ratio:.3f} ± {error:.3f} |"
                f" {mine['cov'].mean():.3f} ± {mine['cov'].std() / max(len(mine), 1) ** 0.5:.3f} |"
                f" {mine['width'].mean():.3f} | {mine['seconds'].median():.2f} | {others} |",
                flush=True,
            )
    table = pd.DataFrame(rows)
    print(
        "\n| n | sets | geometric mean of ours / best fixed peer | worst set | coverage"
        " |\n|---|---|---|---|---|"
    )
    for n, part in table.groupby("n"):
        mean = float(np.exp(np.log(part["ratio"]).mean()))
        error = mean * float(np.sqrt(((part["error"] / part["ratio"]) ** 2).sum()) / len(part))
        worst = part.loc[part["ratio"].idxmax()]
        held = (
            f"{part['coverage'].mean():.3f}"
            f" ({part['coverage'].min():.2f}-{part['coverage'].max():.2f})"
        )
        print(
            f"| {n} | {len(part)} | {mean:.3f} ± {error:.3f} | {worst['set']} {worst['ratio']:.3f}"
            f" ± {worst['error']:.3f} | {held} |"
        )
    if options.out:
        table.to_csv(options.out, index=False)


if __name__ == "__main__":
    main()
