"""Read a page of docs/errors: one layout file, and examples that change it.

A page holds the file once, in its first ```toml block. Every ``##`` section is
an example: a ```diff block with lines taken out and put in (none: the file as
it is), a ```sh block with one command, the exit status in words, and in a
```text block what the command writes to stderr.
"""

from __future__ import annotations

import re
import shlex
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from pathlib import Path


@dataclass(frozen=True)
class Example:
    """One section of a page."""

    title: str
    changes: str
    command: str
    exit_status: int
    output: str

    @property
    def words(self) -> list[str]:
        """The command without the name of the program."""
        program, *words = shlex.split(self.command)
        assert program == "throttle-linkage"
        return words


@dataclass(frozen=True)
class Page:
    """One page: its code, its file and its examples."""

    code: str
    layout: str
    examples: tuple[Example, ...]


def _block(text: str, language: str) -> str:
    found = re.findall(rf"^```{language}\n(.*?)^```$", text, re.DOTALL | re.MULTILINE)
    assert len(found) <= 1, f"more than one {language} block"
    return found[0] if found else ""


def read_page(text: str) -> Page:
    """Split a page into its parts."""
    head, *sections = re.split(r"^## ", text, flags=re.MULTILINE)
    code = re.match(r"# (L\d{3}):", head)
    assert code is not None
    examples = []
    for section in sections:
        status = re.search(r"[Ee]xit status (\d+)", section)
        assert status is not None, section
        command = _block(section, "sh").strip()
        assert command, section
        examples.append(
            Example(
                title=section.split("\n", 1)[0].strip(),
                changes=_block(section, "diff"),
                command=command,
                exit_status=int(status.group(1)),
                output=_block(section, "text").rstrip("\n"),
            )
        )
    return Page(code.group(1), _block(head, "toml"), tuple(examples))


def changed(layout: str, changes: str) -> str:
    """Apply the lines of a diff block: `-` lines go, `+` lines take their place.

    Lines with neither only show where to look. A group without a `-` line goes
    after the line shown before it, or at the end of the file.
    """
    for group in changes.split("...\n"):
        lines = group.splitlines()
        old = "".join(f"{line[1:]}\n" for line in lines if line[:1] in {"-", " "})
        new = "".join(f"{line[1:]}\n" for line in lines if line[:1] in {"+", " "})
        if not old:
            layout += "\n" + new
            continue
        assert layout.count(old) == 1, f"stands {layout.count(old)} times: {old}"
        layout = layout.replace(old, new)
    return layout


def prepare(page: Page, example: Example, folder: Path) -> None:
    """Write the example's file as car.toml."""
    text = changed(page.layout, example.changes)
    (folder / "car.toml").write_text(text, encoding="utf-8")
