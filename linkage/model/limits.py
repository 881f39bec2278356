"""The limits against which a linkage is judged; every one can be changed.

Not here: their defaults, bounds and sources (`model.limit_rows`), the judging (`rules`).
"""

from __future__ import annotations

import math
from dataclasses import fields
from typing import TYPE_CHECKING, Final

from linkage.errors import LayoutError
from linkage.model.columns import every
from linkage.model.limit_rows import LIMIT_ROWS, LimitRow
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.model.columns import Number

__all__ = ["LIMIT_ROWS", "Limits"]

#: The first may not be more than the second: a look comes before a refusal.
ORDER: Final = (
    ("arm_rod_refuse", "arm_rod_strong"),
    ("arm_rod_strong", "arm_rod_look"),
    ("closing_least", "closing_look"),
    ("pad_force_light", "pad_force_look"),
    ("sheath_radius_refuse", "sheath_radius_look"),
    ("sheath_loss_look", "sheath_loss_refuse"),
    ("cable_slack_least", "cable_slack_most"),
    ("cam_pressure_look", "cam_pressure_refuse"),
    ("pad_force_look", "pad_force_refuse"),
    ("guide_share_look", "guide_share_refuse"),
    ("engine_rock_look", "engine_rock_refuse"),
    ("gap_own_refuse", "gap_own_look"),
)
#: Of a bound: an angle in degrees, or an inch, may be off by the last digit.
_NEARLY: Final = 1e-9


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """The limits in force, in SI; the fields are the keys of `LIMIT_ROWS`."""

    full_throttle: float = LIMIT_ROWS["full_throttle"].default
    full_throttle_worst: float = LIMIT_ROWS["full_throttle_worst"].default
    idle_gap: float = LIMIT_ROWS["idle_gap"].default
    idle_clearance: float = LIMIT_ROWS["idle_clearance"].default
    left_over_travel: float = LIMIT_ROWS["left_over_travel"].default
    lost_travel: float = LIMIT_ROWS["lost_travel"].default
    arm_rod_look: float = LIMIT_ROWS["arm_rod_look"].default
    arm_rod_strong: float = LIMIT_ROWS["arm_rod_strong"].default
    arm_rod_refuse: float = LIMIT_ROWS["arm_rod_refuse"].default
    dead_centre: float = LIMIT_ROWS["dead_centre"].default
    spring_line: float = LIMIT_ROWS["spring_line"].default
    tip_in: float = LIMIT_ROWS["tip_in"].default
    throttle_spread: float = LIMIT_ROWS["throttle_spread"].default
    closing_ratio: float = LIMIT_ROWS["closing_ratio"].default
    closing_ratio_one_off: float = LIMIT_ROWS["closing_ratio_one_off"].default
    closing_least: float = LIMIT_ROWS["closing_least"].default
    closing_look: float = LIMIT_ROWS["closing_look"].default
    closing_least_one_off: float = LIMIT_ROWS["closing_least_one_off"].default
    dirt_factor: float = LIMIT_ROWS["dirt_factor"].default
    pin_apart: float = LIMIT_ROWS["pin_apart"].default
    anchor_apart: float = LIMIT_ROWS["anchor_apart"].default
    spring_stretch: float = LIMIT_ROWS["spring_stretch"].default
    return_light: float = LIMIT_ROWS["return_light"].default
    return_heavy: float = LIMIT_ROWS["return_heavy"].default
    return_cold: float = LIMIT_ROWS["return_cold"].default
    pad_force_light: float = LIMIT_ROWS["pad_force_light"].default
    pad_force_look: float = LIMIT_ROWS["pad_force_look"].default
    pad_force_refuse: float = LIMIT_ROWS["pad_force_refuse"].default
    stamp_load: float = LIMIT_ROWS["stamp_load"].default
    hand_load: float = LIMIT_ROWS["hand_load"].default
    euler_share: float = LIMIT_ROWS["euler_share"].default
    over_travel_ratio: float = LIMIT_ROWS["over_travel_ratio"].default
    nipple_clear: float = LIMIT_ROWS["nipple_clear"].default
    cable_slack_least: float = LIMIT_ROWS["cable_slack_least"].default
    cable_slack_most: float = LIMIT_ROWS["cable_slack_most"].default
    sheath_radius_look: float = LIMIT_ROWS["sheath_radius_look"].default
    sheath_radius_refuse: float = LIMIT_ROWS["sheath_radius_refuse"].default
    sheath_loss_look: float = LIMIT_ROWS["sheath_loss_look"].default
    sheath_loss_refuse: float = LIMIT_ROWS["sheath_loss_refuse"].default
    drum_wrap: float = LIMIT_ROWS["drum_wrap"].default
    wire_factor: float = LIMIT_ROWS["wire_factor"].default
    guide_share_look: float = LIMIT_ROWS["guide_share_look"].default
    guide_share_refuse: float = LIMIT_ROWS["guide_share_refuse"].default
    guide_room: float = LIMIT_ROWS["guide_room"].default
    cam_pressure_look: float = LIMIT_ROWS["cam_pressure_look"].default
    cam_pressure_refuse: float = LIMIT_ROWS["cam_pressure_refuse"].default
    cam_left: float = LIMIT_ROWS["cam_left"].default
    engine_rock_look: float = LIMIT_ROWS["engine_rock_look"].default
    engine_rock_refuse: float = LIMIT_ROWS["engine_rock_refuse"].default
    gap_fixed: float = LIMIT_ROWS["gap_fixed"].default
    gap_moving: float = LIMIT_ROWS["gap_moving"].default
    gap_own_look: float = LIMIT_ROWS["gap_own_look"].default
    gap_own_refuse: float = LIMIT_ROWS["gap_own_refuse"].default
    gap_across: float = LIMIT_ROWS["gap_across"].default
    gap_exhaust: float = LIMIT_ROWS["gap_exhaust"].default

    def __post_init__(self) -> None:
        for name, row in LIMIT_ROWS.items():
            _within(name, row, getattr(self, name))
        for less, more in ORDER:
            _ordered(self, less, more)

    def changed(self) -> dict[str, tuple[float, float]]:
        """Return the limits that differ from their default, as (value, default).

        >>> Limits(stamp_load=600.0).changed()
        {'stamp_load': (600.0, 500.0)}
        """
        return {
            f.name: (getattr(self, f.name), LIMIT_ROWS[f.name].default)
            for f in fields(self)
            if getattr(self, f.name) != LIMIT_ROWS[f.name].default
        }

    def loosened(self) -> tuple[str, ...]:
        """Return the limits that let more pass than their default.

        >>> Limits(stamp_load=600.0, lost_travel=0.01).loosened()
        ('lost_travel',)
        """
        return tuple(
            name
            for name, (value, default) in self.changed().items()
            if (value - default) * LIMIT_ROWS[name].looser > 0
        )


