"""Three hundred bad layouts, and what the checks of before found and cured on them.

`layouts` makes bad layout files by seed: a shipped layout with one to three
mistakes of a workshop. `seeds.json` names the first 300 seeds whose layout can be
put together and does not fit, each with the beginning of its text's SHA-256: a
shipped layout that is changed later gives other texts, and is told by that.

`before.json.gz` is what one search a finding, one layout at a time, found on the
shipped faults and on these, before it was replaced by one search over rows. By
layout and finding that is not in order it holds number and limit, the cure in
words, whether that was proven, the verdict of the whole cured layout once it was
written out, read and checked again, and the values changed, from which
`change.effort` tells how much work they are. Also the times in processor seconds,
of the check with cures and of one whole check without cures of the first layout
proven cured; and what `swap` and `arm` chose. No later state of the package can
make it again, and no test overwrites it.

`record` does the same on the package as it stands; `compare` prints what became
of the cures: ``python -m tests.bad.record now.jsonl``, which takes minutes and may
be broken off, then ``python -m tests.bad.compare now.jsonl``.
"""
