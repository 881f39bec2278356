"""What a check tells of slips and odd sizes, whether it came to a verdict or not.

Not here: finding slips (`slips`), their words (`report.slips`).
"""

from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from linkage.errors import LinkageError

if TYPE_CHECKING:
    from linkage.model import Layout
    from linkage.search import Check
    from linkage.slips import Question
    from linkage.slips.slip import Slips


@contextmanager
def explained(layout: "Layout", *, geometry: bool) -> Iterator[None]:
    """Add to an error of a check which slips would explain it.

    Raises
    ------
    LinkageError
        The same.
    """
    try:
        yield
    except LinkageError as error:
        from linkage.report.slips import doubt_lines
        from linkage.slips import questions, suspected

        slips = suspected(layout, geometry=geometry)
        odd = [q for q in questions(layout) if q.key != error.key]
        error.also = tuple(doubt_lines(slips, odd))
        raise


def doubts(check: "Check") -> "tuple[Slips, tuple[Question, ...]]":
    """Return which slips would explain a check, and which sizes are odd."""
    from linkage.slips import questions
    from linkage.slips.slip import Slips

    x = check.examined
    lengths = {p.link.rod.name: float(p.length) for p in x.assembly.loops}
    odd = questions(x.layout, lengths)
    if not odd and check.verdict != "do not fit":
        return Slips(), ()
    from linkage.slips import suspected

    return suspected(x.layout, check=check, geometry=check.geometry), odd
