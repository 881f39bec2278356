"""Slips of measuring and meaning: what would explain a layout that cannot be.

What looks for them is handed on when it is first asked for; a layout that fits needs
the questions only.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from linkage.slips.questions import Question, questions
from linkage.slips.slip import Slip

if TYPE_CHECKING:
    from linkage.slips.suspects import suspected

__all__ = ["Question", "Slip", "questions", "suspected"]


def __getattr__(name: str) -> object:
    if name != "suspected":
        msg = f"module `{__name__}` has no attribute `{name}`"
        raise AttributeError(msg)
    return getattr(import_module(f"{__name__}.suspects"), name)
