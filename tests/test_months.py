"""A record of any length, part by part: what counts of it, its data set by month of sale, and fits
from it on one machine and on Dask's workers."""

from __future__ import annotations

import json
import operator
import os
import random
import signal
import threading
import time
from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import pyarrow as pa
import pyarrow.parquet as pq
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from pricing.basis.home import Home
from pricing.basis.problems import Problem, Refused
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.cli import group
from pricing.model import fold
from pricing.model.known import known_by
from pricing.pipeline import adding, cluster, fit_source, fitting, gathering, keeping
from pricing.record import months, store
from pricing.record.current import read_current, tables, units_for_models

DAY = date(2026, 11, 1)
TYPES = ("electric dryer", "front-load washer", "dishwasher", "gas range", "wall oven", "freezer")


def invented(n: int, seed: int = 0, first: int = 0) -> list[dict[str, Any]]:
    """Rows of invented units, as a person writes them. Nothing here is a real sale."""
    pick = random.Random(seed)
    rows = []
    for k in range(first, first + n):
        got = DAY.toordinal() - pick.randint(20, 1500)
        listed, kind, age = got + pick.randint(1, 9), pick.choice(TYPES), pick.randint(1, 16)
        sold, usual = listed + pick.randint(1, 40), 90 + 45 * TYPES.index(kind)
        price = max(20, round(usual * 0.93**age * pick.lognormvariate(0, 0.2) / 5) * 5)
        ended = pick.random() < 0.9 and sold < DAY.toordinal()
        rows.append(
            {
                "Unit": f"U{k}",
                "Owner": pick.choice(("Ann", "Bo", "Cy")),
                "Type": kind,
                "Age": str(age),
                "Condition": pick.choice(("fair", "good", "like new")),
                "Fault": pick.choice(("no heat", "dead", "leaks")),
                "Repair": pick.choice(("heating element", "door seal", "drain pump")),
                "Paid": str(pick.randrange(0, 60, 5)),
                "Parts": str(pick.randrange(0, 40, 4)),
                "Hours": f"{pick.randint(2, 14) / 4:g}",
                "Got": iso(got),
                "Listed": iso(listed),
                "Asked": str(round(price * 1.1)),
                "Sold": iso(sold) if ended else "",
                "Price": str(price) if ended else "",
                "Outcome": "sold" if ended else "listed",
            }
        )
    return rows


def iso(day: int) -> str:
    return date.fromordinal(day).isoformat()


def sheet(path: Path, rows: list[dict[str, Any]]) -> Path:
    lines = [",".join(rows[0]), *(",".join(row.values()) for row in rows)]
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path


N = 23_000  # more than are read into memory whole, and more sales than the sample holds


