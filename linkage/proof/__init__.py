"""Proof on the vehicle: what was read there held against what a layout says."""

from linkage.proof.proved import Proof, prove

__all__ = ["Proof", "prove"]
