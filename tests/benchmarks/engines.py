"""The same pass over one data set by several engines, with two processes each: what the choice of
engine stands on. Printed, not asserted.

    python tests/benchmarks/engines.py FOLDER       (FOLDER: what `pricing export --by-month` wrote)

ray, duckdb, polars and pyspark are no dependency: install them beside pricing to compare them. Two
jobs:
sums: the fit's own pass (`gathering.look_at` of each part, added as a tree), by whatever can run a
Python function where a part is;
words: rows and mean ln price by type, the part of it that can be said in an engine's own language.
"""

from __future__ import annotations

import os
import sys
import time
from collections.abc import Callable
from concurrent.futures import ProcessPoolExecutor
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

from pricing.basis.settings import Settings
from pricing.model import fold
from pricing.pipeline import cluster, fit_source, gathering
from pricing.record import months

os.environ["OPENBLAS_NUM_THREADS"] = "1"
DAY = date(2024, 6, 1)
READ = partial(fit_source.units_of, settings=Settings(), day=float(DAY.toordinal()))
LOOK = partial(gathering.look_at, settings=Settings(), as_of=DAY)


def look(part: months.Part) -> Any:
    return LOOK(READ(part))


def show(job: str, engine: str, run: Callable[[], tuple[float, Any]]) -> None:
    """run: gives the seconds of the work without the engine's start, and an answer to compare."""
    begun = time.perf_counter()
    try:
        inside, answer = run()
    except (
        Exception
    ) as error:  # an engine that is not installed, or fails, is a line of the table too
        print(f"| {job} | {engine} | | | {type(error).__name__}: {str(error)[:80]} |", flush=True)
        return
    print(
        f"| {job} | {engine} | {inside:.1f} | {time.perf_counter() - begun:.1f} | {answer} |",
        flush=True,
    )


def said(found: gathering.Gathered) -> str:
    return f"{found.n:,} units, ln sum {found.seen.log_sum!r}"


def one_process(parts: list[months.Part]) -> tuple[float, str]:
    begun = time.perf_counter()
    total = fold.tree(map(look, parts), gathering.added)
    assert total is not None
    return time.perf_counter() - begun, said(total)


def futures(parts: list[months.Part]) -> tuple[float, str]:
    with ProcessPoolExecutor(2) as pool:
        begun = time.perf_counter()
        total = fold.tree(pool.map(look, parts), gathering.added)
        assert total is not None
        return time.perf_counter() - begun, said(total)


def dask(parts: list[months.Part]) -> tuple[float, str]:
    from distributed import Client, LocalCluster

    with (
        LocalCluster(n_workers=2, threads_per_worker=1, dashboard_address=None) as two,
        Client(two) as client,
    ):
        begun = time.perf_counter()
        total = cluster.fold_on(client, parts, READ)(LOOK, gathering.added)
        return time.perf_counter() - begun, said(total)


def ray(parts: list[months.Part]) -> tuple[float, str]:
    import ray as engine

    engine.init(num_cpus=2, include_dashboard=False, log_to_driver=False)
    try:
        run, join = engine.remote(look), engine.remote(gathering.added)
        begun = time.perf_counter()
        total = engine.get(fold.tree((run.remote(part) for part in parts), join.remote))
        return time.perf_counter() - begun, said(total)
    finally:
        engine.shutdown()


def spark(parts: list[months.Part]) -> tuple[float, str]:
    from pyspark.sql import SparkSession

    session = (
        SparkSession.builder.master("local[2]")
        .config("spark.ui.enabled", "false")
        .config("spark.driver.maxResultSize", "4g")
        .getOrCreate()
    )
    try:
        begun = time.perf_counter()
        total = fold.tree(
            session.sparkContext.parallelize(parts, len(parts))
            .map(look)
            .toLocalIterator(prefetchPartitions=True),
            gathering.added,
        )
        assert total is not None
        return time.perf_counter() - begun, said(total)
    finally:
        session.stop()


SQL = (
    "select type, count(*) n, avg(ln(cast(price as double))) m from {} where price > 0 group by"
    " type order by type"
)


def duckdb_words(folder: str) -> tuple[float, str]:
    import duckdb

    begun = time.perf_counter()
    rows = (
        duckdb.connect(config={"threads": 2})
        .execute(SQL.format(f"read_parquet('{folder}/*/*.parquet', hive_partitioning=false)"))
        .fetchall()
    )
    return time.perf_counter() - begun, f"{len(rows)} types, {sum(row[1] for row in rows):,} rows"


def polars_words(folder: str) -> tuple[float, str]:
    import polars

    begun = time.perf_counter()
    sold = polars.scan_parquet(f"{folder}/*/*.parquet", hive_partitioning=False).filter(
        polars.col("price") > 0
    )
    rows = (
        sold.group_by("type")
        .agg(polars.len().alias("n"), polars.col("price").cast(polars.Float64).log().mean())
        .collect(engine="streaming")
    )
    return time.perf_counter() - begun, f"{len(rows)} types, {int(rows['n'].sum()):,} rows"


def spark_words(folder: str) -> tuple[float, str]:
    from pyspark.sql import SparkSession

    session = (
        SparkSession.builder.master("local[2]").config("spark.ui.enabled", "false").getOrCreate()
    )
    try:
        begun = time.perf_counter()
        session.read.parquet(folder).createOrReplaceTempView("units")
        rows = session.sql(SQL.format("units")).collect()
        return (
            time.perf_counter() - begun,
            f"{len(rows)} types, {sum(row[1] for row in rows):,} rows",
        )
    finally:
        session.stop()


def main() -> None:
    folder = str(Path(sys.argv[1]).resolve())
    parts = months.parts(months.read_listing(folder))
    print(f"{len(parts)} parts, {os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}")
    print(
        "| job | engine, two processes | work, s | with start and end, s | answer"
        " |\n|---|---|---|---|---|",
        flush=True,
    )
    show("sums", "a loop in one process", lambda: one_process(parts))
    for engine in (futures, dask, ray, spark):
        show("sums", engine.__name__, lambda engine=engine: engine(parts))
    for words in (duckdb_words, polars_words, spark_words):
        show("words", words.__name__.removesuffix("_words"), lambda words=words: words(folder))


if __name__ == "__main__":
    main()
