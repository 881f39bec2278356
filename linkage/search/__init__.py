"""Search: what to drill, cut and hook, by the same rules as the check."""

from linkage.search.fitting import Check, check

__all__ = ["Check", "check"]
