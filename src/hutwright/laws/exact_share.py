"""The greatest share that a count in so many tries allows, without any assumption on how it came about."""

from __future__ import annotations

from math import exp, lgamma, log, log1p

HALVINGS = 200  # of the search for a share: more than a double can tell apart


def _at_most(met: int, of: int, share: float) -> float:
    """Chance of at most so many in so many tries [-]."""
    if share <= 0.0:
        return 1.0
    if share >= 1.0:
        return 0.0 if met < of else 1.0
    whole = lgamma(of + 1.0)
    return sum(
        exp(whole - lgamma(k + 1.0) - lgamma(of - k + 1.0) + k * log(share) + (of - k) * log1p(-share))
        for k in range(met + 1)
    )


def greatest_share(met: int, of: int, confidence: float) -> float:
    r"""Upper end of the one-sided interval of Clopper and Pearson for the share behind a count.

    .. math:: \sum_{k=0}^{x} \binom{n}{k} p^k (1-p)^{n-k} = 1 - c

    Parameters
    ----------
    met : int
        How often x it came out, from 0 to ``of``. [-]
    of : int
        In how many tries n, 1 or more. [-]
    confidence : float
        How often c the share is no greater, above 0 and below 1. [-]

    Returns
    -------
    float
        The share. [-]

    Raises
    ------
    ValueError
        Where the counts contradict each other.

    Notes
    -----
    Valid for independent tries with the same chance; exact, that is never less confident than said. It is
    also the claim of ``m`` one-sided bounds, each the greatest of ``n`` clean runs, on a further run
    that goes beyond any of them: ``met`` is then ``m - 1``.

    References
    ----------
    .. [1] Clopper and Pearson, Biometrika 26 (1934) 404-413. Standing: recalled.
    .. [2] Tukey, "Nonparametric estimation II", Ann. Math. Stat. 18 (1947) 529-539. Standing: recalled.

    Examples
    --------
    >>> round(greatest_share(0, 2995, 0.95), 5)
    0.001
    """
    if not (of >= 1 and 0 <= met <= of and 0.0 < confidence < 1.0):
        raise ValueError(f"{met} of {of} tries at {confidence:g}; give from 0 to all tries")
    if met == of:
        return 1.0
    low, high = 0.0, 1.0
    for _ in range(HALVINGS):
        middle = 0.5 * (low + high)
        if not low < middle < high:
            break
        if _at_most(met, of, middle) > 1.0 - confidence:
            low = middle
        else:
            high = middle
    return high


def clean_tries_for(share: float, confidence: float) -> int:
    r"""How many tries without any are needed before a share is claimed.

    .. math:: n = \lceil \ln(1 - c) / \ln(1 - p) \rceil

    Parameters
    ----------
    share : float
        The share p, above 0 and below 1. [-]
    confidence : float
        How often c the claim holds. [-]

    Returns
    -------
    int
        Tries. [-]

    Notes
    -----
    Valid for independent tries with the same chance.

    References
    ----------
    .. [1] Clopper and Pearson, Biometrika 26 (1934) 404-413. Standing: recalled.

    Examples
    --------
    >>> clean_tries_for(0.001, 0.95)
    2995
    """
    if not (0.0 < share < 1.0 and 0.0 < confidence < 1.0):
        raise ValueError(f"share {share:g}, confidence {confidence:g}: give both between 0 and 1")
    tries = log1p(-confidence) / log1p(-share)
    return int(tries) + (tries > int(tries))
