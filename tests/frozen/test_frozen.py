"""Every number of every shipped layout and of 2000 random ones is as before.

To 1e-12 of itself, or of the scale of its kind where it is smaller
(`tests.frozen.compare`), but for numbers that rounding alone moves further: those
to 20 times what shaking the last bits moved them by when the table was made.
"""

from __future__ import annotations

from functools import cache

import pytest

from tests.frozen.cases import CONFIGS, RANDOM, check_sum, keys, text_of
from tests.frozen.compare import EITHER, Frozen, differences, read
from tests.frozen.numbers import frozen

#: Set this if events (stops, marks, jams, dead centres) are found in another way
#: than by bracketing on the grid that was used when the table was made.
EVENTS_MOVE = False
CHUNK = 100


@cache
def table() -> dict[str, Frozen]:
    return read()


def changed(key: str) -> list[str]:
    text = text_of(key)
    if check_sum(text) != table()[key].text:
        return [f"{key}: the layout file itself is not as before"]
    numbers, words = frozen(text)
    found = differences(table()[key], numbers, words, events_move=EVENTS_MOVE)
    return [f"{key}: {line}" for line in found]


@pytest.mark.parametrize("name", sorted(p.name for p in CONFIGS.glob("*.toml")))
def test_shipped_layout_is_as_before(name):
    assert changed(name) == []


@pytest.mark.parametrize("first", range(0, RANDOM, CHUNK))
def test_random_layouts_are_as_before(first):
    found = [
        line for seed in range(first, first + CHUNK) for line in changed(str(seed))
    ]
    assert not found, f"{len(found)} changed\n" + "\n".join(found[:40])


def test_table_holds_every_layout_and_compares_nearly_every_number():
    assert list(table()) == keys()
    codes = [c for f in table().values() for _, c, _ in f.numbers.values()]
    assert len(codes) > 100_000
    assert codes.count(EITHER) < 0.01 * len(codes)
    assert sum(c > 0 for c in codes) < 0.2 * len(codes)


def test_a_small_change_is_seen():
    """A lever that is longer by one part in 10 million changes most numbers."""
    key = "hanging-pedal.toml"
    text = text_of(key).replace("length = 32,", "length = 32.0000032,", 1)
    assert text != text_of(key)
    numbers, words = frozen(text)
    assert len(differences(table()[key], numbers, words)) > 20
