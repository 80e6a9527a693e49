"""How much the satellites' places in the sky stretch the errors of a position."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

_LEAST_SHARE = 1e-10  # of the greatest possible determinant: below it the directions lie in one plane or cone


class Dilutions(NamedTuple):
    """Factors by which range errors grow; infinite where there is no position."""

    geometric: Floats  # place and clocks together. [-]
    position: Floats  # [-]
    horizontal: Floats  # [-]
    vertical: Floats  # [-]
    time: Floats  # all clocks together. [-]


def dilutions(
    azimuth: ArrayLike, elevation: ArrayLike, heard: ArrayLike, clock: ArrayLike | None = None
) -> Dilutions:
    r"""Dilutions of precision, for many moments at once.

    .. math:: Q = (H^T H)^{-1}, \quad H = [\cos h \sin\alpha,\ \cos h \cos\alpha,\ \sin h,\ 1_{clock}]

    .. math:: P = \sqrt{q_{11} + q_{22} + q_{33}},\; H = \sqrt{q_{11} + q_{22}},\; V = \sqrt{q_{33}},\;
        T = \sqrt{q_{44} + \dots},\; G = \sqrt{P^2 + T^2}

    Parameters
    ----------
    azimuth : array_like, shape (..., satellites)
        Clockwise from north. [rad]
    elevation : array_like, shape (..., satellites)
        Above the level. [rad]
    heard : array_like of bool, shape (..., satellites)
        Which satellites count; a direction that is NaN never does. [-]
    clock : array_like of int, shape (satellites,), optional
        Number of the clock that each satellite's system runs by, from 0; one for all if left out. [-]

    Returns
    -------
    Dilutions
        Geometric, position, horizontal, vertical and time dilution, shape (...); infinite where the
        satellites heard give no position. [-]

    Notes
    -----
    Valid for range errors that are alike and independent. A clock that no satellite heard runs by is left
    out. Each clock costs one satellite; the position needs three more, not all in one cone. Exact.

    References
    ----------
    .. [1] public page on dilution of precision, rows and roots as above. Standing: read.
    .. [2] elementary statistics, clocks eliminated as means of their satellites. Standing: derived here.

    Examples
    --------
    >>> low = np.radians([5.0, 5.0, 5.0, 90.0])
    >>> around = np.radians([0.0, 120.0, 240.0, 0.0])
    >>> round(float(dilutions(around, low, [True] * 4).position), 2)
    1.72
    """
    around, above = np.asarray(azimuth, dtype=float), np.asarray(elevation, dtype=float)
    weight = np.asarray(heard, dtype=bool) & np.isfinite(around) & np.isfinite(above)
    flat = np.cos(above)
    lines = np.stack([flat * np.sin(around), flat * np.cos(around), np.sin(above)], axis=-1)
    lines = np.where(weight[..., None], lines, 0.0)
    normal = np.swapaxes(lines, -1, -2) @ lines
    numbers = np.zeros(weight.shape[-1], dtype=int) if clock is None else np.asarray(clock, dtype=int)
    ours = (numbers[:, None] == np.unique(numbers)).astype(float)  # satellite x clock
    counts = weight.astype(float) @ ours
    sums = np.swapaxes(lines, -1, -2) @ ours  # x, y, z by clock
    with np.errstate(divide="ignore", invalid="ignore"):
        shares = np.where(counts > 0.0, 1.0 / counts, 0.0)
    means = sums * shares[..., None, :]
    normal = normal - means @ np.swapaxes(sums, -1, -2)
    inverse = _inverse(normal)
    diagonal = np.einsum("...ii->...i", inverse)
    horizontal = diagonal[..., 0] + diagonal[..., 1]
    position = horizontal + diagonal[..., 2]
    clocks = np.where(counts > 0.0, shares + np.einsum("...ik,...ij,...jk->...k", means, inverse, means), 0.0)
    time = np.where(np.isfinite(position), clocks.sum(axis=-1), np.inf)
    return Dilutions(
        *(np.sqrt(each) for each in (position + time, position, horizontal, diagonal[..., 2], time))
    )


def position_dilution(second: ArrayLike, first: ArrayLike, counts: ArrayLike) -> Floats:
    r"""Position dilution from sums over the satellites heard, for many moments at once.

    .. math:: P = \sqrt{\mathrm{tr} \left( \sum_c S_c - s_c s_c^T / n_c \right)^{-1}}

    Parameters
    ----------
    second : array_like, shape (..., clocks, 3, 3)
        Sum of the products of the unit vectors to the satellites of a clock with themselves. [-]
    first : array_like, shape (..., clocks, 3)
        Sum of these unit vectors. [-]
    counts : array_like, shape (..., clocks)
        How many satellites run by each clock. [-]

    Returns
    -------
    numpy.ndarray, shape (...)
        Position dilution, infinite where there is no position. [-]

    Notes
    -----
    Valid for range errors that are alike and independent, as `dilutions`, of which it is the position's part:
    for many sets out of the same satellites, whose products are then worked out only once. Exact.

    References
    ----------
    .. [1] elementary statistics, clocks eliminated as means of their satellites. Standing: derived here.

    Examples
    --------
    >>> low, around = np.radians([5.0, 5.0, 5.0, 90.0]), np.radians([0.0, 120.0, 240.0, 0.0])
    >>> lines = np.stack([np.cos(low) * np.sin(around), np.cos(low) * np.cos(around), np.sin(low)], axis=-1)
    >>> round(float(position_dilution((lines.T @ lines)[None], lines.sum(axis=0)[None], [4.0])), 2)
    1.72
    """
    sums, numbers = np.asarray(first, dtype=float), np.asarray(counts, dtype=float)
    means = sums / np.maximum(numbers, 1.0)[..., None]
    normal = np.asarray(second, dtype=float) - means[..., :, None] * sums[..., None, :]
    return np.asarray(np.sqrt(np.trace(_inverse(normal.sum(axis=-3)), axis1=-2, axis2=-1)))


def _inverse(matrix: Floats) -> Floats:
    """Inverses of symmetric matrices of three rows; infinite on the diagonal where there is none."""
    a, b, c = matrix[..., 0, 0], matrix[..., 0, 1], matrix[..., 0, 2]
    d, e, f = matrix[..., 1, 1], matrix[..., 1, 2], matrix[..., 2, 2]
    minors = (d * f - e * e, c * e - b * f, b * e - c * d, a * f - c * c, b * c - a * e, a * d - b * b)
    determinant = a * minors[0] + b * minors[1] + c * minors[2]
    possible = determinant > _LEAST_SHARE * np.maximum((a + d + f) / 3.0, 1e-3) ** 3
    scale = np.where(possible, 1.0 / np.where(possible, determinant, 1.0), 0.0)
    inverse = np.stack([each * scale for each in minors], axis=-1)[..., [0, 1, 2, 1, 3, 4, 2, 4, 5]]
    inverse = inverse.reshape(*matrix.shape)
    inverse[~possible] = np.where(np.eye(3, dtype=bool), np.inf, 0.0)
    return np.asarray(inverse)
