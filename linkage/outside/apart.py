"""Matplotlib kept apart from what lies about where the command line is run.

By itself it reads a `matplotlibrc` in the present folder or the user's own, a
cache of fonts that names files to open, and the environment; each can end a run
or change a picture. The command line draws with what travels with the packages:
nothing is read beside, and nothing is kept. A program that imports `linkage`
has the Matplotlib it would have anyway.

Not here: how pictures look (`drawing.style`).
"""

from __future__ import annotations

import contextlib
import os
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

#: The folder of a file of settings that sets nothing.
_SETTINGS: Final = Path(__file__).parents[1] / "drawing" / "settings"
#: What of the environment Matplotlib would trip over, or draw by.
_ENVIRONMENT: Final = ("MPLBACKEND", "MATPLOTLIBRC", "SOURCE_DATE_EPOCH")
#: Holds something once Matplotlib is to be kept apart.
_wanted: Final[list[bool]] = []


def keep_apart() -> None:
    """Keep Matplotlib apart from here on; costs nothing where nothing is drawn."""
    _wanted.append(True)


def load() -> None:
    """Load Matplotlib apart, where that is wanted and it is not loaded yet."""
    if not _wanted or "matplotlib" in sys.modules:
        return
    _load()


# tests/cli/test_environment.py watches it from outside.
def _load() -> None:  # pragma: no cover: only in a process of its own
    import logging  # noqa: PLC0415
    import warnings  # noqa: PLC0415

    for name in _ENVIRONMENT:
        os.environ.pop(name, None)
    logging.getLogger("matplotlib").setLevel(logging.CRITICAL + 1)
    if not sys.warnoptions:  # a letter that no font has, and the like
        warnings.simplefilter("ignore")
    with _standing_in(_SETTINGS):
        import matplotlib as mpl
    mpl.get_cachedir = _no_cache
    import matplotlib.font_manager  # noqa: F401


@contextlib.contextmanager
def _standing_in(folder: Path) -> Iterator[None]:
    """Stand in a folder for a moment: its `matplotlibrc` is the first looked for."""
    back: int | Path
    try:
        back = os.open(".", getattr(os, "O_PATH", os.O_RDONLY))
    except OSError:  # Windows opens no folder
        back = Path.cwd()
    os.chdir(folder)
    try:
        yield
    finally:
        os.chdir(back)
        if isinstance(back, int):
            os.close(back)


def _no_cache() -> str:
    """Return a folder in which nothing is found or kept.

    It is asked for when fonts are looked for, just before: the moment to say that
    ours are all there are.
    """
    manager: Any = sys.modules["matplotlib.font_manager"]
    manager.findSystemFonts = _own_fonts
    return os.devnull


def _own_fonts(
    fontpaths: Iterable[str] | None = None, fontext: str = "ttf"
) -> list[str]:
    """Return the fonts of our pictures, which come with Matplotlib.

    Parameters
    ----------
    fontpaths : iterable of str, optional
        Folders of Matplotlib's own; the system's are meant where not given.
    fontext : str
        Kind of the files.
    """
    if fontext != "ttf":
        return []
    return sorted(
        str(path)
        for folder in fontpaths or ()
        for path in Path(folder).glob("DejaVuSans*.ttf")
    )
