"""Three hundred bad layouts, and what the checks of before found and cured on them.

`layouts` makes bad layout files by seed: a shipped layout with one to three
mistakes of a workshop. `seeds.json` names the first 300 seeds whose layout can be
put together and does not fit, each with the beginning of its text's SHA-256: a
shipped layout that is changed later gives other texts, and is told by that.

`before.json.gz` is what one search engine a finding, one layout at a time, found
on the shipped faults and on these: by layout and finding that is not in order,
its number and limit, its cure in words, whether that was proven, the verdict of
the whole cured layout once it was written out, read and checked again, the
values changed, and how much work they are (`change.effort`). Also the times,
in processor seconds: the check with cures, and one whole check without cures of
the first cured layout; and what `swap` and `arm` chose. It cannot be made again by
this state of the package, and no test overwrites it.

`record` does the same on the package as it stands; `compare` prints what became
of the cures: ``python -m tests.bad.record now.jsonl``, which takes minutes and may
be broken off, then ``python -m tests.bad.compare now.jsonl``.
"""
