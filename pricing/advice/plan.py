"""What to ask, step by step, until a thing is sold or cleared out: an exact dynamic programme over
what is believed. numpy only.

Time runs in steps t = 0..T-1 of d_t days. In step t at ask a the thing sells at rate lambda_l(a) a
day, where l is what the seller does not know (how good it really is, how the market answers an
ask); w_l is the belief in l at the start. Not having sold says
something about l: after the asks so far the belief is w_l exp(-spent_l), normalised. With g = 1 -
exp(-d lambda):

    V_t(state) = max over a of E_l[ g_l(a) net(a) - holding (1 - exp(-d lambda_l(a))) / lambda_l(a)
        + (1 - g_l(a)) V_(t+1)(state') ]
    V_T = E_l[ clear_l ]

The middle term is what holding costs over the days of this step, sold in it or not. `state` sums up
the asks so far (see `Track`). Take at least = what carrying on is worth. What was paid for the
thing appears nowhere.
"""

import numpy as np

from pricing.basis.frozen import frozen


@frozen
class Sale:
    """One thing to sell. net: money that a sale at each ask leaves, (K,); rate: sales a day, (L,
    K); weight: belief, (L,); clear: money that clearing out leaves, (L,); days: length of each
    step, (T,); holding: money a day; pace: what multiplies the rates in each step, (T,)."""

    net: np.ndarray
    rate: np.ndarray
    weight: np.ndarray
    clear: np.ndarray
    days: np.ndarray
    holding: float
    pace: np.ndarray | None = None


@frozen
class Track:
    """How the asks so far are summed up in one number on a grid of S states. spent: the integrated
    sale rate up to step t, (T + 1, S, L); moves: position, whole and part, of the state after
    asking k in step t, (T, S, K); start: position of the first state."""

    spent: np.ndarray
    moves: np.ndarray
    start: float = 0.0


@frozen
class Plan:
    """asks: positions of the asks to follow, (T,); value: of carrying on at the start of each step
    and at the end, (T + 1,); table: V_t by state, (T + 1, S)."""

    asks: np.ndarray
    value: np.ndarray
    table: np.ndarray


@frozen
class Course:
    """What comes of a given list of asks. value: as in `Plan`, (T + 1,); sold: chance to sell in
    each step, (T,); left: chance that it is cleared out; sold_by_latent: (T, L) and left_by_latent,
    (L,): the same for each thing that is not known, times its belief; value_by_latent: what each
    adds to the value now, (L,).
    """

    value: np.ndarray
    sold: np.ndarray
    left: float
    sold_by_latent: np.ndarray
    left_by_latent: np.ndarray
    value_by_latent: np.ndarray


def solve(sale: Sale, track: Track) -> Plan:
    """The best asks and what carrying on is worth. Complexity O(T S L K).

    Source of the recursion: backward induction (Bellman 1957); the belief enters as in Lazear
    (1986), Am. Econ. Rev. 76(1), clearance sales.

    A buyer comes who pays anything between 0 and 1, the same one twice (Lazear): ask 2/3, then 1/3,
    worth 1/3.

    >>> values = (np.arange(600) + .5) / 600                      # l: what the buyer would pay
    >>> asks = np.arange(1, 60) / 60
    >>> buys = np.where(values[:, None] >= asks, 50., 0.)         # so fast that a day is enough
    >>> lowest = np.arange(1, 61) / 60                            # state: the lowest ask so far
    >>> told = np.where(values >= lowest[:, None], 50., 0.)
    >>> moves = np.minimum(np.arange(60)[:, None], np.arange(59)) * np.ones((2, 1, 1))
    >>> lazear = Sale(asks, buys, np.full(600, 1 / 600), np.zeros(600), np.ones(2), 0.)
    >>> plan = solve(lazear, Track(np.array([told, told, told]), moves, start=59.))
    >>> asks[plan.asks].round(3).tolist(), round(float(plan.value[0]), 3)
    ([0.667, 0.333], 0.333)
    """
    T, S = len(sale.days), track.spent.shape[1]
    table = np.empty((T + 1, S))
    stay, gain = _steps(sale)
    # V_t(state) = max over asks of E[gain + stay V_(t+1)(next state)], the mean over what is not
    # known by the belief that the state carries; from the last day back.
    for t in range(T, -1, -1):
        belief = _belief(sale.weight, track.spent[t])
        if t == T:
            table[t] = belief @ sale.clear
        else:
            table[t] = (
                belief @ gain[t] + (belief @ stay[t]) * _between(table[t + 1], track.moves[t])
            ).max(axis=1)
    return _follow(sale, track, table, stay, gain)


