"""Write the derived formulas as modules: ``python -m linkage.formulas.write``.

Run it after a change of a derivation. What it writes, the modules `derived`,
`derived_runs`, `derived_cams`, `derived_slides` and `derived_slide_partials`, travels with
the package, so that nobody who uses it waits for sympy; a test holds them against a fresh
derivation.

Not here: deriving (`formulas.derivation`, `formulas.run_derivation`,
`formulas.cam_derivation`, `formulas.slide_derivation`), how a formula is put as text
(`formulas.text`), calling (`formulas.kernels`, `formulas.run_kernels`,
`formulas.cam_kernels`, `formulas.slide_kernels`).
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

import sympy as sp

from linkage.formulas import cam_derivation as m
from linkage.formulas import derivation as c
from linkage.formulas import run_derivation as d
from linkage.formulas import slide_derivation as g
from linkage.formulas.text import write_function, write_names

#: Where the modules stand.
PLACE: Final = Path(__file__).with_name("derived.py")
RUNS: Final = Path(__file__).with_name("derived_runs.py")
CAMS: Final = Path(__file__).with_name("derived_cams.py")
SLIDES: Final = Path(__file__).with_name("derived_slides.py")
SLIDE_PARTIALS: Final = Path(__file__).with_name("derived_slide_partials.py")

_HEAD: Final = '''"""The derived formulas{of}, as plain arithmetic over NumPy.

Written by ``python -m linkage.formulas.write`` from `formulas.{source}`: never
edit it. The names are the derivation's own; lengths in m, angles in rad.

