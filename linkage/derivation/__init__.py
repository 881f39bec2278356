"""Derivation: every formula of motion, in symbols, once."""
