"""A few functions that write SVG: enough to keep escaping and number formats in one place."""

from __future__ import annotations

from collections.abc import Iterable
from html import escape


def number(value: float) -> str:
    """A coordinate, to a thousandth of a drawing unit, without trailing noughts."""
    text = f"{value:.3f}".rstrip("0").rstrip(".")
    return "0" if text == "-0" else text


def tag(name: str, *children: str, **attributes: str | float | None) -> str:
    """One element. Attribute names lose a trailing underscore and turn inner ones into dashes; None leaves one out.

    >>> tag("line", x1=0, y1=0.5, class_="axis")
    '<line x1="0" y1="0.5" class="axis"/>'
    """
    written = "".join(
        f' {key.rstrip("_").replace("_", "-")}="{escape(value) if isinstance(value, str) else number(value)}"'
        for key, value in attributes.items()
        if value is not None
    )
    inside = "".join(children)
    return f"<{name}{written}>{inside}</{name}>" if inside else f"<{name}{written}/>"


def label(text: str, x: float, y: float, anchor: str = "middle", class_: str = "label") -> str:
    """Words in a drawing; `anchor` is 'start', 'middle' or 'end'."""
    return tag("text", escape(text, quote=False), x=x, y=y, text_anchor=anchor, class_=class_)


def path(points: Iterable[tuple[float, float]], *, closed: bool = False) -> str:
    """The `d` of a path through points."""
    body = "L".join(f"{number(x)} {number(y)}" for x, y in points)
    return f"M{body}Z" if closed else f"M{body}"


def drawing(width: float, height: float, title: str, *children: str, class_: str = "", width_mm: float = 0) -> str:
    """The outermost element; `title` is what a reader who cannot see the drawing hears.

    With `width_mm` the drawing prints at that width, which makes it actual size if its units fit.
    """
    size = {"width": f"{number(width_mm)}mm", "height": f"{number(width_mm * height / width)}mm"} if width_mm else {}
    return tag(
        "svg",
        tag("title", escape(title, quote=False)),
        *children,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(width)} {number(height)}",
        class_=f"drawing {class_}".strip(),
        role="img",
        **size,
    )


def across(x1: float, x2: float, y: float, words: str) -> str:
    """A horizontal dimension: line with end strokes, words above it."""
    ends = "".join(tag("line", x1=x, y1=y - 5, x2=x, y2=y + 5) for x in (x1, x2))
    line = tag("g", tag("line", x1=x1, y1=y, x2=x2, y2=y), ends, class_="dimension")
    return line + label(words, (x1 + x2) / 2, y - 6, class_="label dimension-label")


def upright(x: float, y1: float, y2: float, words: str) -> str:
    """A vertical dimension: line with end strokes, words to its right."""
    ends = "".join(tag("line", x1=x - 5, y1=y, x2=x + 5, y2=y) for y in (y1, y2))
    line = tag("g", tag("line", x1=x, y1=y1, x2=x, y2=y2), ends, class_="dimension")
    return line + label(words, x + 8, (y1 + y2) / 2 + 4, "start", class_="label dimension-label")
