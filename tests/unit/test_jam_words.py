"""A jam is told of what jams: a rod, or a cable by its own word.

Not here: how jams are found (`test_working`).
"""

from __future__ import annotations

from linkage.model.refs import Ref
from linkage.motion import assemble, working_travel
from tests.cabled import drum


def test_the_jam_of_a_cable_is_no_jam_of_a_rod():
    working = working_travel(assemble(drum()))
    (jam,) = (ref for ref in working.stops if ref.kind == "jam")
    assert jam == Ref("jam", "main", "cable")
    assert str(jam) == "jam of cable main"
    assert not working.is_stopped_by("jam", "main")
