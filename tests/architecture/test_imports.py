"""Layers, the cost of an import, and the public names."""

from __future__ import annotations

import importlib
import pkgutil
import subprocess
import sys
import tomllib
from pathlib import Path

import pytest

import linkage

ROOT = Path(__file__).parents[2]
HEAVY = ("sympy", "matplotlib", "pint", "pydantic", "numpy")
PACKAGES = sorted(
    m.name for m in pkgutil.iter_modules(linkage.__path__, "linkage.") if m.ispkg
)


def run(code: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )


def test_imports_run_strictly_down():
    """The contracts of .importlinter; exhaustive, so a new package must take its place."""
    done = run(
        "import sys\n"
        "from importlinter.cli import lint_imports\n"
        "sys.exit(lint_imports(no_cache=True))"
    )
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize("module", ["linkage", "linkage.cli", "linkage.__main__"])
def test_import_loads_nothing_heavy(module):
    done = run(
        f"import sys, {module}\nprint([m for m in {HEAVY!r} if m in sys.modules])"
    )
    assert done.stdout.strip() == "[]", done.stderr


def test_help_loads_nothing_heavy():
    done = run(
        "import sys\n"
        "sys.argv = ['throttle-linkage', '--help']\n"
        "from linkage.__main__ import main\n"
        "try:\n    main()\nexcept SystemExit:\n    pass\n"
        f"print([m for m in {HEAVY!r} if m in sys.modules])"
    )
    assert done.stdout.strip().splitlines()[-1] == "[]", done.stderr


def test_motion_loads_neither_sympy_nor_matplotlib():
    done = run(
        "import sys, linkage.motion\n"
        "print([m for m in ('sympy', 'matplotlib', 'pint', 'pydantic') if m in sys.modules])"
    )
    assert done.stdout.strip() == "[]", done.stderr


ALLOWED = "numpy, pydantic, typer"


def loaded(code: str) -> set[str]:
    """Return the top-level modules that a program has loaded at its end, stdlib apart."""
    done = run(
        f"import contextlib, io, sys\n{code}\n"
        "tops = {m.partition('.')[0] for m in sys.modules}\n"
        "print(*sorted(tops - sys.stdlib_module_names))"
    )
    assert done.returncode == 0, done.stderr
    return set(done.stdout.split()) - {"linkage"}


def command(*words: str) -> str:
    """Return a program that runs a command and keeps its words to itself."""
    return (
        f"sys.argv = ['throttle-linkage', *{words!r}]\n"
        "from linkage.__main__ import main\n"
        "try:\n"
        "    with contextlib.redirect_stdout(io.StringIO()):\n        main()\n"
        "except SystemExit as stop:\n    assert stop.code in {0, 1, None}, stop.code"
    )


@pytest.mark.parametrize("name", ["hanging-pedal", "bulkhead-cross-shaft"])
def test_a_check_loads_three_packages_and_what_they_load(name):
    used = loaded(command("check", f"configs/{name}.toml"))
    assert used <= loaded(f"import {ALLOWED}")


@pytest.mark.parametrize(
    "words",
    [
        ("check", "configs/hanging-pedal.toml", "--json"),
        ("curve", "configs/hanging-pedal.toml"),
        ("springs", "configs/bulkhead-cross-shaft.toml"),
        ("arm", "configs/hanging-pedal.toml", "spindle.lever"),
        ("swap", "configs/scenario-before.toml"),
        ("compare", "configs/scenario-before.toml", "configs/scenario-cured.toml"),
        ("new", "--list"),
        ("new", "--schema"),
    ],
    ids=" ".join,
)
def test_no_command_asks_for_sympy_or_pint(words):
    assert not loaded(command(*words)) & {"sympy", "pint", "platformdirs", "matplotlib"}


def test_public_names_are_there():
    assert sorted(linkage.__all__) == list(linkage.__all__)
    assert dir(linkage) == sorted([*linkage.__all__, "__version__"])
    for name in linkage.__all__:
        assert getattr(linkage, name) is not None
    with pytest.raises(AttributeError, match="no attribute `nothing`"):
        linkage.nothing  # noqa: B018


def test_version_is_that_of_the_project():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    known = {project["project"]["version"], "0+not.installed"}
    assert linkage.__version__ in known
    done = run("import linkage, sys; print('importlib.metadata' in sys.modules)")
    assert done.stdout.strip() == "False"


def test_types_are_shipped():
    assert (Path(linkage.__file__).parent / "py.typed").is_file()


@pytest.mark.parametrize("package", PACKAGES)
def test_every_name_a_package_hands_on_exists(package):
    module = importlib.import_module(package)
    names = getattr(module, "__all__", ())
    assert len(set(names)) == len(names)
    for name in names:
        assert hasattr(module, name)