def _within(name: str, row: LimitRow, value: Number) -> None:
    """Refuse a limit with which the check would mean nothing."""
    least, most = row.within
    low = value >= least * (1 - _NEARLY)  # what may be, so that nan is not
    high = value <= most * (1 + _NEARLY)
    if every(low & high):
        return
    loose = every(high if row.looser < 0 else low)
    how = f"is {'looser' if loose else 'stricter'} than can be meant"
    if not every(abs(value) < math.inf):
        how = "is no finite number"
    msg = f"the limit `{name}` {how}"
    hint = (
        f"{row.meaning}: from {row.say(least)} to {row.say(most)}, "
        f"{row.say(row.default)} where it is left out"
    )
    raise LayoutError(msg, hint=hint, key=("limits", name))


def _ordered(limits: Limits, less: str, more: str) -> None:
    """Refuse two limits of which the one would never be met before the other."""
    one, two = getattr(limits, less), getattr(limits, more)
    if every(one <= two * (1 + _NEARLY)):
        return
    msg = f"the limit `{less}` is more than `{more}`"
    hint = f"`{less}` may be as much as `{more}` at most; give both of them"
    rows = LIMIT_ROWS
    named = more if every(one == rows[less].default) else less
    raise LayoutError(msg, hint=hint, key=("limits", named))
