"""The kept sums of a long record: the same numbers as from all of it, and never those of another."""

from __future__ import annotations

import random
import shutil
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import replace
from datetime import date, timedelta
from functools import partial
from pathlib import Path
from typing import Any

import numpy as np
import pytest

from pricing.basis import files
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.model import saved, seen
from pricing.model.price import price_fit, sums
from pricing.model.price.sums import Summed
from pricing.model.repair import repair, repair_fit
from pricing.pipeline import adding, fit_source, fitting, gathering, keeping, kept_sums
from pricing.record import months, taking_back

DAY = date(2026, 11, 1)
LAST = date(2026, 10, 30)  # of the first sales
TYPES = ("electric dryer", "front-load washer", "dishwasher", "gas range")
N = 600


@pytest.fixture(scope="module", autouse=True)
def small_is_long() -> Iterator[None]:
    """A record of 150 rows is long, its sample holds 120 sales, its parts 200 rows."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(fit_source, "SHORT", 150)
        patch.setattr(seen, "SAMPLE", 120)
        patch.setattr(months, "ROWS", 200)
        yield


def unit(k: int, pick: random.Random, last: date = LAST) -> dict[str, Any]:
    """An invented unit; one in six was scrapped, one in nine is still here."""
    kind, age = pick.choice(TYPES), pick.choice((*range(1, 14), ""))
    got = last - timedelta(days=60 + pick.randrange(700))
    listed = got + timedelta(days=pick.randrange(1, 12))
    price = round(90 + 45 * TYPES.index(kind) * pick.lognormvariate(0, 0.2) - 3 * int(age or 6))
    row = {
        "Unit": f"U{k}", "Type": kind, "Maker": pick.choice(("Arvend", "Brunnel", "")), "Age": age,
        "Condition": pick.choice(("fair", "good", "like new")), "Fault": pick.choice(("dead", "leaks")),
        "Repair": pick.choice(("heating element", "door seal")), "Paid": pick.randrange(0, 60, 5),
        "Parts": pick.randrange(0, 40, 4), "Hours": pick.randint(2, 14) / 4, "Got": got,
        "Listed": listed, "Asked": price + 20, "Sold": listed + timedelta(days=pick.randrange(40)),
        "Price": price, "Outcome": "sold",
    }  # fmt: skip
    if k % 6 == 5:
        row |= {"Listed": "", "Asked": "", "Price": "", "Outcome": "scrapped"}
    elif k % 9 == 4:
        row |= {"Sold": "", "Price": "", "Outcome": "listed"}
    return row


def put(home: Home, name: str, rows: list[dict[str, Any]], today: date = DAY) -> None:
    path = home.path.with_name(f"{home.path.name}-{name}.csv")
    lines = [",".join(rows[0]), *(",".join(map(str, row.values())) for row in rows)]
    path.write_text("\n".join(lines) + "\n")
    added = adding.add(home, path, Settings(), today)
    assert added.counts["rejected"] == 0


def rows(n: int, first: int = 0, seed: int = 4, last: date = LAST) -> list[dict[str, Any]]:
    pick = random.Random(seed)
    return [unit(k, pick, last) for k in range(first, first + n)]


@pytest.fixture(scope="module")
def learned(tmp_path_factory: pytest.TempPathFactory) -> Home:
    """A record of two sheets, learned from."""
    made = Home(tmp_path_factory.mktemp("long") / "home")
    put(made, "first", rows(N - 40))
    put(made, "second", rows(40, N - 40, 5))
    assert fitting.fit(made, Settings(), DAY).kept is None
    return made


@pytest.fixture
def home(learned: Home, tmp_path: Path) -> Home:
    """A copy of it."""
    return Home(shutil.copytree(learned.path, tmp_path / "home"))


def learn(home: Home, day: date = DAY, settings: Settings | None = None) -> fitting.Fitted:
    return fitting.fit(home, settings or Settings(), day)


def all_of(home: Home, kept: fit_source.KeptSums) -> tuple[gathering.Gathered, np.ndarray, Any]:
    """What passes over the whole record give at the kept weights and scales: counts, coefficients
    and covariance, and the units still open."""
    day, model = date.fromisoformat(kept.as_of), saved.load(home).price
    look = partial(gathering.look_at, settings=Settings(), as_of=day)
    with fit_source.source_of(home, Settings(), day, "", "") as source:
        first = source.fold(look, gathering.added)
        at = {"encoding": model.encoding, "fitted": kept.summed.at, "as_of": day}
        total = source.fold(partial(sums.sums_of, keep_far=True, **at), sums.PriceSums.__add__)
    summed = Summed(total, kept.summed.at, kept.summed.flat)
    found = sums.solved(summed, model.encoding, model.scales, model.error)
    return first, found, source.open_units


def same_as_all(home: Home, fitted: fitting.Fitted) -> None:
    """The numbers that were brought up to date are those of the whole record."""
    kept = fitted.kept
    assert kept is not None
    tally, found, still_open = all_of(home, kept)
    sd = np.sqrt(np.diag(found.covariance))
    assert (np.abs(fitted.saved.price.mean - found.mean) <= 1e-8 * np.maximum(sd, 1e-3)).all()
    whole, scale = price_fit.price.rounded(price_fit._triangle(found.covariance))
    assert np.abs((fitted.saved.price.factor - whole * scale[:, None]) / sd[:, None]).max() < 2e-5
    assert (fitted.n_units, fitted.n_sold) == (tally.n, tally.n_sold)
    assert fitted.saved.price.types == tally.seen.words["type"]
    assert fitted.saved.words == gathering.own_words(tally.words)
    repairs = repair_fit.fit_sums(tally.repairs, Settings())
    want, got = (numbers_in(repair.as_numbers(x)) for x in (repairs, fitted.saved.repair))
    assert want.keys() == got.keys()
    assert all(np.isclose(got[x], want[x], rtol=1e-8, atol=1e-9) for x in want)
    by_unit = {row["unit"]: row for row in still_open}
    assert {row["unit"]: row for row in fitted.saved.open_units()} == by_unit


def numbers_in(table: Any, path: str = "") -> dict[str, float]:
    """Every number in nested tables by where it stands."""
    if isinstance(table, dict):
        pairs = [(str(name), x) for name, x in table.items()]
    elif isinstance(table, (list, tuple, np.ndarray)):
        if all(isinstance(row, (dict, list, tuple)) for row in table):  # equals in any order
            table = sorted(table, key=words_in)
        pairs = [(str(place), x) for place, x in enumerate(table)]
    elif isinstance(table, str) or table is None:
        return {f"{path}={table}": 0.0}
    else:
        return {path: float(table)}
    return {name: x for key, one in pairs for name, x in numbers_in(one, f"{path}/{key}").items()}


def words_in(row: Any) -> list[str]:
    cells = row.values() if isinstance(row, dict) else row
    return [x for x in cells if isinstance(x, str)]


def test_after_each_act_the_numbers_are_those_of_the_whole_record(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kept_sums, "MOST_MOVED", 3)
    old = rows(N)
    for name, act in (
        ("a sale", lambda: put(home, "a", rows(1, N, 9))),
        ("a price", lambda: put(home, "b", [old[1] | {"Price": 131}, old[2] | {"Age": 12}])),
        ("one sold", lambda: put(home, "c", [old[4] | {"Sold": LAST, "Price": 99, "Outcome": "sold"}])),
        ("one dropped", lambda: keeping.drop(home, "U7", DAY)),
        ("back", lambda: keeping.undo(home, None, DAY)),
        ("a sheet taken back", lambda: keeping.undo(home, "2", DAY)),
        ("and back", lambda: keeping.undo(home, None, DAY, back=True)),
        ("scrapped after all", lambda: put(home, "d", [old[0] | {"Price": "", "Outcome": "scrapped"}])),
        ("nothing", lambda: None),
    ):  # fmt: skip
        act()
        fitted = learn(home)
        assert fitted.kept is not None, name
        assert fitted.saved.record == fitted.kept.stood.record
        same_as_all(home, fitted)
        read = kept_sums.read(home, Settings(), saved.load(home))
        assert read is not None
        assert read.stood == fitted.kept.stood
        assert np.array_equal(read.summed.total.gram, np.triu(fitted.kept.summed.total.gram))


def test_by_chance_too(home: Home, monkeypatch: pytest.MonkeyPatch) -> None:
    """Acts at random, learned from now and then."""
    monkeypatch.setattr(kept_sums, "MOST_MOVED", 1)
    pick, n, old = random.Random(11), N, rows(N)
    for turn in range(14):
        kind = pick.choice(("add", "change", "drop", "undo", "back"))
        if kind == "add":
            put(home, f"{turn}", rows(pick.randint(1, 4), n, turn))
            n += 4
        elif kind == "change":
            put(
                home,
                f"{turn}",
                [
                    old[k] | {"Price": old[k]["Price"] + turn, "Age": turn}
                    for k in pick.sample(range(N - 40), 9)
                    if old[k]["Price"]
                ],
            )
        else:
            with suppress(Refused):  # nothing to take back, or dropped before
                if kind == "drop":
                    keeping.drop(home, f"U{pick.randrange(N)}", DAY)
                else:
                    keeping.undo(home, None, DAY, back=kind == "back")
        if turn % 3 == 2:
            same_as_all(home, learn(home))


def anew(home: Home, day: date = DAY, settings: Settings | None = None) -> bool:
    """Whether everything would be learned anew; nothing is learned."""
    asked = (home, settings or Settings(), day, saved.load(home))
    return kept_sums.brought_up(*asked) is None


def test_a_word_that_no_sale_said_is_learned_from_all(home: Home) -> None:
    put(home, "a", [rows(1, N, 9)[0] | {"Maker": "Cordell"}])
    assert learn(home).kept is None
    put(home, "b", [rows(1, N + 1, 9)[0] | {"Maker": "Cordell"}])
    assert not anew(home)
    put(home, "c", [rows(1, N + 2, 9)[0] | {"Sold where": "classified ad"}])
    assert anew(home)


def test_one_in_a_hundred_is_learned_from_all(home: Home) -> None:
    most = learn(home).n_sold // 100
    put(home, "a", rows(most - 1, 6 * N, 9))
    assert learn(home).kept is not None
    put(home, "b", rows(1, 7 * N, 9))
    assert learn(home).kept is not None
    put(home, "c", rows(1, 8 * N, 9))
    assert anew(home)


def test_a_month_that_is_told_of_enough_is_learned(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(kept_sums, "MOST_MOVED", 2)
    late, model = DAY + timedelta(days=90), saved.load(home).price
    need = int((model.error / model.walk) ** 2)
    sales = [x for x in rows(2 * need + 20, 6 * N, 9, late) if x["Price"]]
    sales = [x | {"Listed": late, "Sold": late} for x in sales]
    put(home, "a", sales[:need], late)
    assert not anew(home, late)
    put(home, "b", sales[need : need + 1], late)
    assert anew(home, late)


def test_other_settings_days_and_programs_are_learned_from_all(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    later = DAY + timedelta(days=3)
    assert not anew(home)
    assert anew(home, settings=replace(Settings(), sold_of_ten=5))
    assert not anew(home, later)
    assert anew(home, DAY - timedelta(days=1))
    put(home, "a", [rows(1, N, 9)[0] | {"Sold": DAY + timedelta(days=2)}], later)
    assert anew(home)  # written on a later day than the one asked for
    assert not anew(home, later)
    monkeypatch.setattr(kept_sums, "FORM", "0")
    assert anew(home, later)


def test_an_undated_sale_hangs_on_the_day(home: Home) -> None:
    put(home, "a", [rows(1, N, 9)[0] | {"Got": "", "Listed": "", "Sold": "", "Outcome": "sold"}])
    assert learn(home).kept is not None
    assert not anew(home)
    assert anew(home, DAY + timedelta(days=1))


def test_a_file_that_is_not_whole_is_not_read(home: Home) -> None:
    path, numbers = home.models / "sums.json", saved.load(home)
    whole = path.read_bytes()
    for cut in (0, 1, 60, len(whole) // 2, len(whole) - 1):
        path.write_bytes(whole[:cut])
        assert kept_sums.read(home, Settings(), numbers) is None
    path.write_bytes(whole.replace(b'"sales":', b'"sales":1'))
    assert anew(home)
    path.write_bytes(whole)
    assert not anew(home)
    (home.models / "0001.json").rename(home.models / "0003.json")
    assert anew(home)  # they belong to other numbers


def test_a_cut_before_or_between_the_files_leaves_old_or_new(
    home: Home, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The power goes before the numbers, then before the sums are written."""
    before, real = saved.load(home), files.write_bytes
    put(home, "a", rows(1, N, 9))

    def cut_at(name: str) -> None:
        def write(path: Path, data: bytes, **how: bool) -> None:
            if path.name.endswith(name):
                raise KeyboardInterrupt
            real(path, data, **how)

        monkeypatch.setattr(files, "write_bytes", write)
        with pytest.raises(KeyboardInterrupt):
            learn(home)
        monkeypatch.setattr(files, "write_bytes", real)

    cut_at("2.json")
    assert saved.load(home).record == before.record
    cut_at("sums.json")
    after = saved.load(home)
    assert after.record != before.record
    assert anew(home)  # the sums belong to the numbers before
    assert fitting.fit(home, Settings(), DAY).saved.record == after.record
    put(home, "b", rows(1, N + 1, 9))
    same_as_all(home, learn(home))


