"""The page of the Python API: a session that is run, and every public name.

The session stands in docs/api.md itself, above the first generated line; what its
code shows is put in by running it.
"""

from __future__ import annotations

import contextlib
import doctest
import inspect
import io
import re
import tempfile
import traceback
from dataclasses import fields, is_dataclass
from typing import Any, Final

import linkage
from tests.docs.markdown import read
from tests.docs.reference_pages import GENERATED

#: From here on the page is generated whole.
NAMES: Final = "## Every public name\n"
_BLOCK: Final = re.compile(r"(?<=^```pycon\n).*?(?=^```$)", re.DOTALL | re.MULTILINE)


def shown(source: str, names: dict[str, Any]) -> str:
    """Return what an interpreter shows for one statement."""
    out = io.StringIO()
    with contextlib.redirect_stdout(out):
        try:
            exec(compile(source, "docs/api.md", "single"), names)  # noqa: S102
        except linkage.LinkageError as error:
            said = "".join(traceback.format_exception_only(error))
            print(f"Traceback (most recent call last):\n    ...\n{said}", end="")  # noqa: T201
    return out.getvalue()


def rerun(page: str) -> str:
    """Return a page with each statement's output as it is today, in a folder of its own."""
    names: dict[str, Any] = {}

    def again(block: re.Match[str]) -> str:
        lines = []
        for example in doctest.DocTestParser().get_examples(block[0]):
            first, *more = example.source.rstrip("\n").split("\n")
            lines += [f">>> {first}", *(f"... {line}".rstrip() for line in more)]
            lines += shown(example.source, names).splitlines()
        return "\n".join(lines) + "\n"

    with tempfile.TemporaryDirectory() as folder, contextlib.chdir(folder):
        return _BLOCK.sub(again, page)


def _sentence(thing: object) -> str:
    """Return the first sentence of a docstring."""
    text = inspect.getdoc(thing) or ""
    first = " ".join(text.split("\n\n")[0].split())
    return first.replace("``", "`").replace("].", "]")


class _Told(str):
    """A default as it is written in a signature, dots where it is long."""

    __slots__ = ()

    @classmethod
    def of(cls, default: object) -> object:
        """Return the same where there is none."""
        if default is inspect.Parameter.empty:
            return default
        said = repr(default)
        return cls(said if len(said) < 20 else "...")

    def __repr__(self) -> str:
        return str(self)


def _call(name: str, function: Any) -> str:
    """Return a function's signature, without the types that its docstring tells."""
    signature = inspect.signature(function)
    bare = [
        p.replace(annotation=p.empty, default=_Told.of(p.default))
        for p in signature.parameters.values()
        if p.name not in {"self", "cls"}
    ]
    gives = signature.return_annotation
    told = (
        getattr(gives, "__name__", str(gives)) if inspect.isclass(gives) else str(gives)
    )
    told = (
        "" if gives is signature.empty else " -> " + re.sub(r"\w+\.(?=[\w.])", "", told)
    )
    return f"{name}{signature.replace(parameters=bare, return_annotation=signature.empty)}{told}"


def _members(cls: type) -> list[str]:
    """Return a line for each public method and property, own or inherited from us."""
    out = []
    for name in dir(cls):
        member = inspect.getattr_static(cls, name)
        member = getattr(member, "__func__", member)
        if name.startswith("_") or not getattr(member, "__doc__", None):
            continue
        if inspect.isfunction(member):
            if member.__module__.startswith("linkage"):
                out.append(f"- `{_call(name, member)}`: {_sentence(member)}")
        elif type(member).__name__ in {"property", "cached_property"}:
            out.append(f"- `{name}`: {_sentence(member)}")
    return out


def _entry(name: str, thing: Any) -> str:
    if not inspect.isclass(thing):
        return f"### {name}\n\n`{_call(name, thing)}`\n\n{_sentence(thing)}\n"
    lines = [f"### {name}\n", _sentence(thing)]
    if is_dataclass(thing):
        held = ", ".join(f"`{f.name}`" for f in fields(thing) if not f.name.startswith("_"))  # fmt: skip
        lines[-1] += f" Holds {held}."
    members = _members(thing)
    return "\n".join([*lines, *([""] if members else []), *members]) + "\n"


def public_names() -> str:
    """Return every public name with its signature and one sentence."""
    entries = [_entry(n, getattr(linkage, n)) for n in linkage.__all__]
    return (
        f"{NAMES}\n{GENERATED}\n\nAll numbers are in SI and radians; types, shapes and "
        "errors stand in the docstrings\n(`help(linkage.check)`).\n\n"
        + "\n".join(entries)
    )


def api() -> str:
    """Return docs/api.md."""
    return rerun(read("docs/api.md").partition(NAMES)[0]) + public_names()
