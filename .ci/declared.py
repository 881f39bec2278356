"""What pyproject.toml declares, for .ci/run: lowest versions, or further Pythons.

``python .ci/declared.py lowest`` prints every requirement at its lowest version,
as constraints for pip; ``python .ci/declared.py pythons`` the Pythons of the
classifiers.
"""

import re
import sys
import tomllib
from pathlib import Path

PROJECT = tomllib.loads(Path("pyproject.toml").read_text(encoding="utf-8"))["project"]


def lowest() -> list[str]:
    """Return ``name==version`` for every ``name>=version``, extras too."""
    asked = [*PROJECT["dependencies"]]
    for extra in PROJECT["optional-dependencies"].values():
        asked += extra
    return sorted({line.replace(">=", "==") for line in asked})


def pythons() -> list[str]:
    """Return the versions of Python that the classifiers name."""
    named = (re.fullmatch(r".*:: (3\.\d+)", line) for line in PROJECT["classifiers"])
    return [found[1] for found in named if found]


if __name__ == "__main__":
    print("\n".join({"lowest": lowest, "pythons": pythons}[sys.argv[1]]()))  # noqa: T201