@pytest.fixture(scope="module", autouse=True)
def short_parts() -> Iterator[None]:
    """Parts of 1,500 rows, so that there are sixteen."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(months, "ROWS", 1_500)
        yield


@pytest.fixture(scope="module")
def long_home(tmp_path_factory: pytest.TempPathFactory) -> Home:
    """Units in three files, some of them written twice."""
    folder = tmp_path_factory.mktemp("club")
    home = Home(folder / "home")
    rows = invented(N)
    later = [
        row | {"Price": str(int(row["Price"]) + 5)} if row["Price"] else row
        for row in rows[10_000:10_400]
    ]
    for name, part in (
        ("one.csv", rows[:12_000]),
        ("two.csv", rows[12_000:]),
        ("mended.csv", later),
    ):
        adding.add(home, sheet(folder / name, part), Settings(), DAY)
    return home


@pytest.fixture(scope="module")
def alone(long_home: Home) -> fitting.Fitted:
    """The fit of that record on this machine."""
    return fitting.fit(long_home, Settings(), DAY)


# ---- what counts


@settings(deadline=None, max_examples=25)
@given(
    st.lists(st.lists(st.integers(0, 12), min_size=1, max_size=9), min_size=1, max_size=6),
    st.integers(1, 7),
)
def test_the_last_row_of_each_unit_counts_whatever_the_pieces(
    tmp_path_factory: pytest.TempPathFactory, adds: list[list[int]], piece: int
) -> None:
    home = Home(tmp_path_factory.mktemp("home"))
    last = {}
    for number, keys in enumerate(adds):
        path = home.path / f"{number}.csv"
        lines = [f"k{key},dishwasher,90,{number}.{place}" for place, key in enumerate(keys)]
        path.write_text("\n".join(["Unit,Type,Price,Note", *lines]) + "\n")
        adding.add(home, path, Settings(), DAY)
        last |= {f"k{key}": f"{number}.{place}" for place, key in enumerate(keys)}
    with store.reading(home) as db:
        found = [
            (row["unit"], row["note"])
            for table in tables(db, home, piece)
            for row in table.to_pylist()
        ]

    assert dict(found) == last
    assert len(found) == len(last)
    assert found == [(row["unit"], row["note"]) for row in read_current(home).to_pylist()]


# ---- sums as a tree


@given(st.integers(1, 300))
def test_a_tree_level_by_level_is_the_tree_one_by_one(n: int) -> None:
    """The brackets of adding neighbours level by level, for every number of parts."""
    level: list[Any] = list(range(n))
    while len(level) > 1:
        level = [
            (level[k], level[k + 1]) if k + 1 < len(level) else level[k]
            for k in range(0, len(level), 2)
        ]

    assert fold.tree(range(n), lambda a, b: (a, b)) == level[0]  # type: ignore[arg-type, return-value]


def test_blocks_say_together_what_the_whole_table_says(long_home: Home) -> None:
    """Counts, samples, words and the newest sales are the same whatever the cuts; sums to the last
    digits."""
    units = units_for_models(read_current(long_home), Settings())
    look = partial(gathering.look_at, settings=Settings(), as_of=DAY)
    cuts = [
        units.take(rows) for rows in np.split(np.arange(units.n), (1, 700, 9_000, 9_001, 20_000))
    ]
    whole, parts = look(units), fold.over(cuts)(look, gathering.added)

    assert (parts.n, parts.n_sold, parts.seen.n) == (whole.n, whole.n_sold, whole.seen.n)
    assert parts.seen.words == whole.seen.words
    assert parts.seen.numbers == whole.seen.numbers
    assert parts.seen.hashes.tolist() == whole.seen.hashes.tolist()
    assert parts.seen.sample.word("type").texts() == whole.seen.sample.word("type").texts()
    assert np.array_equal(parts.seen.ages.counts, whole.seen.ages.counts)  # type: ignore[union-attr]
    assert parts.seen.log_sum == pytest.approx(whole.seen.log_sum, rel=1e-12)
    assert parts.repairs.cells.keys() == whole.repairs.cells.keys()
    assert all(
        np.allclose(parts.repairs.cells[key], whole.repairs.cells[key], rtol=1e-12)
        for key in whole.repairs.cells
    )
    assert parts.repairs.paid == whole.repairs.paid
    assert parts.repairs.heard == whole.repairs.heard
    assert parts.listed.counts == whole.listed.counts
    assert parts.newest.units.word("unit").texts() == whole.newest.units.word("unit").texts()
    assert parts.haggled.units.n == whole.haggled.units.n
    assert parts.turned.types == whole.turned.types
    assert gathering.own_words(parts.words) == gathering.own_words(whole.words)


# ---- the data set


def test_the_data_set_holds_every_unit_once_in_its_month(long_home: Home, tmp_path: Path) -> None:
    rows = keeping.export_by_month(long_home, tmp_path / "units")
    found = months.read_listing(str(tmp_path / "units"))
    table = pa.concat_tables(
        [months.read_part(part, found.columns) for part in months.parts(found)],
        promote_options="permissive",
    )
    now = read_current(long_home)

    assert rows == found.rows == table.num_rows == now.num_rows == N
    assert sorted(table.column("unit").to_pylist()) == sorted(now.column("unit").to_pylist())
    prices = {row["unit"]: row["price"] for row in now.select(["unit", "price"]).to_pylist()}
    assert all(
        prices[row["unit"]] == row["price"] for row in table.select(["unit", "price"]).to_pylist()
    )
    for file in found.files:
        stored = (
            pq.read_table(tmp_path / "units" / file.path, partitioning=None)
            .column("sold")
            .to_pylist()
        )
        month = file.path.split("/")[0].removeprefix("month=")
        assert {f"{day:%Y-%m}" if day else "none" for day in stored} == {month}
        assert months.check_file(found.where, file) == []


def test_parts_are_neither_too_long_nor_lose_a_row(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(months, "ROWS", 65_536)
    files = tuple(
        months.File(f"month=2026-{k:02d}/part-0.parquet", "", 0, groups)
        for k, groups in enumerate([(60_000, 9_000), (5,), (65_536, 1, 65_535), (), (70_000,)], 1)
    )
    found = months.parts(months.DataSet("x", "", (), files))

    assert [
        sum(sum(file.groups[first:end]) for file, first, end in part.pieces) for part in found
    ] == [60_000, 9_005, 65_536, 65_536, 70_000]
    assert [
        piece
        for part in found
        for piece in part.pieces
        if not sum(piece[0].groups[piece[1] : piece[2]])
    ] == []


def test_very_many_months_go_together(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(months, "MOST_MONTHS", 10)
    home = Home(tmp_path / "home")
    adding.add(home, sheet(tmp_path / "a.csv", invented(500)), Settings(), DAY)
    keeping.export_by_month(home, tmp_path / "units")
    found = months.read_listing(str(tmp_path / "units"))

    names = [file.path.split("/")[0] for file in found.files]
    assert len(names) <= 10
    assert "month=earlier" in names
    assert found.rows == 500


def test_a_folder_that_is_not_empty_is_left_alone(long_home: Home, tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    with pytest.raises(Refused, match="not empty"):
        keeping.export_by_month(long_home, tmp_path)


# ---- fits


def numbers_of(path: Path) -> Any:
    """All that a fit learned, to the last digit written."""
    return json.loads(path.read_text())["body"]


@pytest.mark.long
def test_one_machine_and_a_cluster_agree_to_the_last_bit_even_where_a_worker_is_killed(
    long_home: Home, alone: fitting.Fitted
) -> None:
    """Two workers of Dask's own; one of them is killed in the middle of the passes."""
    from distributed import Client, LocalCluster

    killed = threading.Event()
    with (
        LocalCluster(
            n_workers=2,
            threads_per_worker=1,
            processes=True,
            dashboard_address=None,
            silence_logs=50,
        ) as two,
        Client(two) as client,
    ):

        def kill_one(done: float, what: str) -> None:
            if 0 < done < 1 and not killed.is_set():
                killed.set()
                os.kill(next(iter(client.run(os.getpid).values())), signal.SIGKILL)

        shared = fitting.fit(
            long_home, Settings(), DAY, cluster=two.scheduler_address, tell=kill_one
        )
        gone = months.Part(
            "/nowhere", ((months.File("month=none/part-0.parquet", "", 0, (5,)), 0, 1),)
        )
        with pytest.raises(
            Refused, match="no such file"
        ) as named:  # what a worker refuses comes back as it is
            cluster.fold_on(
                client, [gone, gone], partial(fit_source.units_of, settings=Settings(), day=0.0)
            )(len, operator.add)
    assert named.value.problems[0].file == "/nowhere/month=none/part-0.parquet"
    assert killed.is_set()
    assert numbers_of(shared.path) == numbers_of(alone.path)
    assert shared.slips == alone.slips
    assert shared.n_units == alone.n_units == N


