"""Formulas of coiled wire: rate, length and stress, in SI.

Symbols as in the books: d wire, D mean coil diameter, C = D/d index, N working
turns, E and G moduli, F load.

Not here: tables of wire (`materials`), a spring of a layout (`law`, `stress`).

References
----------
.. [1] R. G. Budynas, J. K. Nisbett, Shigley's Mechanical Engineering Design,
   10th ed., chapter 10; equation numbers in the text.
.. [2] EN 13906-1:2013, EN 13906-2:2013, EN 13906-3:2014 (same rate formulas).
"""

from __future__ import annotations

import math

from linkage.model.columns import Number, exponential


def coil_rate(d: Number, mean: Number, turns: Number, shear: Number) -> Number:
    """Return the rate of an extension or compression spring, k = G d⁴/(8 D³ N).

    Parameters
    ----------
    d, mean : float or column
        Wire and mean coil diameter. [m]
    turns : float or column
        Working turns.
    shear : float or column
        G. [Pa]

    Returns
    -------
    float or column
        [N/m]
    """
    return shear * d**4 / (8 * mean**3 * turns)


def torsion_rate(d: Number, mean: Number, turns: Number, young: Number) -> Number:
    """Return the rate of a torsion spring, k = E d⁴/(64 D N). [N·m/rad].

    Shigley's Eq. (10-52) has 10.8 for 64/2π = 10.2 and so gives 6 % less: it
    counts the rubbing of the coils.

    Parameters
    ----------
    d, mean : float or column
        Wire and mean coil diameter. [m]
    turns : float or column
        Working turns, with `torsion_turns` for the legs.
    young : float or column
        E. [Pa]
    """
    return young * d**4 / (64 * mean * turns)


def extension_turns(body: Number, young: Number, shear: Number) -> Number:
    """Return working turns of an extension spring, N = Nb + G/E (10-40)."""
    return body + shear / young


def torsion_turns(body: Number, legs: Number, mean: Number) -> Number:
    """Return working turns of a torsion spring, N = Nb + legs/(3πD) (10-48).

    Parameters
    ----------
    body : float or column
        Turns of the body.
    legs : float or column
        Length of both legs together. [m]
    mean : float or column
        Mean coil diameter. [m]
    """
    return body + legs / (3 * math.pi * mean)


def extension_free_length(d: Number, mean: Number, body: Number) -> Number:
    """Return the free length inside the hooks, 2(D - d) + (Nb + 1)d (10-39). [m]."""
    return 2 * (mean - d) + (body + 1) * d


def solid_length(d: Number, total: Number) -> Number:
    """Return the length with all coils touching, squared ends, (Nt + 1)d. [m]."""
    return (total + 1) * d


def bergstraesser(index: Number) -> Number:
    """Return Bergsträsser's factor, (4C + 2)/(4C - 3) (10-5).

    Within 1 % of Wahl's; used for the coils here.

    >>> round(bergstraesser(6), 4)
    1.2381
    """
    return (4 * index + 2) / (4 * index - 3)


def coil_shear(load: Number, d: Number, mean: Number) -> Number:
    """Return the shear stress in the coils, K·8FD/(πd³). [Pa]."""
    return bergstraesser(mean / d) * 8 * load * mean / (math.pi * d**3)


def hook_bending(load: Number, d: Number, mean: Number, radius: Number) -> Number:
    """Return the bending stress in a hook (10-34, 10-35). [Pa].

    Parameters
    ----------
    load : float or column
        F. [N]
    d, mean, radius : float or column
        Wire, mean coil diameter, and mean radius of the hook's bend. [m]
    """
    c1 = 2 * radius / d
    factor = (4 * c1**2 - c1 - 1) / (4 * c1 * (c1 - 1))
    return load * (factor * 16 * mean / (math.pi * d**3) + 4 / (math.pi * d**2))


def hook_torsion(load: Number, d: Number, mean: Number, radius: Number) -> Number:
    """Return the shear stress at a hook's root (10-36, 10-37). [Pa].

    Parameters
    ----------
    load : float or column
        F. [N]
    d, mean, radius : float or column
        Wire, mean coil diameter, and mean radius of the bend at the root. [m]
    """
    c2 = 2 * radius / d
    factor = (4 * c2 - 1) / (4 * c2 - 4)
    return factor * 8 * load * mean / (math.pi * d**3)


def wound_bending(torque: Number, d: Number, mean: Number) -> Number:
    """Return the bending stress in a torsion spring, Ki·32M/(πd³) (10-43). [Pa].

    Parameters
    ----------
    torque : float or column
        M. [N·m]
    d, mean : float or column
        Wire and mean coil diameter. [m]
    """
    c = mean / d
    factor = (4 * c**2 - c - 1) / (4 * c * (c - 1))
    return factor * 32 * torque / (math.pi * d**3)


def usual_initial_tension(d: Number, mean: Number) -> Number:
    """Return the middle of the range of initial tension that is wound. [N].

    The stress 33500/exp(0.105 C) psi of Eq. (10-41), from memory, without
    curvature. A spring may differ by a quarter; measure it where it matters.

    Parameters
    ----------
    d, mean : float or column
        Wire and mean coil diameter. [m]
    """
    stress = 33500 * 6894.757293168 / exponential(0.105 * mean / d)
    return stress * math.pi * d**3 / (8 * mean)
