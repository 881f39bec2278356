"""What a file cannot mean though each value reads well alone.

Not here: limits (`model.limits`), what makes no linkage (`model`).
"""

from collections.abc import Iterator

from linkage.config.models import EngineTable, LayoutFile
from linkage.config.quantities import quantities
from linkage.errors import LayoutError

#: Coefficients of friction by the last part of their key.
_RUBS = frozenset({"coefficient", "friction", "joint_friction", "nipple_friction"})
#: No bearing rubs less, not one with needles and oil. Common practice, no source.
LEAST_RUB = 1e-3
#: No sheath rubs less, not a lined one with oil in it. Common practice, no source.
LEAST_SHEATH = 0.02


def refuse_unmeant(file: LayoutFile) -> None:
    """Refuse friction of nothing, cold that eases, a bought rod of no length, roll about nothing.

    Parameters
    ----------
    file : LayoutFile
        Its tables, each value read.

    Raises
    ------
    LayoutError
        At the first such key.
    """
    for error in _unmeant(file):
        raise error


def _unmeant(file: LayoutFile) -> Iterator[LayoutError]:
    for key, parsed in quantities(file):
        word, value = key[-1], parsed.value
        yield from _too_slippery(key, value)
        if word == "drag" and value <= 0:
            msg = "a drag of nothing was not measured: every shaft drags"
            hint = "leave `drag` out where it was not measured"
            yield LayoutError(msg, hint=hint, key=key)
        if word == "cold_factor" and value < 1:
            msg = f"`cold_factor` of {value:g} makes cold friction less than warm"
            hint = "how many times the friction is taken when cold: 1 or more"
            yield LayoutError(msg, hint=hint, key=key)
    for name, table in file.rods.items():
        if table.fixed and table.length is None:
            msg = f"rod `{name}` is fixed, but has no length"
            hint = "measure it centre to centre and add `length`, or leave `fixed` out"
            yield LayoutError(msg, hint=hint, key=("rods", name, "fixed"))
    yield from _rolls_about_nothing(file.engine)
    if file.vehicle is not None and file.vehicle.use == "aircraft":
        msg = "this is for no aircraft"
        hint = (
            "there a throttle whose rod parts is to open, not to shut, and every part is "
            "approved by its maker and the authority: ask them, nothing here holds for it"
        )
        yield LayoutError(msg, hint=hint, key=("vehicle", "use"))


def _too_slippery(key: tuple[str, ...], value: float) -> Iterator[LayoutError]:
    word = key[-1]
    if word in _RUBS and value < LEAST_RUB:
        msg = f"a coefficient of friction of `{value:g}` is less than any bearing has"
        hint = "0.2 is dry steel on bronze; leave it out where it is not known"
        yield LayoutError(msg, hint=hint, key=key)
    if word == "sheath_friction" and value < LEAST_SHEATH:
        msg = f"a sheath's friction of `{value:g}` is less than any sheath has"
        hint = (
            "0.15 is plain steel, dry; 0.05 to 0.1 a lined one; leave it out where it "
            "is not known"
        )
        yield LayoutError(msg, hint=hint, key=key)


def _rolls_about_nothing(engine: EngineTable | None) -> Iterator[LayoutError]:
    if engine is None or engine.about is not None or not engine.roll:
        return
    if engine.roll.value > 0:
        msg = "the engine rolls, but about what is not given"
        hint = (
            'add `about = { point = [x, y, z], axis = "along" }`, the line through its '
            "mounts, or leave `roll` out: rocking is then not judged"
        )
        yield LayoutError(msg, hint=hint, key=("engine", "roll"))
