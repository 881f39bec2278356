"""A cam that pushes its roller, which stands on its own stop where the cam falls away.

It is the connector that loses motion (decision 0016): short of the roller the cam turns
by itself, past that the roller goes where the cam has it. Where the roller runs off the
end of the profile, slack or not, the linkage goes no further.

Not here: cam and roller while they touch (`connect.cam`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from linkage.connect.cam_line import CamLine
from linkage.connect.lost_motion import CLOSE, LostMotion, Slack
from linkage.errors import AssemblyError
from linkage.records import dataclass

if TYPE_CHECKING:
    from linkage.connect.cam import CamConnector
    from linkage.connect.connector import Drawn, End, Line, Pair
    from linkage.errors import LinkageError
    from linkage.model.columns import Number


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class CamPush(LostMotion):
    """A cam and its roller; see `connect.Connector` and `LostMotion`."""

    rod: CamConnector

    def refusal(self) -> LinkageError | None:
        """Return why one layout cannot be put together; None where it can."""
        if self.ok:
            return None
        if not self.rod.ok:
            return self.rod.refusal()
        cam, driven = self.link.rod, self.link.driven
        msg = f"{cam.called} holds the roller on `{driven}` further away than that reaches"
        hint = (
            "as measured both would be in one place: see to the pivots, both arms and the "
            "profile"
        )
        return AssemblyError(msg, hint=hint, key=(*cam.key, "to"))

    def close(self, one: Pair) -> tuple[Any, Any, Any]:
        """Return cosine and sine of the driven turn, and the reach.

        The reach is no more than the turn that is left to either end of the profile.
        """
        # The zero-argument form does not know the class that slots make anew.
        cosine, sine, reach = LostMotion.close(self, one)
        return cosine, sine, np.fmin(reach, self.rod.faces(one, (cosine, sine)))

    def line(self, driver: End, driven: End) -> Line:
        """Return how it lies to its two arms."""
        line = self.rod.line(driver, driven)
        return SlackCamLine.of(line, self.carries * (self.length - line.apart) > CLOSE)

    def short_by(self, turn: Number) -> Number:
        """Return 0: by how much a roller runs off its profile is no length. [m]."""
        return self.rod.short_by(turn)

    @property
    def drawn(self) -> Drawn:
        """A profile and a roller."""
        return self.rod.drawn


class SlackCamLine(Slack, CamLine):
    """A cam whose roller may be clear of it."""
