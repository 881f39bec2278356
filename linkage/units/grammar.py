"""The strict grammar of a number with its unit.

::

    quantity  = [sign] (number [unit] | feet) [("±" | "+/-") number [unit]]
    feet      = whole ("ft" | "'") ["-"] number ("in" | '"'), of lengths
    number    = decimal | whole " " fraction | fraction
    decimal   = digits ["." digits] ["e" [sign] digits]

A decimal comma, a unit that is not listed for the kind, or no unit where none
is agreed is an error with a cure. Nothing is ever evaluated.

Not here: which units there are (`table`), their size (`convert`).
"""

from __future__ import annotations

import re
from fractions import Fraction
from functools import lru_cache
from typing import Final

from linkage.errors import UnitError, did_you_mean
from linkage.quantities import SHOWN
from linkage.records import dataclass
from linkage.units.convert import to_si
from linkage.units.table import BARE, KINDS, UNITS, canonical, words

#: Most digits before, and after, the point.
MOST_DIGITS: Final = 20
#: Longer text is no quantity.
MOST_TEXT: Final = 100
#: No number of any unit in this trade is larger.
GREATEST: Final = 1e12
#: Inches to a foot.
INCHES: Final = 12

_FRACTION: Final = rf"[0-9]{{1,{MOST_DIGITS}}}[ ]*/[ ]*[0-9]{{1,{MOST_DIGITS}}}"
_WHOLE: Final = rf"[0-9]{{1,{MOST_DIGITS}}}"
_DECIMAL: Final = (
    rf"(?:[0-9]{{1,{MOST_DIGITS}}}(?:\.[0-9]{{1,{MOST_DIGITS}}})?"
    rf"|\.[0-9]{{1,{MOST_DIGITS}}})(?:[eE][-+]?[0-9]{{1,3}})?"
)
_NUMBER: Final = rf"(?:{_WHOLE}[ ]+{_FRACTION}|{_FRACTION}|{_DECIMAL})"
#: Feet and inches as one length.
_FOOT: Final = r"[ ]*(?:ft|foot|feet|'|′|’)"
_INCH: Final = "[ ]*(?:inches|inch|in|''|\"|″|”)"
_FEET: Final = rf"{_WHOLE}{_FOOT}[ ]*-?[ ]*{_NUMBER}{_INCH}"
_SIGN: Final = "[-+−]?[ ]*"
_MARK: Final = r"[ ]*(?:±|\+/-|\+-)[ ]*"


def number_pattern(kind: str, *, signed: bool = True) -> str:
    """Return the regular expression for text of a kind, whole and anchored.

    Parameters
    ----------
    kind : str
        Key of `linkage.quantities.SHOWN`.
    signed : bool
        Whether a minus sign is allowed.

    Returns
    -------
    str
        In the subset that Python and ECMA 262 share, for the JSON Schema.
    """
    sign = _SIGN if signed else "[+]?[ ]*"
    units = sorted(UNITS[kind], key=len, reverse=True)
    unit = (
        "(?:[ ]*(?:" + "|".join(re.escape(u).replace(r"\ ", " ") for u in units) + "))?"
    )
    body = _NUMBER + (unit if units else "")
    body = sign + (f"(?:{_FEET}|{body})" if kind == "length" else body)
    tail = _NUMBER + (unit if units else "")
    return rf"^[ ]*{body}(?:{_MARK}{tail})?[ ]*$(?!\n)"


@dataclass(frozen=True, slots=True)
class Parsed:
    """A quantity that was read.

    Parameters
    ----------
    value : float
        In SI. [SI]
    tolerance : float
        Either way; 0 where none is given. [SI]
    understood : str
        What was understood, in the shown unit.
    kind : str
        A key of `table.UNITS`.
    unit : str
        The word of the unit in which it was measured; empty of a plain number.
    """

    value: float
    tolerance: float
    understood: str
    kind: str = ""
    unit: str = ""


@lru_cache(maxsize=1)
def _shape() -> re.Pattern[str]:
    unit = r"((?:[^\W\d_]|[°%'′’\"″”])(?:[^±+]*[^ ±+])?)?"
    part = rf"({_NUMBER})[ ]*{unit}"
    return re.compile(rf"({_SIGN}){part}(?:{_MARK}{part})?")


