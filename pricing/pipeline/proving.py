"""Were the estimates right: the record replayed by date, and the answers that were really given."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from pricing.basis import files
from pricing.basis.frozen import frozen
from pricing.basis.home import Home
from pricing.basis.problems import Refused
from pricing.basis.settings import Settings
from pricing.record.store import has_record

if TYPE_CHECKING:
    from pricing.model.price.price import PriceNumbers
    from pricing.proof.accuracy import Accuracy
    from pricing.proof.reportcard import ReportCard


@frozen
class Proof:
    """The replay, the report card of real answers, and a warning of what could not be written."""

    accuracy: Accuracy
    card: ReportCard
    warning: str | None


def prove(
    home: Home, settings: Settings, as_of: date, plot: Path | None = None, seed: int = 0
) -> Proof:
    """Replay the record, score the kept answers, remember how far ranges fell short; with `plot`,
    the picture as an SVG file."""
    from pricing.basis.units import from_rows
    from pricing.proof import accuracy, reportcard
    from pricing.record.current import read_units

    units = read_units(home, settings) if has_record(home) else from_rows([])
    judged = accuracy.judge(units, settings, as_of, seed)
    card = reportcard.score(home, units)
    warning = _remember(home, judged, as_of) if has_record(home) else None
    if plot is not None and judged.overall is not None:
        from pricing.pages import charts

        files.write_text(plot, charts.calls(calls_of(judged), settings.currency).svg)
    return Proof(judged, card, warning)


def calls_of(judged: Accuracy) -> Any:
    """The replay as calls that the picture of the quarter draws."""
    from pricing.proof.accuracy import OURS
    from pricing.quarter.limits import CalledSale, judge

    replayed, ours = judged.replay, judged.replay.answers[OURS]
    sold = judged.units.take(replayed.rows)
    figures = (replayed.price, ours.low, ours.median, ours.high)
    words = (sold.word(name).texts() for name in ("unit", "type"))
    columns = (*words, *(each.tolist() for each in figures))
    n_learned = int(replayed.n_known.max()) if len(replayed.n_known) else 0
    calls = [CalledSale(*row) for row in zip(*columns, strict=True)]
    return judge(calls, judged.coverage, n_learned)


def keep_answer(home: Home, answer: Any, own_number: float | None, as_of: date) -> str | None:
    """Keep an answer (or several) for the report card; a sentence where that failed."""
    from pricing.proof import reportcard

    return reportcard.keep(home, answer, own_number, as_of)


def _reach_file(home: Home) -> Path:
    return home.data / "reach.json"


def _remember(home: Home, judged: Accuracy, as_of: date) -> str | None:
    """Write how far ranges fell short, so that the next fit widens them."""
    path = _reach_file(home)
    if judged.overall is None or (judged.widen == 1.0 and not path.exists()):
        return None
    reach = {"as_of": as_of.isoformat(), "n": judged.overall.n, "widen": round(judged.widen, 4)}
    try:
        files.write_text(path, json.dumps(reach) + "\n")
    except (Refused, OSError) as error:
        return f"how far the ranges fell short could not be written down: {error}"
    return None


def as_wide_as_reached(home: Home, model: PriceNumbers) -> PriceNumbers:
    """The model with its ranges widened by what `pricing accuracy` last found missing."""
    try:
        widen = float(json.loads(_reach_file(home).read_text(encoding="utf-8"))["widen"])
    except (OSError, ValueError, KeyError, TypeError):
        return model
    if not 1.0 < widen <= 2.0:
        return model
    low, high = model.ranges.low * widen, model.ranges.high * widen
    return replace(model, ranges=replace(model.ranges, low=low, high=high))
