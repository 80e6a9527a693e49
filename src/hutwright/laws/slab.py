"""What a wall of flat layers lets through of a plane wave, and throws back.

Waves go as exp(-i w t), permittivities are e' + i e'', and a slab delays the phase: the transmission of a
thin lossless one has a positive angle.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Waves = NDArray[np.complex128]
GRAZING = 1e-6  # a flatter incidence counts as this one; nothing passes there [-]


@dataclass(frozen=True, slots=True)
class Slab:
    """Field ratios of a slab in the air, by polarisation.

    `te` and `tm` are what comes through over what would be there without the slab; `te_back` and `tm_back`
    what is thrown back, the first of the electric, the second of the magnetic field [-].
    """

    te: Waves
    tm: Waves
    te_back: Waves
    tm_back: Waves

    @property
    def circular(self) -> Waves:
        """What comes through of a circularly polarised wave in its own sense [-]."""
        return np.asarray((self.te + self.tm) / 2.0)


def slab(
    cosine: ArrayLike, permittivities: Sequence[complex], thicknesses: Sequence[float], wavelength: float
) -> Slab:
    r"""Transmission and reflection of flat layers in the air, by the recursion over their boundaries.

    .. math:: \Gamma_j = \frac{r_j + \Gamma_{j+1} p_{j+1}^2}{1 + r_j \Gamma_{j+1} p_{j+1}^2}, \quad
        T_j = \frac{(1 + r_j) p_{j+1} T_{j+1}}{1 + r_j \Gamma_{j+1} p_{j+1}^2}, \quad
        p = e^{i k d \sqrt{\epsilon - \sin^2 \theta}}

    with r = (Y_j - Y_{j+1}) / (Y_j + Y_{j+1}), Y the root for TE and the root over the permittivity for TM.
    The phase that the wave would have gathered over the same way in air, exp(i k d cos), is divided out once.

    Parameters
    ----------
    cosine : array
        Cosine of the angle of incidence, 0 to 1. [-]
    permittivities : Sequence
        Relative permittivity of each layer, outside first. [-]
    thicknesses : Sequence
        Thickness of each layer. [m]
    wavelength : float
        In the air. [m]

    Returns
    -------
    Slab
        The ratios, of the shape of `cosine`. [-]

    Notes
    -----
    Valid for slabs that are flat and wide against the wavelength; exact then, and stable for metal however
    thick. ITU-R P.2040 writes waves as exp(+i w t): its coefficients are the conjugates of these, before the
    phase of the air is divided out.

    References
    ----------
    .. [1] ITU-R P.2040-3, section 2.2.2 (multilayer slab), eqs (37) and (43). Standing: second-hand.

    Examples
    --------
    >>> through = slab(1.0, [3.91 + 0.2026j], [0.20], 0.123017).te
    >>> round(-20.0 * float(np.log10(abs(through))), 2)
    5.84
    """
    cos = np.maximum(np.asarray(cosine, dtype=float), GRAZING)
    sine2 = 1.0 - cos**2
    turn = 2.0 * np.pi / wavelength
    roots = [np.sqrt(complex(each) - sine2 + 0j) for each in permittivities]
    steps = [np.exp(1j * turn * d * root) for d, root in zip(thicknesses, roots, strict=True)]
    air = np.exp(-1j * turn * sum(thicknesses) * cos)
    outside = cos.astype(complex)
    te, te_back = _through([outside, *roots, outside], steps)
    magnetic = [root / each for root, each in zip(roots, permittivities, strict=True)]
    tm, tm_back = _through([outside, *magnetic, outside], steps)
    return Slab(te * air, tm * air, te_back, tm_back)


def _through(admittances: list[Waves], steps: list[Waves]) -> tuple[Waves, Waves]:
    """Transmission and reflection of the whole, from the last boundary to the first."""
    back = _mismatch(admittances[-2], admittances[-1])
    through = 1.0 + back
    for number in range(len(steps) - 1, -1, -1):
        r, step = _mismatch(admittances[number], admittances[number + 1]), steps[number]
        echo = back * step * step
        below = 1.0 + r * echo
        through, back = (1.0 + r) * step * through / below, (r + echo) / below
    return through, back


def _mismatch(here: Waves, beyond: Waves) -> Waves:
    """What one boundary throws back."""
    return np.asarray((here - beyond) / (here + beyond))
