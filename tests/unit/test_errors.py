"""The tree of errors: codes, exit status, and hints."""

from __future__ import annotations

import pytest

from linkage import errors


def tree(base=errors.LinkageError):
    return [base, *(e for child in base.__subclasses__() for e in tree(child))]


def test_codes_are_unique_and_in_the_printed_tree():
    kinds = tree()
    codes = [kind.code for kind in kinds]
    assert len(set(codes)) == len(codes)
    for kind in kinds:
        line = next(x for x in errors.__doc__.splitlines() if kind.__name__ in x)
        assert kind.code in line
        assert f" {kind.exit_code} " in line + " "


@pytest.mark.parametrize(
    ("kind", "status"),
    [
        (errors.LayoutError, 3),
        (errors.UnitError, 3),
        (errors.AssemblyError, 4),
        (errors.ReachError, 4),
        (errors.UsageError, 2),
        (errors.OutputError, 2),
        (errors.LinkageError, 70),
    ],
)
def test_exit_status(kind, status):
    assert kind.exit_code == status


def test_facts_are_fields():
    error = errors.ReachError("too short", hint="cut a longer one", key=("rods", "a"))
    assert str(error) == error.message == "too short"
    assert error.hint == "cut a longer one"
    assert error.key == ("rods", "a")
    assert error.place is None
    assert isinstance(error, ValueError)
    assert isinstance(errors.OutputError("x"), OSError)


def test_suggestions():
    assert (
        errors.did_you_mean("spindel", ["spindle", "pedal"])
        == "did you mean `spindle`?"
    )
    assert (
        errors.did_you_mean("xyz", ["spindle", "pedal"]) == "known here: spindle, pedal"
    )
    assert errors.did_you_mean("xyz", []) == "none is known here"
