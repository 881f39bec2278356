"""The layout file: read, checked, written and changed."""

from linkage.config.load import Loaded, load, loads

__all__ = ["Loaded", "load", "loads"]
