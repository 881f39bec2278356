"""Keep derived sources on disk between runs.

The key is a digest of everything the sources depend on: the derivation, the
writer, sympy's and Python's version. The file carries a digest of its own
content, so a damaged one is noticed and made anew; it is put in place in one
step, so two processes may write at once; where the folder cannot be written,
the sources are derived each time and nothing else changes.

Not here: what is derived (`formulas.source`).
"""

from __future__ import annotations

import contextlib
import hashlib
import json
import os
import sys
import tempfile
from importlib import metadata
from pathlib import Path
from typing import TYPE_CHECKING

import platformdirs

if TYPE_CHECKING:
    from collections.abc import Callable

#: Raise when the shape of the file changes.
FILE_FORMAT = 1


def folder() -> Path:
    """Return the folder of the cache; ``THROTTLE_LINKAGE_CACHE`` overrides it."""
    given = os.environ.get("THROTTLE_LINKAGE_CACHE")
    return Path(given) if given else platformdirs.user_cache_path("throttle-linkage")


def key() -> str:
    """Return a digest of all that the derived sources depend on."""
    here = Path(__file__).parent
    made_from = [*sorted(here.glob("derivation.py")), here / "source.py"]
    digest = hashlib.sha256()
    for path in made_from:
        digest.update(path.name.encode())
        digest.update(path.read_bytes())
    versions = (FILE_FORMAT, metadata.version("sympy"), sys.version_info[:2])
    digest.update(repr(versions).encode())
    return digest.hexdigest()


def _digest(sources: dict[str, str]) -> str:
    return hashlib.sha256(json.dumps(sources, sort_keys=True).encode()).hexdigest()


def _read(path: Path) -> dict[str, str] | None:
    """Return the sources in a file, or None where it is missing or damaged."""
    try:
        content = json.loads(path.read_bytes())
        sources = content["sources"]
        whole = content["digest"] == _digest(sources)
    except (OSError, ValueError, KeyError, TypeError):
        return None
    return sources if whole and isinstance(sources, dict) else None


def _write(path: Path, sources: dict[str, str]) -> None:
    """Put the sources in place in one step; give up without a word if it fails."""
    content = json.dumps({"digest": _digest(sources), "sources": sources}).encode()
    with contextlib.suppress(OSError):
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, suffix=".part")
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(content)
            Path(name).replace(path)
        except BaseException:
            Path(name).unlink(missing_ok=True)
            raise


def sources(derive: Callable[[], dict[str, str]]) -> dict[str, str]:
    """Return the derived sources, from disk where they are still good.

    Parameters
    ----------
    derive : callable
        Makes them; called only when the file is missing, stale or damaged.
    """
    path = folder() / f"formulas-{key()[:24]}.json"
    kept = _read(path)
    if kept is not None:
        return kept
    made = derive()
    _write(path, made)
    return made