def test_a_data_set_at_an_address_gives_the_numbers_of_the_record(
    long_home: Home, alone: fitting.Fitted, tmp_path: Path
) -> None:
    """The folder is put into fsspec's own storage in memory, as into a bucket."""
    import fsspec

    keeping.export_by_month(long_home, tmp_path / "units")
    fsspec.filesystem("memory").put(str(tmp_path / "units"), "/club", recursive=True)
    there = fitting.fit(Home(tmp_path / "other"), Settings(), DAY, data_set="memory://club")

    assert there.saved.price.mean.tolist() == alone.saved.price.mean.tolist()
    assert there.saved.repair.fix.mean.tolist() == alone.saved.repair.fix.mean.tolist()
    assert there.saved.saletime.coefficients.tolist() == alone.saved.saletime.coefficients.tolist()
    assert there.saved.open_units() == alone.saved.open_units() != []


def test_a_long_record_gives_about_the_answers_of_one_read_whole(
    long_home: Home, alone: fitting.Fitted
) -> None:
    """The way of long records against the fit of one table in memory: medians within 1 %."""
    from pricing.model.price import price, price_fit

    units = known_by(units_for_models(read_current(long_home), Settings()), float(DAY.toordinal()))
    whole = price_fit.fit_price(units, Settings(), DAY)
    parts = alone.saved.price
    asked = from_rows(
        [{"type": name, "age": age, "condition": "good"} for name in TYPES for age in (2.0, 8.0)]
    )
    day = float(DAY.toordinal())

    assert parts.n == whole.n
    assert price.law(parts, asked, day).center == pytest.approx(
        price.law(whole, asked, day).center, abs=0.01
    )