@lru_cache(maxsize=1)
def _feet_shape() -> re.Pattern[str]:
    part = rf"({_NUMBER})[ ]*(.*[^ ])?"
    return re.compile(
        rf"({_SIGN})({_WHOLE}){_FOOT}[ ]*-?[ ]*({_NUMBER}){_INCH}(?:{_MARK}{part})?"
    )


def _feet(text: str, key: tuple[str, ...]) -> Parsed | None:
    """Read feet and inches as one length; None where it is none."""
    found = _feet_shape().fullmatch(text.strip(" ")) if len(text) <= MOST_TEXT else None
    if found is None:
        return None
    sign, feet, inches, margin, margin_unit = found.groups()
    over = _number(inches, key)
    if over >= INCHES:
        msg = f"`{text}` has {float(over):g} inches after its feet"
        hint = f"less than {INCHES} inches follow feet, such as `1 ft 2 in`"
        raise UnitError(msg, hint=hint, key=key)
    value = (INCHES * int(feet) + over) * (-1 if sign[:1] in {"-", "−"} else 1)
    if abs(value) >= GREATEST:
        msg = f"`{text}` is no number that can be measured"
        raise UnitError(msg, hint="check its digits", key=key)
    tolerance = None if margin is None else _number(margin, key)
    word = "in" if margin_unit is None else _unit(margin_unit, "length", key)
    return _made(value, tolerance, "length", ("in", word), key)


def _number(text: str, key: tuple[str, ...]) -> Fraction:
    whole, _, rest = text.strip().rpartition(" ") if "/" not in text else _split(text)
    if "/" in rest:
        top, bottom = rest.replace(" ", "").split("/")
        if int(bottom) == 0:
            msg = f"the fraction `{rest}` has a zero under its line"
            raise UnitError(msg, hint="write it as 3/8 or as a decimal number", key=key)
        return Fraction(int(whole or 0)) + Fraction(int(top), int(bottom))
    return Fraction(rest)


def _split(text: str) -> tuple[str, str, str]:
    """Part the whole number from its fraction.

    >>> _split("2 3 / 8")
    ('2', ' ', '3/8')
    """
    top, bottom = text.split("/")
    whole, gap, number = top.strip().rpartition(" ")
    return whole, gap, f"{number}/{bottom.strip()}"


def _unit(spelling: str, kind: str, key: tuple[str, ...]) -> str:
    """Return the word of a unit that is written, or say what is wrong with it."""
    known = UNITS[kind]
    if spelling in known:
        return canonical(kind, spelling)
    for other in KINDS:
        if spelling in UNITS[other]:
            msg = f"`{spelling}` is a unit of {other}, not of {kind}"
            raise UnitError(msg, hint=_listed(kind), key=key)
    msg = f"unknown unit `{spelling[:40]}`"
    folded = {word.casefold(): word for word in known}
    if spelling.casefold() in folded:
        hint = f"did you mean `{folded[spelling.casefold()]}`?"
    elif known:
        hint = did_you_mean(spelling, words(kind))
        hint = hint if hint.startswith("did") else _listed(kind)
    else:
        hint = _listed(kind)
    raise UnitError(msg, hint=hint, key=key)


def _listed(kind: str) -> str:
    if not UNITS[kind]:
        return "write a plain number without a unit"
    return f"units of {kind}: {', '.join(words(kind))}"


def _no_unit(text: str, kind: str, key: tuple[str, ...]) -> UnitError:
    msg = f"`{text}` has no unit"
    if "/" in text:
        hint = f"a fraction always needs its unit, one of {', '.join(words(kind))}"
        return UnitError(msg, hint=hint, key=key)
    hint = (
        f"write it as text with one of {', '.join(words(kind))}, or name the unit of all "
        f"bare numbers once: units.{kind.replace(' ', '_')}"
    )
    return UnitError(msg, hint=hint, key=key)


def _not_a_number(text: str, kind: str, key: tuple[str, ...]) -> UnitError:
    shown = text if len(text) <= 40 else text[:37] + "..."
    good = f"for example `{' '.join(['50', *words(kind)[:1]])}`"
    if not text.strip():
        msg = "an empty text is no number"
        return UnitError(msg, hint=f"write a number and a unit, {good}", key=key)
    if re.search(r"[0-9],[0-9]", text):
        fixed = re.sub(r"([0-9]),([0-9])", r"\1.\2", shown)
        msg = f"`{shown}` has a decimal comma"
        return UnitError(
            msg, hint=f"write a point and no thousands mark: `{fixed}`", key=key
        )
    if re.search(rf"[0-9]{{{MOST_DIGITS + 1},}}", text):
        msg = f"`{shown}` has more than {MOST_DIGITS} digits"
        return UnitError(msg, hint="round it", key=key)
    msg = f"`{shown}` is not a number with a unit"
    return UnitError(msg, hint=f"write a number and a unit, {good}", key=key)


