"""A label whose leader runs over no part but its own.

Not here: labels that hide as little as can be (`labels`), finding room (`board`).
"""

from __future__ import annotations

from dataclasses import dataclass

from linkage.drawing.labels import Tag


@dataclass(frozen=True, slots=True, kw_only=True)
class Label(Tag):
    """A label, the points it belongs to and the parts in which its leader may end.

    Parameters
    ----------
    text, at, also, toward, lead, style
        As of a `Tag`; a leader is drawn wherever it has to be, whatever `lead` says.
    forms : tuple of str
        The same words broken into lines in other ways.
    owners : tuple of str
        Parts, as `inked.Ink` names them.
    told : str
        What a list says where there is no room; empty for `text`.
    says : tuple of str
        What it says of each of its parts.
    optional : bool
        Whether another view says it too.
    """

    forms: tuple[str, ...] = ()
    owners: tuple[str, ...] = ()
    told: str = ""
    says: tuple[str, ...] = ()
    optional: bool = False
