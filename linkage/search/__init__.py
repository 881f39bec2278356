"""Sizing: choose what to drill, cut and hook, by the same rules as the check."""
