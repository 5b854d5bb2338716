"""How much of an answer is the person's own: YOURS, PART or GUESS."""

YOURS, PART, GUESS = "YOURS", "PART", "GUESS"
LEAST_OWN = 3  # units of just this kind below which nothing is called one's own. Own judgement.


def standing(share_removed: float, n_own: int, n_near: int = 0) -> str:
    """`YOURS (n)`, `PART (n)` or `GUESS` by the share of the prior variance that own units removed:
    >= .75, between, <= .25.

    share_removed: 1 - posterior variance / prior variance, 0-1. n_own: own units of just this kind;
    n_near: of the same family, shown as `PART (5+16)`. With no unit at all it is always GUESS,
    with fewer than three of just this kind never YOURS.

    >>> standing(0.9, 7), standing(0.5, 5, 16), standing(0.1, 1), standing(0.9, 2, 78)
    ('YOURS (7)', 'PART (5+16)', 'GUESS', 'PART (2+78)')
    """
    if n_own + n_near == 0 or share_removed <= 0.25:
        return GUESS
    count = f"{n_own}+{n_near}" if n_near else f"{n_own}"
    own = share_removed >= 0.75 and n_own >= LEAST_OWN
    return f"{YOURS if own else PART} ({count})"
