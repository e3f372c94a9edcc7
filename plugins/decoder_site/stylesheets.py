"""Reads style sheets just far enough to leave out what no page uses."""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator

_COMMENT = re.compile(r"/\*.*?\*/", re.DOTALL)
_CLASS = re.compile(r"\.((?:[\w-]|\\.)+)")
_ELEMENT = re.compile(r"(?:^|(?<=[\s>+~(,]))[a-z][a-z0-9]*(?![\w-]*=)")
_VALUE = re.compile(r"\[[\w-]+=\"?([\w-]+)\"?\]")
_NEGATED = re.compile(r":not\([^()]*\)")
_PSEUDO = re.compile(r"::?[\w-]+")
_VARIABLE = re.compile(r"""(--[\w-]+):(?:"[^"]*"|'[^']*'|url\([^"')]*\)|[^;{}"'])*;?""")
_MOVEMENT = re.compile(r"@keyframes ([\w-]+)\s*\{(?:[^{}]*\{[^{}]*\})*\s*\}\n")

#: Rules that hold rules; a plain rule or one of the others holds declarations.
_GROUPS = ("@media", "@supports", "@layer", "@container")


def stripped_style(css: str) -> str:
    """A style sheet without comments, indentation and empty lines."""
    lines = (line.strip() for line in _COMMENT.sub("", css).split("\n"))
    return "\n".join(line for line in lines if line) + "\n"


def only_used(css: str, names: Collection[str], beside: str = "") -> str:
    """A minified style sheet without what no page can use.

    `names` are the classes, elements and attribute values that pages have or that scripts may set; a selector that
    asks for another goes, and so does one for right-to-left text. A variable or a movement goes that neither what is
    left nor the style sheets `beside` it use. Each rule has a line: packs store a line once that several files have.
    """
    left = "".join(_rules(_COMMENT.sub("", css), frozenset(names)))
    while (lighter := _without_unread(left, beside)) != left:
        left = lighter
    moved = set(re.findall(r"animation(?:-name)?:([^;}]*)", left + beside))
    left = _MOVEMENT.sub(lambda found: found[0] if any(found[1] in each for each in moved) else "", left)
    return re.sub(r"[^{}]+\{\s*\}\n", "", left)


def _without_unread(css: str, beside: str) -> str:
    """Without the variables that nothing reads; those that only such a one read go the next time."""
    read = set(re.findall(r"var\((--[\w-]+)", css + beside))
    return _VARIABLE.sub(lambda found: found[0] if found[1] in read else "", css)


def _rules(css: str, names: frozenset[str]) -> Iterator[str]:
    for head, body in _blocks(css):
        if head.startswith(_GROUPS):
            if inner := "".join(_rules(body, names)):
                yield f"{head}{{\n{inner}}}\n"
        elif head.startswith("@"):
            yield f"{head}{{{body}}}\n"
        elif kept := [selector for selector in _selectors(head) if _is_used(selector, names)]:
            yield f"{','.join(kept)}{{{body}}}\n"


def _blocks(css: str) -> Iterator[tuple[str, str]]:
    """Each `head{body}` on the outermost level; statements without a body (`@charset`) are left out."""
    at = 0
    while (start := css.find("{", at)) >= 0:
        depth, end = 1, start + 1
        while depth:
            depth += {"{": 1, "}": -1}.get(css[end], 0)
            end += 1
        yield css[at:start].rpartition(";")[2].strip(), css[start + 1 : end - 1]
        at = end


def _selectors(head: str) -> list[str]:
    """The selectors of a rule; a comma within brackets separates nothing."""
    found, depth = [""], 0
    for sign in head:
        depth += {"(": 1, "[": 1, ")": -1, "]": -1}.get(sign, 0)
        if sign == "," and not depth:
            found.append("")
        else:
            found[-1] += sign
    return found


def _is_used(selector: str, names: frozenset[str]) -> bool:
    if "[dir=rtl]" in selector:
        return False
    asked = _NEGATED.sub("", selector)
    wanted = [*_CLASS.findall(asked), *_VALUE.findall(asked), *_ELEMENT.findall(_PSEUDO.sub("", _CLASS.sub("", asked)))]
    return all(name in names for name in wanted)
