"""The cache of derived formulas: whole, damaged, stale, shared, and read-only."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
from pathlib import Path

import pytest

from linkage.formulas import store

ROOT = Path(__file__).parents[2]
SOURCES = {"double": "def double(x):\n    return (x + x,)"}


@pytest.fixture
def folder(tmp_path, monkeypatch) -> Path:
    place = tmp_path / "cache"
    monkeypatch.setenv("THROTTLE_LINKAGE_CACHE", str(place))
    return place


def never() -> dict[str, str]:
    msg = "derived although the cache was good"
    raise AssertionError(msg)


def only_file(folder: Path) -> Path:
    (path,) = folder.iterdir()
    return path


def test_second_use_reads_what_the_first_wrote(folder):
    assert store.sources(lambda: SOURCES) == SOURCES
    assert store.sources(never) == SOURCES
    assert only_file(folder).suffix == ".json"


def test_default_folder_is_the_users_cache(monkeypatch):
    monkeypatch.delenv("THROTTLE_LINKAGE_CACHE", raising=False)
    assert store.folder().name == "throttle-linkage"


@pytest.mark.parametrize(
    "damage",
    [
        b"",
        b"\x00\xff\xfe",
        b"not json",
        b"[]",
        b"3",
        b"{}",
        b'{"digest": "0", "sources": {}}',
        b'{"digest": "0", "sources": "text"}',
        b'{"digest": [], "sources": [1]}',
    ],
)
def test_damaged_file_is_made_anew(folder, damage):
    store.sources(lambda: SOURCES)
    path = only_file(folder)
    path.write_bytes(damage)
    assert store.sources(lambda: SOURCES) == SOURCES
    assert store.sources(never) == SOURCES


def test_every_truncation_is_noticed(folder):
    store.sources(lambda: SOURCES)
    path = only_file(folder)
    whole = path.read_bytes()
    for length in range(len(whole)):
        path.write_bytes(whole[:length])
        assert store._read(path) is None
    path.write_bytes(whole)
    assert store._read(path) == SOURCES


def test_changed_formula_is_noticed(folder):
    store.sources(lambda: SOURCES)
    path = only_file(folder)
    content = json.loads(path.read_bytes())
    content["sources"]["double"] = "def double(x):\n    return (x * x,)"
    path.write_text(json.dumps(content), encoding="utf-8")
    assert store.sources(lambda: SOURCES) == SOURCES


def test_good_digest_of_something_that_is_no_table_is_refused(folder):
    folder.mkdir()
    path = folder / "x.json"
    path.write_text(json.dumps({"digest": store._digest(["a"]), "sources": ["a"]}))
    assert store._read(path) is None


def test_stale_key_derives_again(folder, monkeypatch):
    store.sources(lambda: SOURCES)
    other = {"triple": "def triple(x):\n    return (3 * x,)"}
    monkeypatch.setattr(store, "FILE_FORMAT", store.FILE_FORMAT + 1)
    assert store.sources(lambda: other) == other
    assert len(list(folder.iterdir())) == 2


def test_key_depends_on_the_derivation_and_on_sympy(monkeypatch):
    before = store.key()
    assert before == store.key()
    monkeypatch.setattr(store.metadata, "version", lambda _: "0.0")
    assert store.key() != before
    monkeypatch.undo()
    original = Path.read_bytes
    monkeypatch.setattr(
        Path,
        "read_bytes",
        lambda p: original(p) + (b"#" if p.name == "derivation.py" else b""),
    )
    assert store.key() != before


def test_read_only_folder_derives_each_time(folder, monkeypatch):
    """Patched, as root may write anywhere."""

    def refuse(**_: object) -> tuple[int, str]:
        raise PermissionError

    monkeypatch.setattr(tempfile, "mkstemp", refuse)
    assert store.sources(lambda: SOURCES) == SOURCES
    assert list(folder.iterdir()) == []
    assert store.sources(lambda: SOURCES) == SOURCES


def test_file_where_the_folder_should_be(folder):
    folder.write_text("in the way", encoding="utf-8")
    assert store.sources(lambda: SOURCES) == SOURCES
    assert folder.read_text(encoding="utf-8") == "in the way"


def test_full_disk_leaves_nothing_behind(folder, monkeypatch):
    def full(*_: object) -> None:
        raise OSError(28, "no space left")

    monkeypatch.setattr(Path, "replace", full)
    assert store.sources(lambda: SOURCES) == SOURCES
    assert list(folder.iterdir()) == []


def test_interrupt_while_writing_leaves_nothing_behind(folder, monkeypatch):
    def stop(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr(Path, "replace", stop)
    with pytest.raises(KeyboardInterrupt):
        store.sources(lambda: SOURCES)
    assert list(folder.iterdir()) == []


WRITE_OFTEN = """
import sys
from linkage.formulas import store
big = {"f%d" % i: "x" * 2000 for i in range(100)}
path = store.folder() / "shared.json"
while not (store.folder() / "go").exists():
    pass
for _ in range(150):
    store._write(path, big)
    if store._read(path) != big:
        sys.exit(1)
"""


def test_two_processes_write_at_once(folder):
    """Each must find a whole file after every write of either."""
    folder.mkdir()
    two = [
        subprocess.Popen([sys.executable, "-c", WRITE_OFTEN], cwd=ROOT)
        for _ in range(2)
    ]
    (folder / "go").touch()
    assert [p.wait(timeout=60) for p in two] == [0, 0]
    assert sorted(p.name for p in folder.iterdir()) == ["go", "shared.json"]


FRESH = """
import sys
from linkage import formulas
formulas.coefficients(*[1.0] * 31)
print("sympy" in sys.modules)
"""


def test_second_process_never_imports_sympy(folder):
    def run() -> str:
        done = subprocess.run(
            [sys.executable, "-c", FRESH],
            cwd=ROOT,
            env={**os.environ, "THROTTLE_LINKAGE_CACHE": str(folder)},
            capture_output=True,
            text=True,
            check=True,
        )
        return done.stdout.strip()

    assert run() == "True"
    assert only_file(folder).name.startswith("formulas-")
    assert run() == "False"


def test_compiled_formulas_see_no_builtins():
    from linkage.formulas.kernels import compile_sources

    made = compile_sources({"bad": "def bad():\n    return open('x')"})
    with pytest.raises(NameError):
        made["bad"]()
