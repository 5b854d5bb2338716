"""The person's usual way of asking for a unit, and when another one is taken instead."""

import math


def left_of_ask(held: float, fall: float, days: float) -> float:
    """Share of an ask that is left once it has stood for so many days: a fall, ln, every `days`.

    >>> [round(left_of_ask(held, 0.1, 14.0), 3) for held in (13.0, 14.0, 30.0)]
    [1.0, 0.905, 0.819]
    """
    return math.exp(-fall * math.floor(held / days + 1e-9))


def surely_better(gain: list[float], weight: list[float], laws: int) -> bool:
    """Whether one way of asking brings more than another by more than the doubt about it: the mean
    of the gain over the laws of demand against its sd over them. gain: for each thing not known,
    times its belief, the law running fastest; weight: that belief.

    Two laws as likely: gains of 30 and 0, 15 in the mean, have an sd of 15 and are not sure; 30 and
    5 are.

    >>> surely_better([15.0, 0.0], [0.5, 0.5], 2), surely_better([15.0, 2.5], [0.5, 0.5], 2)
    (False, True)
    """
    mean = sum(gain)
    squares = 0.0
    for law in range(laws):
        its, belief = 0.0, 1e-300
        for k in range(law, len(gain), laws):
            its += gain[k]
            belief += weight[k]
        squares += its * its / belief
    return mean > math.sqrt(max(squares - mean * mean, 0.0)) + 1e-9 * abs(mean)
