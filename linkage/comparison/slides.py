"""In what slides differ between two layouts, and how one is set back.

Not here: shafts and their arms (`comparison.changes`, `comparison.back`), the words
(`report.compare_words`).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from linkage.comparison.change import Change, apart
from linkage.comparison.recut import recut
from linkage.model.axes import add
from linkage.model.refs import Ref
from linkage.model.slide import slide_of

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

    from linkage.comparison.image import Image
    from linkage.model import Layout, Slide, Vector

#: Fields of a slide that are as they were when it is set back.
_KEPT = ("mass", "bearing", "friction", "drag", "inertia", "fixed")


def slide_changes(one: Any, two: Slide) -> Iterator[Change]:  # noqa: ANN401
    """Yield what differs at a slide: that all of it went elsewhere, or what of it did.

    Parameters
    ----------
    one, two : Slide
        The old one and the new one.
    """
    about = Ref("shaft", two.name)
    pins = [n for n in two.points if n in one.points]
    ways = [add(b, a, -1) for a, b in zip(one.guide, two.guide, strict=True)]
    ways += [add(two.points[n], one.points[n], -1) for n in pins]
    if not any(apart(way, ways[0]) for way in ways):
        if apart(one.pivot, two.pivot):
            yield Change(kind="place", about=about, old=one.pivot, new=two.pivot)
        return
    if any(map(apart, one.guide, two.guide)):
        yield Change(kind="guide", about=about, old=one.guide, new=two.guide)
    for name in pins:
        was, now = one.points[name], two.points[name]
        if apart(was, now):
            pin = Ref("arm", two.name, name)
            yield Change(kind="pin", about=pin, old=was, new=now)


def slide_moved(one: Any, two: Slide, shown: Image) -> bool:  # noqa: ANN401
    """Tell whether a slide is elsewhere than a mirror shows the old one."""
    places = list(zip(one.guide, two.guide, strict=True))
    places += [(one.points[n], two.points[n]) for n in two.points if n in one.points]
    return any(shown.moved(was, now) for was, now in places)


def slide_back(
    old: Layout, name: str, shown: Image | None = None
) -> Callable[[Layout], Layout]:
    """Return what sets a slide back to where it was, or to where a mirror shows it.

    Rods at it are cut to fit; pins that it has now alone stay.
    """
    was: Any = old.shafts[name]

    def there(point: Vector) -> Vector:
        return point if shown is None else shown.of(point)

    def put(layout: Layout) -> Layout:
        now: Any = layout.shafts[name]
        one, two = map(there, was.guide)
        points = {n: there(at) for n, at in was.points.items()}
        slide = slide_of(
            name,
            guide=(one, two),
            seen=was.seen if shown is None else now.seen,
            points={**now.points, **points},
            **{n: getattr(was, n) for n in _KEPT},
        )
        return recut(layout.with_shaft(slide), {name})

    return put
