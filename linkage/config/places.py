"""The line on which a key of a TOML file stands.

`tomllib` forgets where it read a key. This walks the text of a file that
`tomllib` has accepted, so it need only find its way, not judge. A key that it
does not meet has no line: nothing is guessed.

Not here: reading values (`reader`).
"""

import re
from typing import Final

_BARE: Final = re.compile(r"[A-Za-z0-9_-]+")
_BASIC: Final = re.compile(r'"(?:[^"\\\n]|\\.)*"')
_LITERAL: Final = re.compile(r"'[^'\n]*'")
_LONG: Final = re.compile(r'"""(?:[^\\]|\\.)*?"{3,5}|\'\'\'.*?\'{3,5}', re.DOTALL)
_SCALAR: Final = re.compile(r"[^,\]}\n#]+")
_BLANK: Final = re.compile(r"[ \t]*")
_GAP: Final = re.compile(r"(?:[ \t\n]|#[^\n]*)*")

Key = tuple[str, ...]


class _Walk:
    """One walk through a text; `found` holds the line of every key."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.at = 0
        self.found: dict[Key, int] = {}
        self.counts: dict[Key, int] = {}
        self.line = 1
        self.counted = 0  # how far line ends are counted

    def run(self) -> None:
        table: Key = ()
        self._skip(_GAP)
        while self.at < len(self.text):
            if self._take("[["):
                table = self._counted(self._key())
                self._take("]]")
            elif self._take("["):
                table = self._inside(self._key())
                self._note(table)
                self._take("]")
            else:
                self._pair(table)
            self._skip(_GAP)

    def _counted(self, key: Key) -> Key:
        """Return the path of one more table of an array of tables."""
        key = (*self._inside(key[:-1]), key[-1])
        self._note(key)
        number = self.counts.get(key, 0)
        self.counts[key] = number + 1
        inner = (*key, str(number))
        self._note(inner)
        return inner

    def _inside(self, key: Key) -> Key:
        """Return a table's path; in an array of tables, that of its last one."""
        path: Key = ()
        for part in key:
            path = (*path, part)
            if path in self.counts:
                path = (*path, str(self.counts[path] - 1))
        return path

    def _note(self, key: Key) -> None:
        self.line += self.text.count("\n", self.counted, self.at)
        self.counted = self.at
        for end in range(1, len(key) + 1):
            self.found.setdefault(key[:end], self.line)

    def _skip(self, pattern: re.Pattern[str]) -> str:
        match = pattern.match(self.text, self.at)
        if match is None:
            raise ValueError(self.at)
        self.at = match.end()
        return match.group()

    def _take(self, mark: str) -> bool:
        if self.text.startswith(mark, self.at):
            self.at += len(mark)
            return True
        return False

    def _key(self) -> Key:
        parts = []
        while True:
            self._skip(_BLANK)
            parts.append(self._word())
            self._skip(_BLANK)
            if not self._take("."):
                return tuple(parts)

    def _word(self) -> str:
        start = self.text[self.at : self.at + 1]
        if start == '"':
            return _unquoted(self._skip(_BASIC))
        if start == "'":
            return self._skip(_LITERAL)[1:-1]
        return self._skip(_BARE)

    def _pair(self, table: Key) -> None:
        key = (*table, *self._key())
        self._note(key)
        if not self._take("="):
            raise ValueError(self.at)
        self._skip(_BLANK)
        self._value(key)

    def _value(self, key: Key) -> None:
        start = self.text[self.at : self.at + 3]
        if start in {'"""', "'''"}:
            self._skip(_LONG)
        elif start[:1] == '"':
            self._skip(_BASIC)
        elif start[:1] == "'":
            self._skip(_LITERAL)
        elif self._take("["):
            self._array(key)
        elif self._take("{"):
            self._inline(key)
        else:
            self._skip(_SCALAR)

    def _array(self, key: Key) -> None:
        number = 0
        self._skip(_GAP)
        while not self._take("]"):
            inner = (*key, str(number))
            self._note(inner)
            self._value(inner)
            self._skip(_GAP)
            self._take(",")
            self._skip(_GAP)
            number += 1

    def _inline(self, key: Key) -> None:
        self._skip(_GAP)
        while not self._take("}"):
            self._pair(key)
            self._skip(_GAP)
            self._take(",")
            self._skip(_GAP)


def _unquoted(text: str) -> str:
    if "\\" not in text:
        return text[1:-1]
    import tomllib

    return str(tomllib.loads(f"k = {text}")["k"])


def positions(text: str) -> dict[Key, int]:
    r"""Return the line of every key, table and array element, counted from 1.

    Parameters
    ----------
    text : str
        A TOML file that `tomllib` accepts; of others, what is met before the
        fault.

    >>> positions("[a.b]\nc = [1,\n2]")[("a", "b", "c", "1")]
    3
    """
    walk = _Walk(text.replace("\r\n", "\n"))
    try:
        walk.run()
    except (ValueError, RecursionError):
        return {}
    return walk.found


def locate(text: str, key: Key) -> int | None:
    """Return the line of a key, or None where it is not in the file.

    Parameters
    ----------
    text : str
        A TOML file.
    key : tuple of str
        Path of the key; elements of arrays by their number.

    >>> locate('[shafts."cross shaft"]', ("shafts", "cross shaft"))
    1
    """
    return positions(text).get(tuple(str(part) for part in key))


def nearest(text: str, key: Key) -> tuple[Key, int] | None:
    """Return the deepest part of a key path that is in the file, with its line.

    >>> nearest("[pedal]", ("pedal", "travel"))
    (('pedal',), 1)
    """
    found = positions(text)
    for end in range(len(key), 0, -1):
        if key[:end] in found:
            return key[:end], found[key[:end]]
    return None
