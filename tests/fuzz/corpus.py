"""Every case that once ended in a fault of the program, or took all time or memory.

Each is a shipped layout with some keys set, as they stand in TOML, or a whole text.
"""

from __future__ import annotations

import tomllib
from typing import TYPE_CHECKING, Any, Final

from tests.fuzz.mutate import put
from tests.fuzz.run import Case
from tests.fuzz.seeds import layouts
from tests.fuzz.toml_text import Raw, dumped

if TYPE_CHECKING:
    from collections.abc import Mapping

CHECK: Final = ("check", "{layout}")


def _with(seed: str, sets: Mapping[tuple[Any, ...], str | None]) -> bytes:
    """Return a layout with keys set to text as it stands in TOML; None takes one away."""
    data = tomllib.loads(layouts()[seed])
    for path, value in sets.items():
        put(data, path, None if value is None else Raw(value))
    return dumped(data).encode()


def _plain(seed: str, *changes: tuple[str, str]) -> bytes:
    """Return a layout with words of its text exchanged."""
    text = layouts()[seed]
    for old, new in changes:
        assert old in text, old
        text = text.replace(old, new)
    return text.encode()


_PAD: Final = ("shafts", "pedal", "arms", "pad", "length")
#: By what was wrong: the command line, and the layout.
_FOUND: Final[dict[str, tuple[tuple[str, ...], bytes]]] = {
    "a pad of a thousandth of a millimetre asked for 111 TiB": (
        CHECK,
        _with("hanging-pedal", {_PAD: "0.001"}),
    ),
    "a cable that hangs loose by a thousand kilometres asked for 15 GiB": (
        CHECK,
        _with("cable-drum", {("cables", "main", "slack"): "1e9"}),
    ),
    "a wire of no thickness": (
        CHECK,
        _with("cable-drum", {("cables", "main", "wire"): "1e-300"}),
    ),
    "a sheath that ends on the pedal's pivot": (
        CHECK,
        _with("cable-drum", {("cables", "main", "sheath_from"): "[0, 0, 1e-300]"}),
    ),
    "a slide's pin on the pedal's pivot stood still": (
        CHECK,
        _with("slide-to-pump", {("slides", "bar", "pins", "near"): "[0, 0, 0]"}),
    ),
    "a key of 40 kB took 1.6 GB": (CHECK, b"a." * 20000 + b"a = 1\n"),
    "a table of 20000 parts": (CHECK, b"[" + b"a." * 20000 + b"a]\n"),
    "brackets 5000 deep": (CHECK, b"a = " + b"[" * 5000 + b"]" * 5000),
    "a whole number of 309 digits": (
        CHECK,
        _with("hanging-pedal", {("pedal", "travel"): "9" * 309}),
    ),
    "a whole number of 5000 digits": (
        CHECK,
        _with("hanging-pedal", {("pedal", "travel"): "9" * 5000}),
    ),
    "a number of base 16 of 5000 digits": (
        CHECK,
        _with("hanging-pedal", {("pedal", "travel"): "0x" + "f" * 5000}),
    ),
    "a file of nothing but keys": (
        CHECK,
        "".join(f"k{i} = 1\n" for i in range(20_000)).encode(),
    ),
    "a part called [key] with a fault": (
        CHECK,
        _plain("hanging-pedal", ("rods.link", 'rods."[key]"'), ("joints ", "joint ")),
    ),
    "a spring at hand with a name that steers": (
        ("springs", "{layout}", "--choose", "near", "--at-hand", "{other}"),
        _plain("hanging-pedal"),
    ),
    "dots in all names of arms": (
        ("springs", "{layout}"),
        _plain(
            "hanging-pedal",
            ("spindle.lever", "spindle.le.v.er"),
            ("arms.lever", 'arms."le.v.er"'),
            ("spindle.spring", "spindle.s.pring"),
            ("arms.spring", 'arms."s.pring"'),
            ("spindle.far spring", "spindle.f.ar"),
            ('arms."far spring"', 'arms."f.ar"'),
        ),
    ),
    "bearings of 1000 mm": (
        ("check", "{layout}", "--all"),
        _plain(
            "hanging-pedal",
            ("bearing = 12 ", "bearing = 1000 "),
            ("bearing = 8", "bearing = 1000"),
        ),
    ),
    "a bearing of 1000 mm, pictured": (
        ("springs", "{layout}", "-o", "{out}.svg"),
        _plain("hanging-pedal", ("bearing = 8", "bearing = 1000")),
    ),
    "a search kept what it could work out again": (
        ("springs", "{layout}", "--json"),
        _plain("hauler"),
    ),
    "mathematics in a title and a name": (
        ("check", "{layout}", "--picture", "{out}.svg"),
        _plain(
            "hanging-pedal",
            ("rods.link", "rods.'$x^{$'"),
            ('"Yard truck, one rod from a hanging pedal"', r"'$\frac{$ a_b^c $'"),
        ),
    ),
    "two names that make one column": (
        ("springs", "{layout}", "--json"),
        _plain(
            "hanging-pedal",
            ("springs.near", 'springs."a b"'),
            ("springs.far", "springs.a_b"),
        ),
    ),
    "a rod that lies in line in every row": (
        ("springs", "{layout}", "--choose", "near", "--radii", "20 to 30 mm by 5 mm"),
        _plain(
            "fault-wrong-sense",
            ("pivot   = [92, -20, 130]", "pivot   = [92, -20000000000, 130]"),
        ),
    ),
    "an arm of twenty kilometres": (
        ("check", "{layout}"),
        _plain(
            "hanging-pedal",
            (
                "arms.lever        = { length = 32",
                'arms.lever        = { length = "2e7 mm"',
            ),
        ),
    ),
    "a spindle on the moon, swapped": (
        ("swap", "{layout}"),
        _with(
            "swapped-push-rod",
            {("shafts", "spindle", "pivot"): "[262, -240, 112000000000]"},
        ),
    ),
    "a title that steers the terminal": (
        ("check", "{layout}", "--all"),
        _with("hanging-pedal", {("title",): '"\\u001b[2J\\u202e\\u0007"'}),
    ),
    "a spring without a greatest length, slackened by the engine": (
        ("check", "{layout}", "--all"),
        _with("hauler", {("engine", "lift"): "1e-9"}),
    ),
}
#: The second file of some.
_OTHERS: Final = {
    "a spring at hand with a name that steers": (
        b'[springs."a\\u001b[2J\\u202e"]\nrate = "0.4 N/mm"\nfree_length = "80 mm"\n'
        b'initial_tension = "5 N"\ngreatest_length = "160 mm"\n'
    ),
}

CORPUS: Final = tuple(
    Case(name, words, layout, _OTHERS.get(name, b""))
    for name, (words, layout) in _FOUND.items()
)
