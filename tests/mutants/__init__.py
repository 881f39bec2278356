"""Would the tests notice? Small changes of the program, one by one.

A developer's tool: ``python -m tests.mutants --package forces --sample 300 --seed 1``.

- ``changes``, ``instead``: what is changed where, and into what, in the syntax tree;
- ``live``: put into the running program, without importing it anew;
- ``traces``: which test runs which line, and how long it takes;
- ``server``: one fork a change, its tests until the first that fails;
- ``equal.toml``: changes that change nothing, each with why;
- ``told.json``: what the last runs gave, read by ``tests.published.make_validation``.
"""
