"""What a unit that is not fixed still brings: sold as it is, in parts, or for scrap. Offer and
bench reckon with the same three, so that the low end of an offer is what the bench would then do.
And how long one stands on the bench, and what its spot is worth.

    worth = money - hours at what an hour must earn;    left = the way with the most worth
"""

from collections.abc import Sequence

import numpy as np

from pricing.basis import assumed
from pricing.basis.frozen import frozen
from pricing.basis.own_rows import assumed_types, generic_type
from pricing.basis.settings import Settings
from pricing.formulas import exits as exit_sums
from pricing.model.repair import repair
from pricing.model.repair.repair import RepairModel
from pricing.model.saved import Saved

AS_IS, PART_OUT, SCRAP = "sell as-is", "part out", "scrap"


@frozen
class Exit:
    """One way to be rid of n units. money, hours: (n,) each; n_own: own units behind the money."""

    name: str
    money: np.ndarray
    hours: np.ndarray
    n_own: int


@frozen
class Left:
    """The best way to be rid of each of n units: its money, hours and name, (n,) each."""

    money: np.ndarray
    hours: np.ndarray
    name: tuple[str, ...]


def exits(
    types: Sequence[str], sold: np.ndarray, model: RepairModel, settings: Settings
) -> tuple[Exit, ...]:
    """The three ways for units of these types, each from the person's own units of that end over
    the starting share (weight three units), taken as often as they went that way. sold: what each
    sells for once it is fixed, (n,)."""
    table = assumed_types(settings)
    rows = [table.get(name, generic_type(settings)) for name in types]
    scrap = np.array([repair.if_not_fixed(model, name, settings) for name in types])
    rest = (scrap, np.full(len(types), exit_sums.rest_hours(model.failed_hours)))
    found = []
    for name, own, share, hours in (
        (AS_IS, model.as_is, [row.as_is_share for row in rows], exit_sums.AS_IS_HOURS),
        (PART_OUT, model.parted, [row.parted_share for row in rows], exit_sums.PARTED_HOURS),
    ):
        money = exit_sums.share_of_price(sold, own, np.array(share))
        if name == AS_IS:
            money = money * (1 - settings.selling_fee_share) - settings.selling_fee_fixed
        way = exit_sums.tried((money, hours), own[0], float(model.n_failed), rest)
        found.append(Exit(name, *way, int(own[0])))
    ended = [int(model.failed_money.get(name, (0.0, 0.0))[0]) for name in types]
    found.append(Exit(SCRAP, *rest, max(ended, default=0)))
    return tuple(found)


def best(ways: Sequence[Exit], may_be_sold: np.ndarray, target: float) -> Left:
    """The way with the most worth for each unit. may_be_sold: (n,), whether no danger forbids to
    sell it as it is; target: money an hour.

    >>> ways = (Exit("sell as-is", np.array([40.0]), np.array([0.5]), 0),
    ...         Exit("scrap", np.array([20.0]), np.array([0.2]), 0))
    >>> best(ways, np.array([True]), 30.0).name, best(ways, np.array([False]), 30.0).name
    (('sell as-is',), ('scrap',))
    """
    money, hours = np.array([way.money for way in ways]), np.array([way.hours for way in ways])
    place = exit_sums.best(money, hours, may_be_sold | (ways[0].name != AS_IS), target)
    place, n = np.broadcast_to(place, money[0].shape), np.arange(money.shape[1])
    return Left(money[place, n], hours[place, n], tuple(ways[k].name for k in place.tolist()))


def bench_days(model: RepairModel) -> float:
    """Mean days from got to listed: own units, over a week (weight three units)."""
    n, total = model.bench_days
    return (total + 3 * assumed.BENCH_DAYS) / (n + 3)


def spot_a_day(numbers: Saved, settings: Settings) -> float:
    """Money a day that a spot is worth: nothing unless space is what is short."""
    short = settings.short_of == "space"
    return max(settings.holding_cost_per_day, numbers.spot_a_day) if short else 0.0