def test_another_copy_put_together_is_told_from_the_acts(home: Home, tmp_path: Path) -> None:
    """What came with it is added to the sums; where acts before the last differ, all is read."""
    other = Home(tmp_path / "other")
    keeping.backup(home, tmp_path / "all.zip")
    keeping.restore(other, tmp_path / "all.zip")
    put(other, "x", rows(2, 5 * N, 9))
    put(home, "y", rows(1, 6 * N, 9))
    assert learn(home).kept is not None
    taking_back.merge(home, other.data / "record.db", DAY.isoformat())
    same_as_all(home, learn(home))
    (home.data / "record.db").write_bytes((other.data / "record.db").read_bytes())
    assert anew(home)


def test_two_owners_short_records_and_who_asks_for_it_read_all(
    home: Home, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert fitting.fit(home, Settings(), DAY, anew=True).kept is None
    put(home, "a", [x | {"Owner": f"P{k % 2}"} for k, x in enumerate(rows(2, N, 9))])
    assert learn(home).kept is None
    assert not (home.models / "sums.json").exists()
    monkeypatch.setattr(seen, "SAMPLE", 20_000)
    short = Home(tmp_path / "short")
    put(short, "a", rows(140))
    assert learn(short).kept is None
    assert not (short.models / "sums.json").exists()
