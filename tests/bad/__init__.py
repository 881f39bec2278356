"""Three hundred bad layouts, and what is found and cured on them.

`layouts` makes bad layout files by seed: a shipped layout with one to three mistakes
of a workshop. `seeds.json` names the first 300 seeds whose layout can be put together
and does not fit, each with the beginning of its text's SHA-256: a shipped layout that
is changed later gives other texts, and is told by that. ``python -m tests.bad.chosen``
names them anew.

`record` writes down what `linkage.check` finds and cures on them, with the verdict of
every cured layout once it was written out, read and checked again, and the values
changed, from which `change.effort` tells how much work they are; also the times in
processor seconds, of the check with cures and of one whole check without cures of the
first layout proven cured; and what `swap` and `arm` choose. `compare` holds two records
against each other, of two states of the package on the same layouts:
``python -m tests.bad.record now.jsonl``, which takes minutes and may be broken off, then
``python -m tests.bad.compare then.jsonl now.jsonl``.
"""
