"""What to do about a line that is not TOML: the slips that people make in it.

Not here: reading the file (`reader`), keys that are none (`complaints`).
"""

import re

#: A table in brackets, and a key before its sign, as far as they stand without quotes.
_TABLE = re.compile(r"\s*(\[{1,2})([^\[\]\"'#=]+)\]{1,2}")
_KEY = re.compile(r"\s*([^\"'\[\]{}#=]+?)\s*=")
#: A number with its unit, an inch or foot mark too, that stands without quotes.
_BARE = re.compile(r"=\s*([-+]?[0-9][0-9./ ]*(?:[a-zA-Z°%'\"′″][^#,}]*)?)")
_MARKED = re.compile(r"=\s*\"([^\"]*[0-9])\"\"")


def unread_hint(reason: str, line: str) -> str:
    r"""Return what to do about a line that is not TOML.

    Parameters
    ----------
    reason : str
        What the reader of TOML says of it.
    line : str
        The line.

    >>> unread_hint("Expected ']'", "[shafts.cross shaft]")
    'a name with a space stands in quotes: [shafts."cross shaft"]'
    >>> print(unread_hint("Expected newline", 'length = 2.9"'))
    a number with its unit stands in quotes: '2.9"'
    """
    if re.search(r"=\s*[-+]?[0-9]+,[0-9]", line):
        return "write a decimal point, not a comma"
    if "overwrite" in reason or "declare" in reason or "mutate" in reason:
        return "this key or table stands in the file twice; keep one of them"
    if spaced := _spaced(line):
        return f"a name with a space stands in quotes: {spaced}"
    return _quoted(reason, line) or _USUAL


def _quoted(reason: str, line: str) -> str:
    """Return how a number with its unit stands in quotes, where one stands without."""
    if found := _MARKED.search(line):
        return f"an inch mark stands in single quotes: '{found[1]}\"'"
    found = _BARE.search(line)
    text = found[1].strip() if found else ""
    told = re.search("end of document|newline|nclosed", reason)
    if not told or not text or re.fullmatch(r"[-+]?[0-9.]+", text):
        return ""
    if "'" in text:  # neither kind of quotes takes both marks
        text = re.sub(r"\s*['′]\s*-?\s*", " ft ", text)
        text = re.sub(r"\s*[\"″]", " in", text).strip()
    mark = "'" if '"' in text else '"'
    return f"a number with its unit stands in quotes: {mark}{text}{mark}"


_USUAL = (
    "keys stand as `key = value`; text, and a number with its unit, in quotes: "
    'length = "50 mm"'
)


def _spaced(line: str) -> str:
    """Return a table or key with its names in quotes; empty where none has a space."""
    table, key = _TABLE.match(line), _KEY.match(line)
    if table:
        opens, names = table[1], table[2]
        closes = "]" * len(opens)
    elif key:
        opens, names, closes = "", key[1], " ="
    else:
        return ""
    parts = [part.strip() for part in names.split(".")]
    if not any(" " in part for part in parts):
        return ""
    quoted = [f'"{part}"' if " " in part else part for part in parts]
    return f"{opens}{'.'.join(quoted)}{closes}"
