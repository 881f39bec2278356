"""The layouts that come with the program: families to start from, and faults.

Not here: what is in them (the files themselves).
"""

from pathlib import Path

from linkage.errors import UsageError, did_you_mean
from linkage.records import dataclass

#: Files whose name begins so show a fault on purpose.
FAULT = "fault-"


@dataclass(frozen=True, slots=True)
class Starter:
    """One layout that comes with the program.

    Parameters
    ----------
    name : str
        Its file's name without the ending.
    title : str
        Its first comment line.
    path : Path
        The file.
    """

    name: str
    title: str
    path: Path


def folder() -> Path:
    """Return where the layouts lie: in the package, or beside it in a checkout."""
    package = Path(__file__).parent.parent
    inside = package / "configs"
    return inside if inside.is_dir() else package.parent / "configs"


def starters() -> dict[str, Starter]:
    """Return every layout that comes with the program, by name."""
    out = {}
    for path in sorted(folder().glob("*.toml")):
        with path.open(encoding="utf-8") as stream:
            title = stream.readline().lstrip("# ").strip()
        out[path.stem] = Starter(path.stem, title, path)
    return out


def starter(name: str) -> Starter:
    """Return one layout that comes with the program.

    Raises
    ------
    UsageError
        If there is none of that name.
    """
    known = starters()
    if name not in known:
        msg = f"there is no starter layout `{name}`"
        hint = did_you_mean(name, known)
        raise UsageError(msg, hint=f"{hint}; `throttle-linkage new --list` lists them")
    return known[name]
