"""The layout file: read, checked, written and changed."""

from linkage.config.chosen import chosen_arms
from linkage.config.describe import schema
from linkage.config.editor import edit
from linkage.config.places import locate
from linkage.config.reader import Loaded, load, loads, read_tables
from linkage.config.writer import dump

__all__ = [
    "Loaded",
    "chosen_arms",
    "dump",
    "edit",
    "load",
    "loads",
    "locate",
    "read_tables",
    "schema",
]