Not here: shapes, blocks and units (`formulas.{kernels}`).
"""

from __future__ import annotations

from typing import Any

from numpy import {functions}
'''

_ROD: Final = _HEAD.format(
    of="", source="derivation", kernels="kernels", functions="cos, sin, sqrt"
)
_OF_RUNS: Final = _HEAD.format(
    of=" of free runs of wire",
    source="run_derivation",
    kernels="run_kernels",
    functions="arctan2 as atan2\nfrom numpy import cos, sin, sqrt",
)
_OF_CAMS: Final = _HEAD.format(
    of=" of cams",
    source="cam_derivation",
    kernels="cam_kernels",
    functions="sqrt",
)
_OF_SLIDES: Final = _HEAD.format(
    of=" of rods on slides",
    source="slide_derivation",
    kernels="slide_kernels",
    functions="cos, sin, sqrt",
)
_OF_SLIDE_PARTIALS: Final = _HEAD.format(
    of=" of what each size of a rod on a slide changes",
    source="slide_derivation",
    kernels="slide_kernels",
    functions="cos, sin",
)


def module_text() -> str:
    """Derive every formula and return the text of `formulas.derived`."""
    before, after = (c.C1, c.S1), (c.C2, c.S2)
    position = (*before, *after, *c.REDUCED)
    cosine, sine, reach = c.closed_form()
    ahead, aside = c.ray()
    a, b, k = c.abk()
    # Where the loop is closed C2 b - S2 a, the driven moment, is the branch's root.
    root = c.sigma * sp.sqrt(a**2 + b**2 - k**2)
    functions = [
        write_function(
            "coefficients",
            c.PARAMETERS,
            {str(s): e for s, e in c.coefficients_of_arms().items()},
            means="Return the nine reduced coefficients of a rod.",
            given=c.arms(),
        ),
        write_function(
            "close",
            (*before, *c.REDUCED, c.sigma),
            {"C2": cosine, "S2": sine, "reach": reach},
            means="Return cosine and sine of the driven turn, and the reach.",
        ),
        write_function(
            "close_moments",
            (*before, *c.REDUCED, c.sigma),
            {
                "C2": cosine,
                "S2": sine,
                "reach": reach,
                "driver": c.driver_moment(),  # in C2 and S2, which are known by then
                "driven": root,
            },
            means="Return what `close` and `moments` do, common parts worked out once.",
        ),
        write_function(
            "ray",
            (c.T1, *c.REDUCED, c.sigma),
            {"y": ahead, "x": aside},
            means="Return a point in the direction of the driven turn, sine first.",
        ),
        write_function(
            "moments",
            position,
            {"driver": c.driver_moment(), "driven": c.driven_moment()},
            means="Return the loop's derivatives by the driver's and the driven turn.",
        ),
        write_function(
            "miss",
            position,
            {"miss": c.reduced_loop()},
            means="Return the loop itself, zero where it is closed.",
        ),
        write_function(
            "rates",
            position,
            {"first": c.ratio(), "second": c.curvature()},
            means="Return first and second derivative of the driven turn.",
        ),
        write_function(
            "ratio",
            position,
            {"first": c.ratio()},
            means="Return the first derivative of the driven turn.",
        ),
        write_function(
            "partials",
            (*before, *after, *c.PARAMETERS),
            {f"by_{p}": c.partials()[p] for p in c.MEASURED},
            means="Return the change of the driven turn by each measured parameter.",
        ),
    ]
    names = [
        write_names(
            "PARAMETER_NAMES", "Parameters of a rod, in their order.", c.PARAMETERS
        ),
        write_names("MEASURED_NAMES", "Those that `partials` returns.", c.MEASURED),
    ]
    return "\n".join([_ROD, *names, *(f"\n\n{f}" for f in functions), ""])


def run_text() -> str:
    """Derive every formula of free runs and return the text of `formulas.derived_runs`."""
    turn, arm = (c.C2, c.S2), (d.K, d.P, d.Q)
    cosine, sine, reach = d.arm_turn()
    first, second = d.arm_rates()
    drum = d.drum_at_rest()
    functions = [
        write_function(
            "arm_coefficients",
            d.ARM,
            {str(s): e for s, e in d.arm_coefficients().items()},
            means="Return the coefficients of the run to a bare arm.",
            given=d.given(),
        ),
        write_function(
            "arm_run",
            (*turn, *arm),
            {"run": d.arm_run()},
            means="Return the run to a bare arm.",
        ),
        write_function(
            "arm_rates",
            (*turn, *arm),
            {"first": first, "second": second},
            means="Return its first and second derivative by the turn.",
        ),
        write_function(
            "arm_by_radius",
            (*turn, *arm, c.r),
            {"by_radius": d.arm_by_radius()},
            means="Return its derivative by the arm's length.",
        ),
        write_function(
            "arm_turn",
            (d.a, *arm, c.sigma),
            {"C2": cosine, "S2": sine, "reach": reach},
            means="Return cosine and sine of the turn at a run, and the reach.",
        ),
        write_function(
            "drum_at_rest",
            (*d.ARM, d.omega),
            drum,
            means="Return straight part, direction of its foot, and its square.",
            given=d.given(),
        ),
        write_function(
            "drum_run",
            (d.straight, d.wound, c.r),
            {"run": d.drum_run()},
            means="Return the run to a drum.",
        ),
        write_function(
            "drum_wound",
            (d.straight, d.a, c.r),
            {"wound": d.drum_wound()},
            means="Return the angle on which the wire lies at a run.",
        ),
        write_function(
            "drum_by_radius",
            (d.straight, d.wound, c.r, d.flat),
            {"by_radius": d.drum_by_radius()},
            means="Return the derivative of the run to a drum by its radius.",
        ),
    ]
    names = write_names("ARM_NAMES", "An arm and the end of a sheath.", d.ARM)
    return "\n".join([_OF_RUNS, names, *(f"\n\n{f}" for f in functions), ""])


def cam_text() -> str:
    """Derive every formula of cams and return the text of `formulas.derived_cams`."""
    turns = (c.C1, c.S1, c.C2, c.S2)
    function = write_function(
        "pin_way",
        (*turns, *m.SEEN, *m.FIRST, *m.SECOND),
        m.way(),
        means="Return the pin in the cam, the normal of its way, its bend, and the push.",
    )
    return "\n".join([_OF_CAMS.rstrip(), f"\n\n{function}", ""])


def slide_text() -> str:
    """Derive every formula of slides and return the text of `formulas.derived_slides`."""
    functions = []
    for kind, (_, slides) in g.KINDS.items():
        one, two = g.variables(kind)
        functions.append(
            write_function(
                f"coefficients_{kind}",
                c.PARAMETERS,
                {str(s): e for s, e in g.coefficients(kind).items()},
                means="Return the nine reduced coefficients of a rod.",
                given=c.arms(),
            )
        )
        if slides:
            way, reach = g.driven_slide(kind)
            functions.append(
                write_function(
                    f"close_{kind}",
                    (*one, *c.REDUCED, c.L, c.sigma),
                    {"X2": way, "reach": reach},
                    means="Return the driven slide's way, and the reach.",
                )
            )
        driver, driven = g.moments(kind)
        first, second = g.rates(kind)
        told = {
            "moments": {"driver": driver, "driven": driven},
            "miss": {"miss": g.reduced_loop(kind)},
            "rates": {"first": first, "second": second},
        }
        means = {
            "moments": "Return the loop's derivatives by the driver's and the driven place.",
            "miss": "Return the loop itself, zero where it is closed.",
            "rates": "Return first and second derivative of the driven place.",
        }
        functions += [
            write_function(
                f"{name}_{kind}", (*one, *two, *c.REDUCED), results, means=means[name]
            )
            for name, results in told.items()
        ]
    return "\n".join([_OF_SLIDES.rstrip(), *(f"\n\n{f}" for f in functions), ""])


def slide_partials_text() -> str:
    """Return the text of `formulas.derived_slide_partials`."""
    functions = [
        write_function(
            f"partials_{kind}",
            (*one, *two, *c.PARAMETERS),
            {f"by_{p}": g.partials(kind)[p] for p in c.MEASURED},
            means="Return the change of the driven place by each measured parameter.",
        )
        for kind in g.KINDS
        for one, two in [g.variables(kind)]
    ]
    head = _OF_SLIDE_PARTIALS.rstrip()
    return "\n".join([head, *(f"\n\n{f}" for f in functions), ""])


if __name__ == "__main__":
    PLACE.write_text(module_text(), encoding="utf-8")
    RUNS.write_text(run_text(), encoding="utf-8")
    CAMS.write_text(cam_text(), encoding="utf-8")
    SLIDES.write_text(slide_text(), encoding="utf-8")
    SLIDE_PARTIALS.write_text(slide_partials_text(), encoding="utf-8")