def parse(
    written: object,
    kind: str,
    *,
    default_unit: str | None = None,
    key: tuple[str, ...] = (),
) -> Parsed:
    r"""Read a quantity.

    Parameters
    ----------
    written : str, int or float
        As it stands in the file or on the command line.
    kind : str
        Key of `linkage.quantities.SHOWN`.
    default_unit : str, optional
        Unit of a bare number; None refuses bare numbers, except for the kinds
        that have none.
    key : tuple of str
        Where it stands in the layout file, for the error.

    Returns
    -------
    Parsed
        In SI.

    Raises
    ------
    UnitError
        If it is not a number with a unit of that kind.

    Examples
    --------
    >>> parse("2 3/8 in", "length").value
    0.060325
    >>> parse("60 +/- 0.5 mm", "length").understood
    '60 mm ± 0.5 mm'
    >>> parse("1' 2\"", "length").understood
    '355.6 mm'
    """
    if isinstance(written, bool) or not isinstance(written, (str, int, float)):
        msg = f"a {kind} cannot be {_named(written)}"
        raise UnitError(msg, hint=_not_a_number("?", kind, key).hint, key=key)
    if isinstance(written, str):
        return _from_text(written, kind, default_unit, key)
    if not abs(written) < GREATEST:
        whole = isinstance(written, int)  # Python writes no more than 4300 digits
        shown = "a whole number of that size" if whole else f"`{written}`"
        msg = f"{shown} is no number that can be measured"
        raise UnitError(msg, hint="write a plain decimal number", key=key)
    word = _default(str(written), kind, default_unit, key)
    return _made(Fraction(str(written)), None, kind, (word, word), key)


def _named(written: object) -> str:
    names = {
        bool: "true or false",
        list: "a list",
        dict: "a table",
        type(None): "empty",
    }
    return names.get(type(written), f"a {type(written).__name__}")


def _default(
    text: str, kind: str, default_unit: str | None, key: tuple[str, ...]
) -> str:
    if default_unit is not None:
        return _unit(default_unit, kind, key)
    if kind in BARE:
        return ""
    raise _no_unit(text, kind, key)


def _from_text(
    text: str, kind: str, default_unit: str | None, key: tuple[str, ...]
) -> Parsed:
    if kind == "length" and (feet := _feet(text, key)) is not None:
        return feet
    found = _shape().fullmatch(text.strip(" ")) if len(text) <= MOST_TEXT else None
    if found is None:
        raise _not_a_number(text, kind, key)
    sign, number, unit, margin, margin_unit = found.groups()
    value = _number(number, key) * (-1 if sign[:1] in {"-", "−"} else 1)
    tolerance = None if margin is None else _number(margin, key)
    if unit is None and margin_unit is not None:
        unit = margin_unit
    if unit is None:
        word = _default(text, kind, default_unit, key)
        if "/" in number and word not in {"in", "ft", ""}:
            raise _no_unit(text, kind, key)
    else:
        word = _unit(unit, kind, key)
    margin_word = word if margin_unit is None else _unit(margin_unit, kind, key)
    if max(abs(value), tolerance or 0) >= GREATEST:
        msg = f"`{text}` is no number that can be measured"
        raise UnitError(msg, hint="check its digits", key=key)
    return _made(value, tolerance, kind, (word, margin_word), key)


def _made(
    number: Fraction,
    tolerance: Fraction | None,
    kind: str,
    units: tuple[str, str],
    key: tuple[str, ...],
) -> Parsed:
    value = to_si(number, kind, units[0])
    margin = 0.0 if tolerance is None else to_si(tolerance, kind, units[1], step=True)
    if kind == "fraction" and not 0 <= value <= 1:
        msg = "a fraction must lie between 0 and 1"
        raise UnitError(msg, hint="write 0.98, or `98 %`", key=key)
    understood = _understood(value, kind)
    if tolerance is not None:
        understood += f" ± {_understood(margin, kind)}"
    return Parsed(value, margin, understood, kind, units[0])


def _understood(value: float, kind: str) -> str:
    row = SHOWN[kind]
    number = f"{value / row.factor:.6g}"
    return f"{number} {row.unit}".strip()
