"""Words that pages use for the short names of tables."""

from __future__ import annotations

from collections.abc import Mapping

#: Thread families: the name the trade uses, and one line that tells a reader what is in the hand.
FAMILIES: Mapping[str, tuple[str, str]] = {
    "UNC": ("Unified coarse", "Inch sizes, 60° flanks. American and, from the 1950s, British vehicles."),
    "UNF": ("Unified fine", "Inch sizes, 60° flanks. The older SAE and ASME fine series cut the same thread."),
    "UNEF": ("Unified extra fine", "Inch sizes, 60° flanks. Bearings, adjusters, thin parts."),
    "UN": ("Unified constant pitch", "Inch sizes, 60° flanks, one pitch over many diameters."),
    "UNS": ("Unified special", "Inch sizes, 60° flanks, a pitch outside the named series."),
    "M": ("ISO metric", "Millimetre sizes, 60° flanks. Coarse unless the pitch says otherwise."),
    "BSW": ("British Standard Whitworth", "Inch sizes, 55° rounded flanks, coarse."),
    "BSF": ("British Standard Fine", "Inch sizes, 55° rounded flanks, fine."),
    "BSC": ("British Standard Cycle", "Inch sizes, 60° rounded flanks, mostly 26 to the inch."),
    "BSB": ("British brass", "Inch sizes, 55° rounded flanks, always 26 to the inch."),
    "BA": ("British Association", "Numbered sizes, 47½° rounded flanks, metric pitches. Instruments and electrics."),
    "G": ("Pipe thread, parallel", "55° rounded flanks. Named for the bore of a pipe: far larger than its name says."),
    "R": ("Pipe thread, taper", "55° rounded flanks on a taper of 1 in 16. Seals on the thread."),
    "NPT": ("American pipe thread, taper", "60° flanks on a taper of 1 in 16. Seals on the thread with a sealant."),
    "NPTF": ("American dry-seal pipe thread", "60° flanks on a taper of 1 in 16. Seals on the thread by itself."),
}

#: Fit of a spanner: whether to use it, in a few words.
FITS: Mapping[str, str] = {
    "right": "the one made for it",
    "goes": "goes on well",
    "loose": "loose: light hand only",
    "slack": "slack: rounds the corners",
    "slips round": "turns on the head",
    "may not enter": "may not go on",
    "will not enter": "does not go on",
}


def plural(count: int, one: str, many: str = "") -> str:
    """A count with its noun.

    >>> plural(1, "joint"), plural(3, "joint")
    ('1 joint', '3 joints')
    """
    return f"{count} {one if count == 1 else many or one + 's'}"


def joined(words: tuple[str, ...] | list[str], last: str = "and") -> str:
    """A list in words.

    >>> joined(["oil", "heat", "water"])
    'oil, heat and water'
    """
    if len(words) < 2:
        return "".join(words)
    return f"{', '.join(words[:-1])} {last} {words[-1]}"
