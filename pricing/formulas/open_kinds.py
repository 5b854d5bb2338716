"""The likely kinds behind a plain word ("washer"), by what is usual and by one's own sales.

With usual shares s_k and own sales n_k of the kinds, N in all, a kind's share is
(USUAL_SALES s_k + n_k) / (USUAL_SALES + N): the mean of a Dirichlet law.
"""

USUAL_SALES = 10.0  # own sales that count as much as the usual shares of the kinds. Own judgement.
LEAST_LIKELY = 0.05
MOST_KINDS = 4


def likely(usual: dict[str, float], own: dict[str, int]) -> list[tuple[str, float]]:
    """Kind and share of each, the likeliest first; none where there is only one.

    >>> likely({"gas": 0.2, "electric": 0.8}, {"gas": 8, "electric": 2})
    [('electric', 0.5), ('gas', 0.5)]
    """
    if len(usual) < 2:
        return []
    whole = USUAL_SALES * sum(usual.values()) + sum(own.values())
    share = {kind: (USUAL_SALES * usual[kind] + own[kind]) / whole for kind in usual}
    ranked = sorted(usual, key=lambda kind: [-share[kind], kind])[:MOST_KINDS]
    return [(kind, share[kind]) for kind in ranked if share[kind] >= LEAST_LIKELY]
