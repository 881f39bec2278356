"""What is said of a pedal, said of what drives in its place: a hand lever or a governor.

Not here: which rules are asked of either (`rules.by_hand`, `rules.governor_words`).
"""

from __future__ import annotations

import re
from dataclasses import replace
from typing import TYPE_CHECKING, Final, TypeAlias

if TYPE_CHECKING:
    from collections.abc import Callable

    from linkage.rules.rule import Outcome, Rule, Short

Words: TypeAlias = "tuple[tuple[str, str], ...]"
#: What is said of a pedal, and what of a hand lever.
_HAND: Final[Words] = (
    (r"\ba stamped foot\b", "a hard pull by hand"),
    (r"\bwithout the pedal stop\b", "without its own end"),
    (r"\bpedal down\b", "hand lever pulled"),
    (r"\bwith the pedal up\b", "with the hand lever pushed home"),
    (r"\bpedal up\b", "hand lever pushed home"),
    (r"\bwith the pedal down\b", "with the hand lever pulled"),
    (r"\bthe pedal goes down\b", "the hand lever is pulled"),
    (r"\bwith it down\b", "with it pulled"),
    (r"\bpressing\b", "pulling"),
    (r"\bPressing\b", "Pulling"),
    (r"\bPad travel\b", "Hand lever travel"),
    (r"\b(the )?pedal held\b", r"\1hand lever held"),
    (r"\b(pad|pedal)\b", "hand lever"),
    (r"\bfoot\b", "hand"),
)
#: The same of a governor.
_GOVERNOR: Final[Words] = (
    (r"\bwith the pad at\b", "with the governor's arm at"),
    (r"\b(at|from) pad\b", r"\1 arm travel"),
    (r"\bof pad\b", "of the governor's arm"),
    (r"\bpad travel\b", "arm travel"),
    (r"\bPad travel\b", "Arm travel"),
    (r"\bof pedal left over\b", "of the arm's travel left over"),
    (r"\bpressing does not open\b", "the governor does not shut"),
    (r"\bPressing does not open\b", "The governor does not shut"),
    (r"\bpedal down\b", "engine faster"),
    (r"\bwhile pressing\b", "while it shuts"),
    (r"\bwith the pedal up\b", "at rest"),
    (r"\bpedal up\b", "at rest"),
    (r"\bthe pedal's end\b", "the end of the governor's travel"),
    (r"\bfull end\b", "shut end"),
    (r"\bidle end\b", "open end"),
    (r"\bat idle\b", "at rest"),
    (r"\bpast full\b", "past shut"),
    (r"\bpast idle\b", "past open"),
    (r"\band holds the throttle open\b", "and the throttle opens no further"),
    (r"\band takes the foot\b", "and the throttle shuts no further: the engine races"),
    (r"\bpedal\b", "governor"),
    (r"\bpad\b", "arm"),
)
_WORDS: Final[dict[str, Words]] = {
    "pedal": (),
    "hand lever": _HAND,
    "governor": _GOVERNOR,
}


def reworded(rule: Rule, said: Callable[[str], str], lead: str = "") -> Rule:
    """Return a rule that says all it says in other words; its name stays.

    Parameters
    ----------
    rule : Rule
        In the words of a pedal.
    said : callable
        From what is said of a pedal to what is said instead.
    lead : str
        What goes before each of its sentences.
    """

    def made(
        words: Callable[[Outcome], str], lead: str = ""
    ) -> Callable[[Outcome], str]:
        return lambda o: f"{lead}{said(words(o))}"

    def short(o: Outcome) -> Short:
        what, more = rule.brief(o)
        return f"{lead}{said(what)}", said(more)

    advice, task = rule.advice, rule.task
    return replace(
        rule,
        words=made(rule.words, lead),
        short=short,
        who=made(rule.who),
        place=made(rule.place),
        advice=None if advice is None else made(advice),
        task=None if task is None else made(task),
    )


def in_hands_words(text: str) -> str:
    """Return what is said of a pedal as it is said of a hand lever.

    >>> in_hands_words("rod `pad` jams with the pad at 12.0 mm")
    'rod `pad` jams with the hand lever at 12.0 mm'
    """
    return _said(text, _HAND)


def in_governors_words(text: str) -> str:
    """Return what is said of a pedal as it is said of a governor.

    >>> in_governors_words("rod `pad` jams with the pad at 12.0 mm")
    "rod `pad` jams with the governor's arm at 12.0 mm"
    """
    return _said(text, _GOVERNOR)


def in_words_of(driver: str, text: str) -> str:
    """Return what is said of a pedal as it is said of what drives.

    Parameters
    ----------
    driver : str
        As `Layout.driver` has it.
    text : str
        In the words of a pedal.

    >>> in_words_of("governor", "pad travel"), in_words_of("pedal", "pad travel")
    ('arm travel', 'pad travel')
    """
    return _said(text, _WORDS[driver])


def _said(text: str, words: Words) -> str:
    """Return a text in other words; names, which stand in backticks, stay."""

    def piece(found: re.Match[str]) -> str:
        out = found[0]
        if "`" not in out:
            for said, instead in words:
                out = re.sub(said, instead, out)
        return out

    return re.sub(r"`[^`]*`?|[^`]+", piece, text)
