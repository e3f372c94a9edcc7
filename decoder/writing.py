"""What people type, made plain: odd characters, fractions and decimal commas, and refusals that say how to write it.

Works on text alone and knows no units. The same rules stand in `content/assets/scripts/quantities.js`; the shared
vectors in `tests/vectors/` hold the two together, so a change here is a change there.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

#: Longest text that is looked at; anything longer is no quantity, and patterns stay cheap on hostile input.
LONGEST = 80

#: Longest run of digits in one number.
MOST_DIGITS = 9

#: Denominators found on an inch rule or in a drill set; a bare fraction with another one is not taken for inches.
RULE_DENOMINATORS = (2, 4, 8, 16, 32, 64, 128)

DECIMAL = r"(?:[0-9]+(?:[.,][0-9]+)?|[.,][0-9]+)"
FRACTION = r"(?:[0-9]+ ?/ ?[0-9]+)"
MIXED = r"(?:[0-9]+(?: ?- ?| )[0-9]+ ?/ ?[0-9]+)"
NUMBER = rf"(?:{MIXED}|{FRACTION}|{DECIMAL})"

_VULGAR = {
    "¼": "1/4",
    "½": "1/2",
    "¾": "3/4",
    "⅐": "1/7",
    "⅑": "1/9",
    "⅒": "1/10",
    "⅓": "1/3",
    "⅔": "2/3",
    "⅕": "1/5",
    "⅖": "2/5",
    "⅗": "3/5",
    "⅘": "4/5",
    "⅙": "1/6",
    "⅚": "5/6",
    "⅛": "1/8",
    "⅜": "3/8",
    "⅝": "5/8",
    "⅞": "7/8",
    "↉": "0/3",
}
_SUPERSCRIPT = dict(zip("⁰¹²³⁴⁵⁶⁷⁸⁹", "0123456789", strict=True))
_SUBSCRIPT = dict(zip("₀₁₂₃₄₅₆₇₈₉", "0123456789", strict=True))
_PLAIN = {
    **dict.fromkeys("\t\n\r\v\f\u00a0\u1680\u2028\u2029\u202f\u205f\u3000", " "),
    **{chr(code): " " for code in range(0x2000, 0x200B)},
    # Marks without a width come along when text is copied from a page.
    **dict.fromkeys("\u00ad\u200b\u200c\u200d\u200e\u200f\u2060\ufeff\ufe0e\ufe0f", ""),
    **dict.fromkeys("‐‑‒–—―−﹣", "-"),
    **dict.fromkeys("⁄∕⧸", "/"),
    **dict.fromkeys("“”„‟″〃", '"'),
    **dict.fromkeys("‘’‚‛′´`", "'"),
    **dict.fromkeys("×✕✖⨯", "x"),
    **dict.fromkeys("⋅∙•‧", "·"),
    **dict.fromkeys("º˚", "°"),
    "μ": "µ",
    "℃": "°C",
    "℉": "°F",
    "№": "No ",
    "⅟": "1/",
    **dict.fromkeys("Øø⌀∅", " dia "),
    # Full-width forms lie in the same order as the plain characters.
    **{chr(code + 0xFEE0): chr(code) for code in range(0x21, 0x7F)},
}
_KEPT = frozenset("°·±µ")


class QuantityError(ValueError):
    """Text that cannot be used. The message is one sentence: what was found and how to write it.

    `choices` holds the readings the sentence names, each written so that it will be understood; it is empty where
    there is nothing to choose between.
    """

    def __init__(self, message: str, choices: tuple[str, ...] = ()) -> None:
        super().__init__(message)
        self.choices = choices


class NumberError(QuantityError):
    """A number that is wrong by itself, whatever it was meant to measure: `1/0`, `17/16`, `1,250`."""


@dataclass(frozen=True, slots=True)
class Sort:
    """What a piece of text is meant to be, as refusals name it: `what` with its article, `how` as examples."""

    what: str
    how: str

    def refuse(self, text: str) -> QuantityError:
        """The refusal for text with no better explanation."""
        return QuantityError(f"'{shown(text)}' is not {self.what}: write {self.how}.")


@dataclass(frozen=True, slots=True)
class Number:
    """A number as written. `is_fraction` is true for `5/16` and `1-1/8`, which are inches wherever they stand bare."""

    value: float
    is_fraction: bool
    text: str
    whole: int = 0
    numerator: int = 0
    denominator: int = 1

    @property
    def is_integer(self) -> bool:
        """True when written without a decimal mark or a fraction."""
        return self.text.isdigit()


def shown(text: str) -> str:
    """The text as a refusal may quote it: on one line, without control characters, cut to 40 characters."""
    line = re.sub(r" +", " ", "".join(_seen(character) for character in text)).strip(" ")
    return line if len(line) <= 40 else line[:39] + "…"


def tidy(text: str, sort: Sort) -> str:
    """The text in plain characters with single spaces, letters in the case they were written.

    Raises
    ------
    QuantityError
        For no text, text longer than `LONGEST`, and a character that no quantity needs.
    """
    if len(text) > LONGEST:
        raise QuantityError(f"'{shown(text)}' is too long to be {sort.what}: write {sort.how}.")
    pieces: list[str] = []
    previous = ""
    for character in text:
        kind = "raised" if character in _SUPERSCRIPT else "lowered" if character in _SUBSCRIPT else "level"
        if character in _VULGAR:
            # A space on both sides, so that '1½' is one and a half and '½3' is not 1/23.
            plain = f" {_VULGAR[character]} "
        elif kind != "level":
            plain = _SUPERSCRIPT.get(character) or _SUBSCRIPT[character]
        else:
            plain = _PLAIN.get(character, character)
        for one in plain:
            if not (" " <= one <= "~" or one in _KEPT):
                raise QuantityError(
                    f"'{shown(text)}' holds the character {_named(one)}, which is not used in {sort.what}: "
                    f"write {sort.how}."
                )
        if pieces and kind != previous and plain[:1].isdigit() and pieces[-1][-1:].isdigit():
            pieces.append(" ")
        if plain:
            pieces.append(plain)
            previous = kind
    tidied = re.sub(r" +", " ", "".join(pieces)).strip(" ").replace("''", '"')
    if not tidied:
        raise QuantityError(f"Nothing is written where {sort.what} belongs: write {sort.how}.")
    return tidied


def number(text: str) -> Number:
    """A number matched by `NUMBER`.

    Raises
    ------
    NumberError
        For zero below the line, a fraction of one or more, too many digits, and a comma that may be a thousands mark.
    """
    if any(len(run) > MOST_DIGITS for run in re.findall(r"[0-9]+", text)):
        raise NumberError(f"'{shown(text)}' has more digits than any measure needs: write at most {MOST_DIGITS}.")
    if "/" in text:
        parts = re.fullmatch(r"(?:([0-9]+)(?: ?- ?| ))?([0-9]+) ?/ ?([0-9]+)", text)
        if parts is None:
            raise ValueError(f"not matched by NUMBER: {text!r}")
        return _fraction(text, int(parts[1] or 0), int(parts[2]), int(parts[3]))
    if re.fullmatch(r"[1-9][0-9]{0,2},[0-9]{3}", text):
        point, plain = text.replace(",", "."), text.replace(",", "")
        raise NumberError(
            f"'{text}' may be {point} or {plain}: write a point before decimals and no mark between thousands."
        )
    return Number(float(text.replace(",", ".")), False, text)


def trimmed(value: float, decimals: int) -> str:
    """The number with at most so many decimals, halves away from zero, without trailing zeros.

    >>> trimmed(7.9375, 3)
    '7.938'
    >>> trimmed(8.0, 3)
    '8'
    """
    # Rounding of ties differs between languages; this arithmetic gives the same digits in the browser.
    scaled = value * 10**decimals
    nearest = int(abs(scaled) + 0.5 + 1e-9)
    sign = "-" if scaled < 0 and nearest else ""
    whole, rest = divmod(nearest, 10**decimals)
    digits = f"{rest:0{decimals}d}".rstrip("0") if decimals else ""
    return f"{sign}{whole}.{digits}" if digits else f"{sign}{whole}"


def _fraction(text: str, whole: int, numerator: int, denominator: int) -> Number:
    if denominator == 0:
        raise NumberError(f"'{text}' divides by zero: write a fraction such as 5/16.")
    if numerator == 0:
        raise NumberError(f"'{text}' has nothing above the line: write a fraction such as 5/16.")
    if numerator >= denominator:
        more, rest = divmod(numerator, denominator)
        mixed = f"{whole + more}-{rest}/{denominator}" if rest else f"{whole + more}"
        raise NumberError(
            f"'{text}' is a fraction of one or more, which is easily a slip: write {mixed} if that is meant."
        )
    return Number(whole + numerator / denominator, True, text, whole, numerator, denominator)


def _seen(character: str) -> str:
    code = ord(character)
    if code < 0x20 or 0x7F <= code <= 0xA0 or code in (0x2028, 0x2029):
        return " "
    # Marks without a width, some of which turn the rest of the line round.
    if 0x200B <= code <= 0x200F or 0x202A <= code <= 0x202E or 0x2060 <= code <= 0x206F or code == 0xFEFF:
        return ""
    return "\ufffd" if 0xD800 <= code <= 0xDFFF else character


def _named(character: str) -> str:
    # Look-alike letters of other alphabets cannot be told apart on paper; the number can.
    number_ = f"U+{ord(character):04X}"
    return f"'{character}' ({number_})" if _seen(character) == character else number_
