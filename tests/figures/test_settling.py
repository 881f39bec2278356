"""Which label gets which place: none meets another, and the whole costs least."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from linkage.drawing import settling
from linkage.drawing.settling import OUT, settled


class Choice:
    """A label's places, as numbers of fields of which each holds one label."""

    def __init__(self, **costs: float) -> None:
        ordered = sorted(costs.items(), key=lambda c: c[1])
        self.fields = [name for name, _ in ordered]
        self.costs = np.array([cost for _, cost in ordered])


@pytest.fixture(autouse=True)
def one_label_to_a_field(monkeypatch):
    def meeting(places, starts):
        fields = [f for p in places for f in p.fields]
        label = np.repeat(np.arange(len(places)), np.diff(starts))
        same = np.array([[a == b for b in fields] for a in fields])
        return same & (label[:, None] != label)

    monkeypatch.setattr(settling, "_meeting", meeting)


def cost(labels, chosen) -> float:
    return sum(
        OUT - i if k is None else labels[i].costs[k] for i, k in enumerate(chosen)
    )


def least(labels) -> float:
    """Return what the best of all choices costs, tried one by one."""
    best = np.inf
    for chosen in itertools.product(*([None, *range(len(p.costs))] for p in labels)):
        taken = [
            p.fields[k] for p, k in zip(labels, chosen, strict=True) if k is not None
        ]
        if len(set(taken)) == len(taken):
            best = min(best, cost(labels, chosen))
    return best


def test_a_label_gives_way_to_one_that_has_no_other_place():
    labels = [Choice(a=1.0, b=2.0), Choice(a=1.0)]
    assert settled(labels) == [1, 0]


def test_no_label_has_a_place_where_there_is_none():
    assert settled([]) == []
    assert settled([Choice(), Choice()]) == [None, None]
    assert settled([Choice(), Choice(a=3.0)]) == [None, 0]


@pytest.mark.parametrize("seed", range(12))
def test_the_whole_costs_little_more_than_the_best_of_all_choices(seed):
    rng = np.random.default_rng(seed)
    labels = [
        Choice(
            **{
                str(f): float(rng.uniform(0, 9))
                for f in rng.choice(6, 3, replace=False)
            }
        )
        for _ in range(5)
    ]
    chosen = settled(labels)
    taken = [p.fields[k] for p, k in zip(labels, chosen, strict=True) if k is not None]
    assert len(set(taken)) == len(taken)
    assert cost(labels, chosen) <= least(labels) + 12.0


def test_each_time_round_betters_the_whole_and_the_last_stands(monkeypatch):
    """As far as it was gone through; nothing then meets anything either."""
    labels = [Choice(a=1.0, b=2.0), Choice(a=1.0, c=9.0), Choice(d=0.5, b=30.0)]
    costs = []
    for rounds in (0, 1, 6):
        monkeypatch.setattr(settling, "ROUNDS", rounds)
        chosen = settled(labels)
        taken = [p.fields[k] for p, k in zip(labels, chosen, strict=True)]
        assert len(set(taken)) == 3
        costs.append(cost(labels, chosen))
    assert costs == sorted(costs, reverse=True)
    assert costs[0] > costs[1] >= costs[-1] == least(labels)