@pytest.mark.long
def test_the_data_set_is_used_again_mended_and_left_out_of_a_backup(
    long_home: Home, alone: fitting.Fitted, tmp_path: Path
) -> None:
    from pricing.record import verify

    listing = next(months.folder_of(long_home).glob("*/_dataset.json"))
    stamp = listing.stat().st_mtime_ns
    fitting.fit(long_home, Settings(), DAY)
    assert listing.stat().st_mtime_ns == stamp  # nothing was added: the same data set serves
    victim = next(months.folder_of(long_home).glob("*/month=*/*.parquet"))
    data = bytearray(victim.read_bytes())
    data[len(data) // 2] ^= 4
    victim.write_bytes(data)
    assert [problem.file for problem in verify.verify_record(long_home).damaged] == [str(victim)]
    again = fitting.fit(long_home, Settings(), DAY)
    assert numbers_of(again.path) == numbers_of(alone.path)
    assert verify.verify_record(long_home).damaged == ()
    assert verify.verify_record(long_home).foreign == ()
    assert not any(
        "by-month" in name
        for name in verify.read_backup(
            written(tmp_path / "b.zip", verify.backup_bytes(long_home)[0])
        )
    )


def written(path: Path, data: bytes) -> Path:
    path.write_bytes(data)
    return path


# ---- what can go wrong


@pytest.fixture
def data_set(long_home: Home, tmp_path: Path) -> Iterator[Path]:
    keeping.export_by_month(long_home, tmp_path / "units")
    yield tmp_path / "units"


def refusal(home: Path, *words: str) -> str:
    """What the command says: one short sentence, which `main` prints, and nothing that is our own
    bug."""
    ended = CliRunner().invoke(group, ["fit", "--home", str(home), *words])
    assert isinstance(ended.exception, Refused), ended
    said = str(ended.exception)
    assert len(said) < 600
    return said


def test_a_damaged_or_missing_file_of_a_data_set_is_named(data_set: Path, tmp_path: Path) -> None:
    victim = sorted(data_set.glob("month=*/*.parquet"))[3]
    whole = bytearray(victim.read_bytes())
    whole[len(whole) // 3] ^= 8
    victim.write_bytes(whole)
    assert f"{victim.parent.name}/{victim.name}" in refusal(
        tmp_path / "home", "--from", str(data_set)
    )
    victim.unlink()
    assert "there is no such file" in refusal(tmp_path / "home", "--from", str(data_set))
    assert not (tmp_path / "home" / "models").exists() or not list(
        (tmp_path / "home" / "models").glob("[0-9]*.json")
    )


def test_a_list_of_files_that_is_not_ours_is_refused(data_set: Path, tmp_path: Path) -> None:
    listing = data_set / "_dataset.json"
    good = json.loads(listing.read_text())
    for body in (
        "",
        "{}",
        "[1]",
        json.dumps(good | {"sha256": "0"}),
        json.dumps(good | {"body": {"files": [{"path": "../x"}]}}),
    ):
        listing.write_text(body)
        assert "damaged" in refusal(tmp_path / "home", "--from", str(data_set))
    listing.write_text(json.dumps(good | {"version": 9}))
    assert "another program" in refusal(tmp_path / "home", "--from", str(data_set))


def test_a_place_without_rights_or_of_an_unknown_kind_is_one_sentence(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    import fsspec

    def closed(*args: object, **more: object) -> object:
        raise PermissionError("Access Denied")

    assert "there is no such file" in refusal(tmp_path, "--from", str(tmp_path / "nowhere"))
    assert "address cannot be read" in refusal(tmp_path, "--from", "moonbase://club/units")
    monkeypatch.setattr(fsspec, "open", closed)
    assert "not allowed to read" in refusal(tmp_path, "--from", "memory://club/units")


def test_a_scheduler_that_is_not_there_is_one_sentence(
    data_set: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(cluster, "WAIT", 1)
    began = time.monotonic()
    assert "no scheduler answers at tcp://127.0.0.1:9" in refusal(
        tmp_path / "home", "--from", str(data_set), "--cluster", "tcp://127.0.0.1:9"
    )
    assert "no scheduler answers at nonsense" in refusal(
        tmp_path / "home", "--from", str(data_set), "--cluster", "nonsense"
    )
    assert time.monotonic() - began < 30


def test_workers_that_are_missing_or_of_another_version_are_refused() -> None:
    class Fake:
        def __init__(self, found: dict[str, Any]) -> None:
            self.found = found

        def run(self, function: Any, on_error: str) -> dict[str, Any]:
            return self.found

    mine = cluster.versions()
    cluster._check_versions(Fake({"tcp://a": mine, "tcp://b": dict(mine)}), "tcp://s")
    with pytest.raises(Refused, match=r"tcp://b has another version: numpy 1.0 \(here"):
        cluster._check_versions(
            Fake({"tcp://a": mine, "tcp://b": mine | {"numpy": "1.0"}}), "tcp://s"
        )
    with pytest.raises(Refused, match="tcp://b cannot run pricing: No module named 'pricing'"):
        cluster._check_versions(
            Fake({"tcp://a": mine, "tcp://b": ModuleNotFoundError("No module named 'pricing'")}),
            "tcp://s",
        )
    with pytest.raises(Refused, match="has no worker"):
        cluster._check_versions(Fake({}), "tcp://s")


def test_a_problem_comes_back_whole_from_another_process() -> None:
    import pickle

    problem = Problem("what", "fix", file="f", line=3)
    assert pickle.loads(pickle.dumps(Refused(problem, "other"))).problems == (
        problem,
        Problem("other"),
    )


def test_the_short_way_stays_short(tmp_path: Path) -> None:
    """A record of a few hundred rows makes no data set, with or without a cluster named."""
    home = Home(tmp_path / "home")
    adding.add(home, sheet(tmp_path / "a.csv", invented(300)), Settings(), DAY)
    fitted = fitting.fit(home, Settings(), DAY, cluster="tcp://127.0.0.1:9")

    assert fitted.n_units == 300
    assert not months.folder_of(home).exists()


def test_passes_are_asked_for_in_order() -> None:
    """`add` gets the earlier block first, on one machine as on workers."""
    units = [from_rows([{"type": name}]) for name in "abcde"]
    joined = fold.over(units)(lambda block: block.word("type").texts(), operator.add)

    assert joined == list("abcde")
    assert replace(months.File("a", "b", 1, (1, 2)), size=5).rows == 3
