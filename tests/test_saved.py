"""The file of fitted numbers: what could not be read back never replaces what answers now."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest

from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.basis.units import from_rows
from pricing.model import saved
from pricing.model.price.price_fit import fit_price
from pricing.model.repair.repair_fit import fit_repair
from pricing.model.saletime.saletime import SaleTimeModel
from pricing.model.saletime.saletime_fit import fit_saletime

TODAY = date(2026, 6, 1)


def write(home: Home, change: dict[str, object]) -> Path:
    nothing, settings = from_rows([]), Settings()
    prices = fit_price(nothing, settings, TODAY)
    days: SaleTimeModel = replace(fit_saletime(nothing, prices, settings, TODAY), **change)
    return saved.save(
        home,
        saved.NewNumbers(
            as_of=TODAY,
            record="none",
            settings="none",
            price=prices,
            repair=fit_repair(nothing, settings, TODAY),
            saletime=days,
            similar=[],
            words={},
            spot_a_day=0.0,
            open_units=[],
        ),
    )


def test_numbers_out_of_bounds_are_refused_before_they_are_written(tmp_path: Path) -> None:
    """The fit before goes on answering, and no file of the bad one is left."""
    home = Home(tmp_path)
    good = write(home, {})

    with pytest.raises(Refused, match="does not hold together"):
        write(home, {"covariance": np.array([[1e6]])})

    assert saved.load(home).path == good
    assert sorted(path.name for path in home.models.iterdir()) == ["0001-open.json", "0001.json"]
