"""How long a unit still to be fixed stands on the bench, and what its spot is worth a day."""

from pricing.basis import assumed
from pricing.basis.settings import Settings
from pricing.model.repair.repair import RepairModel
from pricing.model.saved import Saved


def bench_days(model: RepairModel) -> float:
    """Mean days from got to listed: own units, over a week (weight three units)."""
    n, total = model.bench_days
    return (total + 3 * assumed.BENCH_DAYS) / (n + 3)


def spot_a_day(numbers: Saved, settings: Settings) -> float:
    """Money a day that a spot is worth: nothing unless space is what is short."""
    short = settings.short_of == "space"
    return max(settings.holding_cost_per_day, numbers.spot_a_day) if short else 0.0
