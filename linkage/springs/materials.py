"""Spring wire: moduli, tensile strength and the stress it may carry.

The named standards and tables are given with each number. Nothing here comes
from a seller's catalogue.

Not here: formulas (`wire`), stresses of a spring (`stress`).
"""

from __future__ import annotations

import math
from typing import Final

from linkage.errors import LayoutError, did_you_mean
from linkage.model.columns import Number, is_column, log10, pick
from linkage.records import dataclass

_INCH: Final = 0.0254
_MPSI: Final = 6.894757293168e9


@dataclass(frozen=True, slots=True, kw_only=True)
class Shares:
    """Shares of the tensile strength that a spring may carry at rest or slowly.

    Parameters
    ----------
    body : float
        Shear in the coils of an extension spring.
    pressed : float
        Shear in the coils of a compression spring.
    hook_torsion, hook_bending : float
        In the hooks of an extension spring.
    wound : float
        Bending in a torsion spring.
    source : str
        Standard or table of each.
    """

    body: float
    pressed: float
    hook_torsion: float
    hook_bending: float
    wound: float
    source: str


_CARBON: Final = Shares(
    body=0.45,
    pressed=0.50,
    hook_torsion=0.40,
    hook_bending=0.75,
    wound=0.70,
    source="body EN 13906-2, pressed EN 13906-1, wound EN 13906-3 (permissible "
    "stress under static load); hooks Shigley, 10th ed., Table 10-7; all from memory",
)
_STAINLESS: Final = Shares(
    body=0.35,
    pressed=0.35,
    hook_torsion=0.30,
    hook_bending=0.55,
    wound=0.61,
    source="Shigley, 10th ed., Tables 10-6 and 10-7 and Eq. (10-57), austenitic "
    "stainless; from memory",
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Wire:
    """A spring wire.

    Parameters
    ----------
    name : str
        As written in a layout file.
    moduli : tuple of (float, float, float)
        Rows of greatest diameter [m], E [Pa] and G [Pa], thin wire first.
    strength : tuple of (float, str, float, float)
        Rows of greatest diameter [m], law and its two numbers, thin wire
        first: ``power`` A/dᵐ with A in MPa·mmᵐ; ``log`` A - B lg d with A, B
        in MPa; ``least`` A in MPa; d in mm.
    thinnest : float
        Least diameter for which the strength is given. [m]
    shares : Shares
        What it may carry.
    source : str
        Of moduli and strength.
    """

    name: str
    moduli: tuple[tuple[float, float, float], ...]
    strength: tuple[tuple[float, str, float, float], ...]
    thinnest: float
    shares: Shares
    source: str

    def elastic(self, diameter: Number) -> tuple[Number, Number]:
        """Return E and G for a wire diameter. [Pa].

        >>> [
        ...     round(v / 6.894757e9, 2)
        ...     for v in WIRES["hard-drawn A227"].elastic(8.89e-4)
        ... ]
        [28.7, 11.6]
        """
        (_, young, shear), *thinner = reversed(self.moduli)
        for thickest, e, g in thinner:
            thin = diameter <= thickest
            young, shear = pick(thin, e, young), pick(thin, g, shear)
        return young, shear

    def tensile(self, diameter: Number) -> Number | None:
        """Return the tensile strength, or None outside the table. [Pa].

        Of a column, nan in the rows outside.

        >>> round(WIRES["music wire A228"].tensile(0.002) / 1e6)
        2003
        """
        thickest = self.strength[-1][0] * (1 + 1e-9)
        tabled = (diameter >= self.thinnest) & (diameter <= thickest)
        if not is_column(tabled) and not tabled:
            return None
        strength: Number = math.nan
        for thickest, law, one, two in reversed(self.strength):
            thin = tabled & (diameter <= thickest * (1 + 1e-9))
            strength = pick(thin, _strength(law, one, two, diameter * 1e3), strength)
        return strength


def _strength(law: str, one: float, two: float, d_mm: Number) -> Number:
    """Return one row's strength at a diameter in millimetres. [Pa]."""
    if law == "power":
        return one * d_mm**-two * 1e6
    if law == "log":
        return (one - two * log10(d_mm)) * 1e6
    return one * 1e6


def _mpsi(*rows: tuple[float, float, float]) -> tuple[tuple[float, float, float], ...]:
    return tuple((d * _INCH, e * _MPSI, g * _MPSI) for d, e, g in rows)


def _power(kpsi: float, m: float) -> tuple[float, float]:
    """Return A in MPa·mmᵐ and m from A in kpsi·inᵐ, as Table 10-4 prints it."""
    return kpsi * _MPSI / 1e9 * 25.4**m, m


_INF: Final = math.inf
_SHIGLEY: Final = (
    "moduli Shigley, 10th ed., Table 10-5; strength Table 10-4; from memory"
)
_EN_1: Final = (
    "moduli EN 10270-1; least strength EN 10270-1 as the fit A - B lg d of "
    "DIN 17223-1; from memory"
)


def _en_10270_1(grade: str, one: float, two: float, thickest_mm: float) -> Wire:
    return Wire(
        name=f"EN 10270-1 {grade}",
        moduli=((_INF, 206e9, 81.5e9),),
        strength=((thickest_mm * 1e-3, "log", one, two),),
        thinnest=0.3e-3 if grade != "SL" else 1e-3,
        shares=_CARBON,
        source=_EN_1,
    )


_ROWS: Final = (
    Wire(
        name="hard-drawn A227",
        # The row .064-.125 in (28.6, 11.5) is printed in Machinery's Handbook,
        # 32nd ed., Table 20, too.
        moduli=_mpsi(
            (0.0325, 28.8, 11.7),
            (0.0635, 28.7, 11.6),
            (0.125, 28.6, 11.5),
            (_INF, 28.5, 11.4),
        ),
        strength=((12.7e-3, "power", *_power(140, 0.190)),),
        thinnest=0.7e-3,
        shares=_CARBON,
        source=_SHIGLEY,
    ),
    Wire(
        name="music wire A228",
        moduli=_mpsi(
            (0.0325, 29.5, 12.0),
            (0.0635, 29.0, 11.85),
            (0.125, 28.5, 11.75),
            (_INF, 28.0, 11.6),
        ),
        strength=((6.5e-3, "power", *_power(201, 0.145)),),
        thinnest=0.1e-3,
        shares=_CARBON,
        source=_SHIGLEY,
    ),
    Wire(
        name="oil-tempered A229",
        moduli=_mpsi((_INF, 28.5, 11.2)),
        strength=((12.7e-3, "power", *_power(147, 0.187)),),
        thinnest=0.5e-3,
        shares=_CARBON,
        source=_SHIGLEY,
    ),
    _en_10270_1("SL", 1720, 660, 10),
    _en_10270_1("SM", 1980, 740, 20),
    _en_10270_1("SH", 2230, 820, 20),
    Wire(
        name="EN 10270-3 1.4310",
        moduli=((_INF, 180e9, 70e9),),
        strength=tuple(
            (d_mm * 1e-3, "least", float(mpa), 0.0)
            for d_mm, mpa in (
                (0.2, 2200),
                (0.3, 2150),
                (0.4, 2100),
                (0.5, 2050),
                (0.65, 2000),
                (0.8, 1950),
                (1.0, 1900),
                (1.25, 1850),
                (1.5, 1800),
                (1.75, 1750),
                (2.0, 1700),
                (2.5, 1650),
                (3.0, 1600),
                (3.5, 1550),
                (4.25, 1500),
                (5.0, 1450),
                (6.0, 1400),
            )
        ),
        thinnest=0.1e-3,
        shares=_STAINLESS,
        source="moduli and least strength (normal) EN 10270-3, from memory",
    ),
)

WIRES: Final[dict[str, Wire]] = {row.name: row for row in _ROWS}


def wire_named(name: str, *, key: tuple[str, ...] = ()) -> Wire:
    """Return the wire of a name; its grade or standard's number is enough.

    Parameters
    ----------
    name : str
        Such as ``music wire A228``, ``A228``, ``EN 10270-1 SM`` or ``1.4310``.
    key : tuple of str
        Where it stands in the layout file, for the error.

    Raises
    ------
    LayoutError
        If no wire, or more than one, has that name.

    >>> wire_named("a228").name
    'music wire A228'
    """
    wanted = name.casefold().split()
    found = [
        wire
        for wire in WIRES.values()
        if set(wanted) - {"wire", "en"}
        and all(word in wire.name.casefold().split() for word in wanted)
    ]
    if len(found) != 1:
        msg = f"unknown spring wire `{name}`"
        hint = did_you_mean(name, WIRES)
        raise LayoutError(msg, hint=hint, key=key)
    return found[0]
