"""The answer before the drive as a record: every number a page or a program shows, finished."""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import TYPE_CHECKING, Any

from pricing.basis.frozen import frozen, named
from pricing.formulas import lot_formulas
from pricing.formulas.lot_formulas import over_first

if TYPE_CHECKING:
    from pricing.advice.ask_first import AskFirst
    from pricing.advice.cautions import Verdict
    from pricing.basis.question import Question


@frozen
class Candidate:
    """A repair it may turn out to need: chance that it is this one, chance to fix it then, expected
    parts and bench hours."""

    repair: str
    chance: float
    fix: float
    parts: float
    hours: float


@frozen
class Sold:
    """What it sells for once fixed."""

    median: float
    low: float
    high: float
    mean: float


@frozen
class Costs:
    """Expected money and hours, duds counted. parts_low, parts_high: four in five of the fixed ones
    (`coverage`) lie between."""

    truck: float
    helper: float
    parts: float
    parts_if_fixed: float
    parts_low: float
    parts_high: float
    comebacks: float
    fees: float
    drive_hours: float
    load_hours: float
    bench_hours: float
    clean_sell_hours: float
    comeback_hours: float


@frozen
class ByYear:
    """The answer for one of the years it may have been made."""

    made: int
    age: float
    price: float
    pay_up_to: float


@frozen
class ByKind:
    """The answer for one of the kinds that a plain word ("washer") leaves open, and how likely that
    kind is: the usual shares, weighed with the person's own sales."""

    type: str
    share: float
    pay_up_to: float


_NUMBERS = (
    "advice pay_up_to start_at their_price paid_assumed=paid before_drive_pay_up_to=before_drive"
    " at_curb_pay_up_to cautious_pay_up_to=cautious expected_gain hours return_per_hour"
    " chance_of_loss chance_of_target fix_chance go_on=tries if_not_fixed"
)


@frozen
class OfferAnswer:
    """One answer. Money in the currency's unit, hours in hours, chances 0-1.

    return_per_hour: of what is left once keeping it until it sells is paid, so that it reaches what
    an hour is worth just where the limit reaches the price.
    pay_up_to: negative where they must pay; before_drive: the limit before the drive out was made,
    the same unless at the curb;
    their_price: None where the owner named none, and `paid` is then what the person usually pays.
    tries: whether fixing it beats leaving it as it is. by_repair: (limit if it is this repair,
    chance), adding up to pay_up_to.
    k_of_n: own units of this fault: fixed, ended, ended on other types. beside: what else there is
    to say, as it stands in the JSON (`wording/alongside`).
    """

    question: Question
    advice: str
    pay_up_to: float
    start_at: float
    their_price: float | None
    paid: float
    before_drive: float
    at_curb_pay_up_to: float
    cautious: float
    expected_gain: float
    hours: float
    return_per_hour: float
    chance_of_loss: float
    chance_of_target: float
    fix_chance: float
    tries: bool
    repairs: tuple[Candidate, ...]
    if_not_fixed: float
    price: Sold
    costs: Costs
    ask_first: tuple[AskFirst, ...]
    standing: Mapping[str, str]
    k_of_n: tuple[int, int, int]
    days: Mapping[str, float]
    by_year: tuple[ByYear, ...]
    by_repair: tuple[tuple[float, float], ...]
    because: tuple[tuple[str, float], ...]
    verdict: Verdict
    warnings: tuple[str, ...]
    lot: Lot | None = None
    by_kind: tuple[ByKind, ...] = ()
    beside: Mapping[str, Any] = MappingProxyType({})

    def as_dict(self) -> dict[str, Any]:
        """The JSON of `offer --json`."""
        return (
            {
                "unit": (
                    dict(self.question.unit)
                    | ({"made": list(self.question.made)} if self.question.made else {})
                ),
                "as_read": self.question.as_read,
                "heard": self.question.heard_still,
                **named(self, _NUMBERS),
                "repairs": [vars(one) for one in self.repairs],
                "price": vars(self.price),
                "costs": vars(self.costs),
                "ask_first": [one.as_dict() for one in self.ask_first],
                "standing": dict(self.standing),
                "fixed_of": dict(zip(("fixed", "ended", "other_types"), self.k_of_n, strict=True)),
                "days": dict(self.days),
                "by_year": [vars(one) for one in self.by_year],
                "because": [{"term": term, "amount": amount} for term, amount in self.because],
                **self.verdict.as_dict(),
                "warnings": list(self.warnings),
                "by_kind": [vars(one) for one in self.by_kind],
            }
            | ({} if self.lot is None else over_first(self.lot.as_dict()))
            | dict(self.beside)
        )


@frozen
class Lot:
    """each: the answers, with one drive for all; take: places (0 first) of those worth taking,
    () for none; pay_up_to: the most for those together; their_price: for the lot, None where none
    was named; sells_for: what those to take sell for together once fixed.
    """

    each: tuple[OfferAnswer, ...]
    take: tuple[int, ...]
    pay_up_to: float
    their_price: float | None
    sells_for: dict[str, float]

    def as_dict(self) -> dict[str, Any]:
        """The JSON of `lot`."""
        each, told = [one.as_dict() for one in self.each], (self.pay_up_to, self.their_price)
        return lot_formulas.told(each, list(self.take), *told, self.sells_for)
