"""Numbers that Python and JavaScript must compute alike, digit by digit.

JavaScript has no error function and prints ties otherwise than Python, so both evaluators carry these few formulae.
"""

from __future__ import annotations

import math

_SQRT_HALF = math.sqrt(0.5)


def erf(x: float) -> float:
    """Error function, absolute error below 1.5e-7.

    References
    ----------
    .. [1] Abramowitz and Stegun, Handbook of Mathematical Functions, formula 7.1.26 (coefficients from memory; a test
       holds them against the C library's error function).
    """
    a = abs(x)
    t = 1.0 / (1.0 + 0.3275911 * a)
    series = ((((1.061405429 * t - 1.453152027) * t + 1.421413741) * t - 0.284496736) * t + 0.254829592) * t
    value = 1.0 - series * math.exp(-a * a)
    return value if x >= 0 else -value


def normal_cdf(z: float) -> float:
    """Share of a normal distribution below `z` standard deviations."""
    if z > 8.0:
        return 1.0
    if z < -8.0:
        return 0.0
    return 0.5 * (1.0 + erf(z * _SQRT_HALF))


def fixed(value: float, places: int) -> str:
    """A number with that many places, halves away from zero, the same in both languages.

    >>> fixed(7.905, 2), fixed(-0.25, 1), fixed(12, 0)
    ('7.91', '-0.3', '12')
    """
    scale = 10**places
    whole = math.floor(abs(value) * scale + 0.5 + 1e-9)
    sign = "-" if value < 0 and whole > 0 else ""
    if places == 0:
        return f"{sign}{whole}"
    return f"{sign}{whole // scale}.{whole % scale:0{places}d}"


def short(value: float, places: int) -> str:
    """As `fixed`, without zeros at the end.

    >>> short(1.250, 3), short(8.0, 2)
    ('1.25', '8')
    """
    text = fixed(value, places)
    return text.rstrip("0").rstrip(".") if "." in text else text
