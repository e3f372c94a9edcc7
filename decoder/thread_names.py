"""Reads and prints thread designations.

`parse_designation` reads one thread however it is written and knows no table: what exists is asked of
`decoder.threads`. The same rules stand in `content/assets/scripts/quantities.js`, held together by
`tests/vectors/designations.json`.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from decoder.quantities import (
    METRIC_SIZES,
    NUMBER_SIZES,
    QuantityError,
)
from decoder.writing import DECIMAL, FRACTION, MIXED, NUMBER, Sort, number, shown, tidy, trimmed

DESIGNATION = Sort("a thread", "one such as 5/16-24 UNF, M8x1.25, 1/4-26 BSF, 2 BA or No. 10-32 UNF")
UNIFIED = ("UNC", "UNF", "UNEF", "UN", "UNS")
PIPE = ("G", "R", "Rp", "Rc", "NPT", "NPTF")
FAMILIES = (*UNIFIED, "M", "BSW", "BSF", "BSC", "BSB", "BA", *PIPE)

# No thread in use has a pitch above this share of its diameter (M1 and 0-80 come nearest), and none here has fewer than
# four or more than a hundred to the inch; this tells a pitch from a length and 1-64 from 1-8.
_COARSEST_SHARE = 0.28
_LEAST_THREADS_PER_INCH, _MOST_THREADS_PER_INCH = 4, 100

_OLD_AMERICAN = "the older American name for the same thread"

# What families are called: pattern, families meant, series where the word fixes it, remark. Longest names first.
_FAMILY_WORDS: tuple[tuple[str, tuple[str, ...], str | None, str | None], ...] = (
    (r"(?:unified|american)(?: national)? extra[ -]?fine|unef", ("UNEF",), None, None),
    (r"nef", ("UNEF",), None, f"NEF is {_OLD_AMERICAN} as UNEF"),
    (r"unified(?: national)? fine|unf", ("UNF",), None, None),
    (r"american(?: national)? fine|anf|nf", ("UNF",), None, f"NF and ANF are {_OLD_AMERICAN} as UNF"),
    (r"sae(?: fine)?", ("UNF",), None, f"SAE fine is {_OLD_AMERICAN} as UNF"),
    (r"unified(?: national)? coarse|unc", ("UNC",), None, None),
    (r"american(?: national)? coarse|anc|nc|uss", ("UNC",), None, f"NC, ANC and USS are {_OLD_AMERICAN} as UNC"),
    (r"unified(?: national)? special|uns", ("UNS",), None, None),
    (r"ns", ("UNS",), None, f"NS is {_OLD_AMERICAN} as UNS"),
    (r"un", ("UN",), None, None),
    (r"unified|american", UNIFIED, None, None),
    (r"british standard fine|brit(?:ish)? fine|bs fine|bsf", ("BSF",), None, None),
    (r"british standard cycle|bs cycle|bscy|bsc|cycle|cei", ("BSC",), None, None),
    (r"british (?:standard )?brass|bs brass|bsb|brass", ("BSB",), None, None),
    (r"bspp|bsp parallel", ("G",), None, None),
    (r"bspt|bsp taper(?:ed)?", ("R",), None, None),
    (r"bsp|british standard pipe|gas", ("G", "R"), None, None),
    (r"british standard whitworth|whitworth|whit|bsw|w", ("BSW",), None, None),
    (r"british association|ba", ("BA",), None, None),
    (r"nptf|dryseal", ("NPTF",), None, None),
    (r"npt", ("NPT",), None, None),
    (r"metric extra fine", ("M",), "extra fine", None),
    (r"metric fine|mf", ("M",), "fine", None),
    (r"metric coarse", ("M",), "coarse", None),
    (r"metric", ("M",), None, None),
)
# These stand in front of the size and nowhere else: behind a number a single letter is a class or a mark.
_PIPE_PREFIXES = (("rp", "Rp"), ("rc", "Rc"), ("g", "G"), ("r", "R"))

_FILLER = r"threads?|threaded|pitch|bolts?|nuts?|set ?screws?|screws?|studs?|taps?|dies?|size|dia(?:meter)?"
_HAND = r"l ?h|left(?:[ -]?hand(?:ed)?)?|r ?h|right(?:[ -]?hand(?:ed)?)?"
_CLASS = r"[123] ?[ab]|[3-9][efgh](?:[3-9][efgh])?(?: ?/ ?[3-9][efgh](?:[3-9][efgh])?)?"
_PER_INCH = r"tpi|threads? per inch|threads?/in|per inch"
_NUMBER_WORD = r"(?:no|nr|num|number|n°)\.?|#"

_METRIC = re.compile(rf"(m ?)?({DECIMAL}) ?(mm)?(?:( ?x ?| ?- ?| )({DECIMAL}) ?(?:mm)?)?", re.IGNORECASE)
_NUMBERED = re.compile(rf"(?:{_NUMBER_WORD}) ?([0-9]{{1,2}})(?:(?: ?[x/-] ?| )([0-9]{{1,3}}))?", re.IGNORECASE)
_INCH = re.compile(
    rf"({MIXED}|{FRACTION}|{DECIMAL})( ?(?:\"|in(?:ch)?(?:es)?))?"
    rf"(?:( ?x ?| ?- ?| )([0-9]{{1,3}}(?:[.,]5|[ -]1 ?/ ?2)?))?",
    re.IGNORECASE,
)
_LENGTH_AFTER = re.compile(rf"(.*[0-9\"n]) ?x ?({NUMBER}) ?(mm|in|\")?(?: ?long)?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Written:
    """What a written designation says; None where it is silent.

    `families` are all the families the text allows, none where it names no family: `1/8 BSP` allows G and R and
    leaves `family` None. `size` is as the tables write it: '5/16', 'M8', 'No. 10', '2' for 2 BA. `assumed` says in
    words what was not written but taken.
    """

    family: str | None
    size: str | None
    threads_per_inch: float | None
    pitch_mm: float | None
    left_hand: bool = False
    families: tuple[str, ...] = ()
    series: str | None = None
    thread_class: str | None = None
    assumed: tuple[str, ...] = ()

    @property
    def designation(self) -> str | None:
        """The canonical designation, or None where a table is needed to complete it."""
        if self.family is None or self.size is None:
            return None
        if self.family == "M" and self.pitch_mm is None:
            return None
        if self.family not in ("M", "BA", "G", "R", "Rp", "Rc") and self.threads_per_inch is None:
            return None
        return canonical(self.family, self.size, self.threads_per_inch, self.pitch_mm, left_hand=self.left_hand)

    @property
    def text(self) -> str:
        """The designation as far as it is known, such as `5/16-24`, `M8 fine` or `1/8 BSP`; reads back the same."""
        whole = self.designation
        if whole is not None:
            return whole
        size = self.size or ""
        if self.threads_per_inch is not None:
            size += f"-{trimmed(self.threads_per_inch, 4)}"
        elif size.isdigit():
            # '1 UNF' may be No. 1.
            size += " in"
        parts = [size]
        if self.family is not None and self.family != "M":
            parts.append(self.family)
        elif self.families == ("G", "R"):
            parts.append("BSP")
        if self.series is not None and not self.assumed:
            parts.append(self.series)
        if self.left_hand:
            parts.append("LH")
        return " ".join(parts)


def canonical(
    family: str,
    size: str,
    threads_per_inch: float | None = None,
    pitch_mm: float | None = None,
    *,
    left_hand: bool = False,
) -> str:
    """The only designation that is printed: `5/16-24 UNF`, `M8x1.25`, `2 BA`, `G 1/8`, `1/8-27 NPT`, ` LH` at the end.

    Raises
    ------
    ValueError
        Where the family's designation needs a pitch and none is given.
    """
    if family == "M":
        if pitch_mm is None:
            raise ValueError(f"a metric designation needs its pitch: {size}")
        text = f"{size}x{trimmed(pitch_mm, 4)}"
    elif family == "BA":
        text = f"{size} BA"
    elif family in ("G", "R", "Rp", "Rc"):
        text = f"{family} {size}"
    else:
        if threads_per_inch is None:
            raise ValueError(f"a designation of family {family} needs its threads per inch: {size}")
        text = f"{size}-{trimmed(threads_per_inch, 4)} {family}"
    return f"{text} LH" if left_hand else text


def slug(designation: str) -> str:
    """The designation as part of an address: lower case, `/`, space and `.` become `-`, runs of `-` one.

    Raises
    ------
    ValueError
        For a character that an address should not carry.

    >>> slug("No. 10-32 UNF")
    'no-10-32-unf'
    """
    made = re.sub(r"-+", "-", re.sub(r"[/ .]", "-", designation.lower())).strip("-")
    if not re.fullmatch(r"[a-z0-9-]+", made):
        raise ValueError(f"not a designation that can be an address: {designation!r}")
    return made


def parse_designation(text: str) -> Written:
    """Read one thread as people write it: `5/16-24`, `5/16 UNF`, `m8`, `M8×1,25`, `2BA`, `3/8 CEI`, `#10-32 LH`.

    A size without family or pitch is read as far as it goes. Whether such a thread exists is for the tables to say.

    Raises
    ------
    QuantityError
        One sentence: for text that is no thread, and for text that may be two things (`8`, `8mm`, `1/2 AF`).
    """
    written = tidy(text, DESIGNATION)
    thread, length = read_thread(written)
    if length is not None:
        raise QuantityError(
            f"'{shown(written)}' ends in a length: write the thread alone, {thread.text}.", (thread.text,)
        )
    return thread


@dataclass(frozen=True, slots=True)
class _Shape:
    """The numbers of a designation: a size, and one of the two pitches or none."""

    size: str
    threads_per_inch: float | None = None
    pitch_mm: float | None = None


_NO_SHAPE = _Shape("")
_SERIES_OF = {"UNC": "coarse", "UNF": "fine", "UNEF": "extra fine", "BSW": "coarse", "BSF": "fine"}
_FAMILIES_OF_SERIES = {"coarse": ("UNC", "BSW"), "fine": ("UNF", "BSF"), "extra fine": ("UNEF",)}


def read_thread(written: str) -> tuple[Written, str | None]:
    """The thread of a tidied text, and the length that stands after it if there is one, as in `M8x1.25x40`."""
    if written.startswith("-"):
        raise DESIGNATION.refuse(written)
    rest = re.sub(r"([a-z])\.(?=[a-z -]|$)", r"\1", written.replace("*", "x"), flags=re.IGNORECASE)
    _refuse_other_names(rest, written)
    _, rest = _take(_FILLER, rest)
    hands, rest = _take(_HAND, rest)
    families, series, remarks, rest = _take_families(rest, written)
    classes, rest = _take(_CLASS, rest, before=r"[ -]", after=r"$|[ -]")
    words, rest = _take(r"extra[ -]?fine|coarse|fine", rest)
    if words:
        series = "extra fine" if words[0].lower().startswith("extra") else words[0].lower()
    counts, rest = _take(_PER_INCH, rest)
    rest = rest.strip(" -,")
    if len({hand[0].lower() for hand in hands}) > 1 or len(classes) > 1 or len(words) > 1:
        raise DESIGNATION.refuse(written)

    if counts and re.fullmatch(NUMBER, rest):
        raise QuantityError(f"'{shown(written)}' is a pitch without a size: write both, such as 5/16-24.")

    length = None
    shape = _shape(rest, families, bool(counts), written)
    if shape is _NO_SHAPE:
        split = _LENGTH_AFTER.fullmatch(rest)
        shape = _shape(split[1].strip(" -"), families, bool(counts), written) if split else _NO_SHAPE
        if split is None or shape is _NO_SHAPE:
            raise _no_thread(rest, families, written)
        length = f"{split[2]} {split[3] or ('mm' if shape.size.startswith('M') else 'in')}"

    if shape.size.startswith("M"):
        families = ("M",)
        if shape.pitch_mm is None and series is None:
            series = "coarse"
            remarks = (*remarks, f"{shape.size} without a pitch is taken as coarse")
    elif not families and series is not None:
        families = _FAMILIES_OF_SERIES[series]
    family = families[0] if len(families) == 1 else None
    if family in _SERIES_OF and series not in (None, _SERIES_OF[family]):
        raise QuantityError(
            f"'{shown(written)}' contradicts itself, since {family} is {_SERIES_OF[family]}: write one of the two."
        )
    thread = Written(
        family=family,
        size=shape.size,
        threads_per_inch=shape.threads_per_inch,
        pitch_mm=shape.pitch_mm,
        left_hand=bool(hands) and hands[0][0].lower() == "l",
        families=families,
        series=series,
        thread_class=classes[0].replace(" ", "") if classes else None,
        assumed=remarks,
    )
    return thread, length


def _take(words: str, text: str, before: str = "[^a-z]", after: str = "$|[^a-z]") -> tuple[list[str], str]:
    """Every such word that stands by itself, and the text without them."""
    # A capturing group and no look-behind, because browsers on older phones refuse look-behind.
    pattern = re.compile(rf"(^|{before})({words})(?={after})", re.IGNORECASE)
    found = [match[2] for match in pattern.finditer(text)]
    return found, re.sub(r" +", " ", pattern.sub(r"\1 ", text)).strip(" ") if found else text


def _take_families(text: str, written: str) -> tuple[tuple[str, ...], str | None, tuple[str, ...], str]:
    families: tuple[str, ...] = ()
    series = None
    remarks: tuple[str, ...] = ()
    for words, meant, fixed, remark in _FAMILY_WORDS:
        found, text = _take(words, text)
        if not found:
            continue
        if families and families != meant:
            raise QuantityError(f"'{shown(written)}' names two thread families: write one of them.")
        families, series = meant, fixed
        remarks = (remark,) if remark else ()
    for prefix, meant_family in _PIPE_PREFIXES:
        match = re.fullmatch(rf"{prefix} ?([0-9].*?)( ?[ab])?", text, re.IGNORECASE)
        if match and not families:
            return (meant_family,), None, (), match[1]
    return families, series, remarks, text


def _refuse_other_names(text: str, written: str) -> None:
    if re.fullmatch(r"(?:sae|j429|class|grade|gr|sae grade|sae gr) ?[0-9]{1,2}(?:\.[0-9])?", text, re.IGNORECASE):
        raise QuantityError(
            f"'{shown(written)}' is a strength, which any thread may have: write the size, such as 5/16-24 UNF."
        )
    flats = re.fullmatch(rf"({NUMBER}) ?(?:mm|in|\")? ?(?:af|a/f|across flats)", text, re.IGNORECASE)
    if flats:
        raise QuantityError(
            f"'{shown(written)}' is a width across flats, which is a spanner and fixes no thread: "
            f"write the bolt's own size, such as 5/16-24 UNF."
        )
    jaw = re.fullmatch(rf"({NUMBER}) ?bs", text, re.IGNORECASE)
    if jaw:
        choices = (f"{jaw[1]} BSF", f"{jaw[1]} BSW")
        raise QuantityError(
            f"'{shown(written)}' marks a spanner: write {choices[0]} or {choices[1]} for the thread.", choices
        )


def _shape(rest: str, families: tuple[str, ...], counted: bool, written: str) -> _Shape:
    """The numbers of a designation, `_NO_SHAPE` where they make none."""
    if families == ("BA",):
        match = re.fullmatch(rf"(?:(?:{_NUMBER_WORD}) ?)?([0-9]{{1,2}})", rest, re.IGNORECASE)
        return _Shape(str(int(match[1]))) if match and int(match[1]) <= 25 else _NO_SHAPE
    match = _NUMBERED.fullmatch(rest)
    if match:
        return _numbered(int(match[1]), match[2], families)
    match = _METRIC.fullmatch(rest)
    if match and not counted and _is_metric(match, families, written):
        return _metric(match, families)
    match = _INCH.fullmatch(rest)
    return _inch(match, families, written) if match and "M" not in families else _NO_SHAPE


def _numbered(size: int, threads: str | None, families: tuple[str, ...]) -> _Shape:
    if size not in NUMBER_SIZES or not set(families) <= set(UNIFIED):
        return _NO_SHAPE
    if threads is None:
        return _Shape(f"No. {size}")
    return _Shape(f"No. {size}", float(threads)) if _may_be_pitch(_number_size_in(size), float(threads)) else _NO_SHAPE


def _is_metric(match: re.Match[str], families: tuple[str, ...], written: str) -> bool:
    if families or match[1]:
        if match[1] and families not in ((), ("M",)):
            raise QuantityError(f"'{shown(written)}' names two thread families: write one of them.")
        return families in ((), ("M",))
    # Without an M, a second number with decimals can only be a pitch in millimetres.
    usual = float(match[2].replace(",", ".")) in (1.6, 2.5, 3.5, *METRIC_SIZES)
    return usual and match[5] is not None and (match[3] is not None or not match[5].isdigit())


def _metric(match: re.Match[str], families: tuple[str, ...]) -> _Shape:
    size = number(match[2]).value
    if not 1 <= size <= 100:
        return _NO_SHAPE
    name = f"M{trimmed(size, 4)}"
    if match[5] is None:
        return _Shape(name) if match[1] or families else _NO_SHAPE
    pitch_mm = number(match[5]).value
    return _Shape(name, None, pitch_mm) if 0 < pitch_mm <= _COARSEST_SHARE * size else _NO_SHAPE


def _inch(match: re.Match[str], families: tuple[str, ...], written: str) -> _Shape:
    size = number(match[1])
    threads = _threads(match[4]) if match[4] else None
    unified = not families or set(families) <= set(UNIFIED)
    if size.is_fraction:
        name, inches = _fraction_name(size.whole, size.numerator, size.denominator, written), size.value
    elif size.is_integer:
        whole = int(size.value)
        if match[2] is None and match[4] is not None and match[4].isdigit() and not families:
            refusal = _crossed(whole, int(match[4]), "x" in match[3].lower(), written)
            if refusal is not None:
                raise refusal
        if match[2] is None and threads is None and unified and not (families and whole > 4):
            raise _bare_size(whole, families, written)
        numbered = match[2] is None and unified and whole in NUMBER_SIZES and _is_numbered(whole, threads)
        name, inches = (f"No. {whole}", _number_size_in(whole)) if numbered else (f"{whole}", size.value)
        if not numbered and not 1 <= whole <= 6:
            return _NO_SHAPE
    else:
        if threads is None and not families:
            return _NO_SHAPE
        name, inches = _decimal_name(size.value)
        if not name:
            return _NO_SHAPE
    # A pipe thread is named by the bore, and stands well outside it.
    outside = inches + 0.3 if set(families) & set(PIPE) else inches
    if threads is not None and not _may_be_pitch(outside, threads):
        return _NO_SHAPE
    return _Shape(name, threads)


def _threads(text: str) -> float:
    return number(text.replace("-", " ")).value if "/" in text else number(text).value


def _may_be_pitch(inches: float, threads_per_inch: float) -> bool:
    usual = _LEAST_THREADS_PER_INCH <= threads_per_inch <= _MOST_THREADS_PER_INCH
    return usual and inches * threads_per_inch >= 1 / _COARSEST_SHARE


def _number_size_in(size: int) -> float:
    return 0.06 + 0.013 * size


def _is_numbered(whole: int, threads: float | None) -> bool:
    """True where `1-64` can only be No. 1, and not 1 in as `1-8` is."""
    return whole in (0, 5, 6, 8, 10, 12) or (threads is not None and _may_be_pitch(_number_size_in(whole), threads))


def _fraction_name(whole: int, numerator: int, denominator: int, written: str) -> str:
    while numerator % 2 == 0 and denominator % 2 == 0:
        numerator, denominator = numerator // 2, denominator // 2
    if denominator not in (2, 4, 8, 16, 32, 64):
        raise QuantityError(
            f"'{shown(written)}' has {numerator}/{denominator} in it, which is no thread size: "
            f"write halves to 64ths of an inch, such as 5/16."
        )
    return f"{whole}-{numerator}/{denominator}" if whole else f"{numerator}/{denominator}"


def _decimal_name(inches: float) -> tuple[str, float]:
    """The size that drawings write in decimals, `.3125` for 5/16 and `.190` for No. 10; no name where there is none."""
    parts = int(inches * 64 + 0.5)
    if parts % 64 and abs(parts / 64 - inches) <= 0.0006:
        return _fraction_name(parts // 64, parts % 64, 64, ""), parts / 64
    for size in NUMBER_SIZES:
        if abs(_number_size_in(size) - inches) <= 0.0006:
            return f"No. {size}", _number_size_in(size)
    return "", inches


def _crossed(whole: int, other: int, with_cross: bool, written: str) -> QuantityError | None:
    """The refusal of two bare whole numbers where an inch or number size is not plain: `10x32`, `6 1`."""
    numbered = whole in NUMBER_SIZES and _may_be_pitch(_number_size_in(whole), other)
    if not with_cross and (numbered or (whole <= 6 and _may_be_pitch(whole, other))):
        return None
    choices = []
    if whole in METRIC_SIZES:
        is_pitch = 0 < other <= _COARSEST_SHARE * whole
        choices.append((f"M{whole}x{other}", "") if is_pitch else (f"M{whole}", f" for a bolt {other} mm long"))
    if numbered:
        choices.append((f"No. {whole}-{other}", ""))
    if not choices:
        return None
    said = _either([choice + meaning for choice, meaning in choices])
    return QuantityError(
        f"'{shown(written)}' does not say which system: write {said}.", tuple(choice for choice, _ in choices)
    )


def _bare_size(whole: int, families: tuple[str, ...], written: str) -> QuantityError:
    if families:
        named = families[0] if len(families) == 1 else "UNF"
        choices = [f"No. {whole} {named}"]
        choices += [f"{whole} in {named}"] if whole else []
    else:
        choices = [f"M{whole}"] if whole in METRIC_SIZES else []
        choices += [f"No. {whole}"] if whole in NUMBER_SIZES else []
        choices += [f"{whole} BA"] if whole <= 16 else []
        choices += [f"{whole} in"] if 1 <= whole <= 3 else []
        choices += [f"{whole} tpi"] if 8 <= whole <= 80 else []
        choices += [f"{whole} mm"] if whole else []
    if not choices:
        return DESIGNATION.refuse(written)
    return QuantityError(f"'{shown(written)}' does not say enough: write {_either(choices)}.", tuple(choices))


def _either(choices: list[str]) -> str:
    return f"{', '.join(choices[:-1])} or {choices[-1]}" if len(choices) > 1 else choices[0]


def _no_thread(rest: str, families: tuple[str, ...], written: str) -> QuantityError:
    quoted = shown(written)
    if families == ("BA",):
        return QuantityError(f"'{quoted}' is no BA thread: write a whole number from 0 to 25 before it, such as 2 BA.")
    match = re.fullmatch(rf"({NUMBER}) ?(?:mm|in|\")", rest, re.IGNORECASE)
    if match:
        size = match[1]
        whole_mm = size.isdigit() and rest.lower().endswith("mm")
        metric = (f"M{size}",) if whole_mm and int(size) in METRIC_SIZES else ()
        said = f"{metric[0]} if the size is meant" if metric else "a size such as M8x1.25"
        return QuantityError(
            f"'{quoted}' is a measure, not a thread: write {said}, or look it up by diameter and pitch.", metric
        )
    match = re.fullmatch(rf"(m ?{DECIMAL}|{NUMBER}\"?)(?: ?x ?| ?- ?| )({DECIMAL})", rest, re.IGNORECASE)
    if match:
        size, pitch = match[1], match[2]
        what = f"a pitch of {pitch} mm" if size[0] in "mM" else f"{pitch} threads to the inch"
        return QuantityError(
            f"'{quoted}' would have {what}, which no thread of that size has: write size and pitch, such as "
            f"{'M8x1.25' if size[0] in 'mM' else '5/16-24'}."
        )
    if re.fullmatch(DECIMAL, rest):
        choices = (f"{rest.replace(',', '.')} mm", f"{rest.replace(',', '.')} in")
        return QuantityError(f"'{quoted}' does not say enough: write {_either(list(choices))}.", choices)
    return DESIGNATION.refuse(written)