def along(sale: Sale, asks: np.ndarray) -> Course:
    """What comes of following the asks given by position, (T,), with the belief carried exactly."""
    stay, gain = _steps(sale)
    T, L = len(sale.days), len(sale.weight)
    kept = np.array([stay[t][:, k] for t, k in enumerate(asks.tolist())]).reshape(T, L)
    gains = np.array([gain[t][:, k] for t, k in enumerate(asks.tolist())]).reshape(T, L)
    # Chance of each thing not known, and to be still there at the start of each step: not having
    # sold moves the belief by itself.
    alive = np.vstack([sale.weight, sale.weight * np.cumprod(kept, axis=0)])
    ahead = np.vstack([alive[:-1] * gains, alive[-1:] * sale.clear])
    after = np.cumsum(ahead.sum(axis=1)[::-1])[::-1]
    value = after / np.maximum(alive.sum(axis=1), 1e-300)
    sold = alive[:-1] - alive[1:]
    left = float(alive[-1].sum())
    return Course(value, sold.sum(axis=1), left, sold, alive[-1], ahead.sum(axis=0))


def _steps(sale: Sale) -> tuple[list[np.ndarray], list[np.ndarray]]:
    """By step: the chance to be still there after it, and what it brings less holding, (L, K)."""
    pace = np.ones(len(sale.days)) if sale.pace is None else sale.pace
    kinds = list(zip(sale.days.tolist(), pace.tolist(), strict=True))
    known: dict[tuple[float, float], tuple[np.ndarray, np.ndarray]] = {}
    for days, speed in set(kinds):
        rate = sale.rate * speed
        # 1 - exp would lose the digits of a slow sale, and its spell with them
        gone = -np.expm1(-days * rate)
        # Mean days on the market within the step, E min(T, days) = (1 - e^(-days rate)) / rate; a
        # unit that never sells waits all of them.
        spell = np.where(rate > 1e-12, gone / np.maximum(rate, 1e-12), days)
        known[days, speed] = (1 - gone, gone * sale.net - sale.holding * spell)
    return [known[kind][0] for kind in kinds], [known[kind][1] for kind in kinds]


def _belief(weight: np.ndarray, spent: np.ndarray) -> np.ndarray:
    """w exp(-spent), normalised by row, (S, L); where nothing is left, the least impossible."""
    log = np.log(np.maximum(weight, 1e-300)) - spent
    raw = np.exp(log - log.max(axis=-1, keepdims=True))
    return raw / raw.sum(axis=-1, keepdims=True)


def _between(row: np.ndarray, place: np.ndarray) -> np.ndarray:
    """Linear interpolation of values on the grid at positions `place`."""
    # not np.clip, which takes five times as long for so few
    low = np.minimum(np.maximum(place.astype(np.int64), 0), max(len(row) - 2, 0))
    part = np.minimum(np.maximum(place - low, 0.0), 1.0)
    return row[low] * (1 - part) + row[np.minimum(low + 1, len(row) - 1)] * part


def _follow(
    sale: Sale, track: Track, table: np.ndarray, stay: list[np.ndarray], gain: list[np.ndarray]
) -> Plan:
    """Walk from the first state, choosing at the very state that is reached."""
    place, asks, values = track.start, [], []
    for t in range(len(sale.days)):
        spent = _row(track.spent[t], place)
        belief = _belief(sale.weight, spent[None, :])
        moves = _row(track.moves[t], place)
        worth = (belief @ gain[t])[0] + (belief @ stay[t])[0] * _between(table[t + 1], moves)
        best = int(worth.argmax())
        asks.append(best)
        values.append(float(worth[best]))
        # The best ask on the grid of states may jump between two of them: it is chosen anew at the
        # state itself, between grid points.
        place = float(moves[best])
    values.append(float(_between(table[-1], np.array([place]))[0]))
    return Plan(np.array(asks, dtype=np.int64), np.array(values), table)


def _row(table: np.ndarray, place: float) -> np.ndarray:
    """A row between two states."""
    low = min(int(place), table.shape[0] - 1)
    part = place - low
    return (
        table[low]
        if part == 0
        else table[low] * (1 - part) + table[min(low + 1, table.shape[0] - 1)] * part
    )
