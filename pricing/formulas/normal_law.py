"""The normal law at points, of one chance or, in Python, of an array of them.

Source: Wichura (1988), algorithm AS 241 (PPND16), Applied Statistics 37:477-484.
"""

from __future__ import annotations

from typing import Any

import numpy as np

_A = (
    2509.0809287301226727, 33430.575583588128105, 67265.770927008700853, 45921.953931549871457,
    13731.693765509461125, 1971.5909503065514427, 133.14166789178437745, 3.387132872796366608,
)  # fmt: skip
_B = (
    5226.495278852545925, 28729.085735721942674, 39307.89580009271061, 21213.794301586595867,
    5394.1960214247511077, 687.1870074920579083, 42.313330701600911252, 1.0,
)  # fmt: skip
_C = (
    7.7454501427834140764e-4, 0.0227238449892691845833, 0.24178072517745061177,
    1.27045825245236838258, 3.64784832476320460504, 5.7694972214606914055, 4.6303378461565452959,
    1.42343711074968357734,
)  # fmt: skip
_D = (
    1.05075007164441684324e-9, 5.475938084995344946e-4, 0.0151986665636164571966,
    0.14810397642748007459, 0.68976733498510000455, 1.6763848301838038494, 2.05319162663775882187,
    1.0,
)  # fmt: skip
_E = (
    2.01033439929228813265e-7, 2.71155556874348757815e-5, 1.2426609473880784386e-3,
    0.026532189526576123093, 0.29656057182850489123, 1.7848265399172913358, 5.4637849111641143699,
    6.6579046435011037772,
)  # fmt: skip
_F = (
    2.04426310338993978564e-15, 1.4215117583164458887e-7, 1.8463183175100546818e-5,
    7.868691311456132591e-4, 0.0148753612908506148525, 0.13692988092273580531,
    0.59983220655588793769, 1.0,
)  # fmt: skip


def quantile(p: Any) -> Any:
    """z with Phi(z) = p, chances strictly inside (0, 1); relative error about 1e-15.

    >>> round(float(quantile(0.975)), 6)
    1.959964
    """
    q = p - 0.5
    middle = np.abs(q) <= 0.425
    r = np.where(middle, 0.180625 - q * q, 0.0)
    tail = np.sqrt(-np.log(np.where(middle, 0.5, np.minimum(p, 1 - p))))
    near = _poly(_C, tail - 1.6) / _poly(_D, tail - 1.6)
    outer = np.where(tail <= 5, near, _poly(_E, tail - 5) / _poly(_F, tail - 5))
    return np.where(middle, q * _poly(_A, r) / _poly(_B, r), np.sign(q) * outer)


def _poly(coefficients: tuple[float, ...], x: Any) -> Any:
    total: Any = 0.0
    for one in coefficients:
        total = total * x + one
    return total
