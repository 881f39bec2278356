"""``python -m tests.fuzz --cases N --seed S``: look for what the program cannot bear.

``--deep`` has most of them judged whole, searched and drawn, which takes twenty times
as long. ``--case SEED:NUMBER`` runs one again, ``--show`` with its file; ``--keys`` sets every key of the
schema to every hostile value, 29 000 cases.
"""

from __future__ import annotations

import argparse
import sys
from itertools import product

from tests.fuzz.cases import case
from tests.fuzz.drive import Found, a_folder, drive, tried, warm
from tests.fuzz.keys import every_key
from tests.fuzz.mutate import with_key
from tests.fuzz.run import Case, bound_memory
from tests.fuzz.values import VALUES


def _told(found: Found) -> int:
    for name, fault in found.faults:
        print(f"{name}  {fault}")
    share = found.read / max(found.cases, 1)
    print(
        f"{found.cases} cases, {len(found.faults)} faults; {share:.0%} were layouts "
        f"that could be put together; status: {dict(sorted(found.statuses.items()))}; "
        f"{found.seconds / max(found.cases, 1) * 1e3:.1f} ms each; slowest "
        f"{found.slowest[0]:.2f} s ({found.slowest[1]}), largest "
        f"{found.largest[0] / 1e6:.0f} MB ({found.largest[1]})"
    )
    return 1 if found.faults else 0


def _one(name: str, *, deep: bool, show: bool) -> int:
    seed, number = map(int, name.split(":"))
    one = case(seed, number, deep=deep)
    with a_folder() as folder:
        warm(folder)
        ran, fault = tried(one, folder)
    if show:
        print(one.layout.decode("utf-8", "backslashreplace"))
        print(
            one.words, ran.status, f"{ran.seconds:.2f} s", f"{ran.grown / 1e6:.0f} MB"
        )
        print(ran.out[:3000], ran.err[-6000:], sep="\n--\n")
    print(fault or "nothing wrong")
    return 1 if fault else 0


def _keys() -> Found:
    found = Found()
    with a_folder() as folder:
        warm(folder)
        for path, value in product(every_key(), VALUES):
            layout = with_key(path, value).encode("utf-8", "surrogatepass")
            name = f"{'.'.join(path)} = {value[:40]}"
            one = Case(name, ("curve", "{layout}"), layout)
            found.add(one, *tried(one, folder))
    return found


def main() -> int:
    """Run what is asked for; the status is 1 where something is wrong."""
    ask = argparse.ArgumentParser(prog="python -m tests.fuzz")
    ask.add_argument("--cases", type=int, default=1000)
    ask.add_argument("--seed", type=int, default=1)
    ask.add_argument("--first", type=int, default=0)
    ask.add_argument("--case", default="")
    ask.add_argument("--deep", action="store_true")
    ask.add_argument("--show", action="store_true")
    ask.add_argument("--keys", action="store_true")
    ask.add_argument("--loud", action="store_true")
    given = ask.parse_args()
    bound_memory()
    if given.case:
        return _one(given.case, deep=given.deep, show=given.show)
    if given.keys:
        return _told(_keys())
    numbers = range(given.first, given.first + given.cases)
    return _told(drive(given.seed, numbers, deep=given.deep, loud=given.loud))


if __name__ == "__main__":
    sys.exit(main())
