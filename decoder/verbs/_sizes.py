"""Sizes as options take them: a diameter, or a thread of which the diameter is enough."""

from __future__ import annotations

from decoder.designations import PIPE, parse_designation
from decoder.quantities import QuantityError, parse_length
from decoder.threads import Threads


def nominal_mm(size: str, threads: Threads) -> float:
    """Nominal major diameter of a size, [mm]: `1/2 in`, `10 mm`, `M10`, `5/16-24`, `No. 10`, `2 BA`.

    Raises
    ------
    QuantityError
        Where it is no size, or a bare number.
    """
    try:
        return parse_length(size).mm
    except QuantityError as error:
        refusal = error
    try:
        written = parse_designation(size)
    except QuantityError:
        raise refusal from None
    allowed = written.families or tuple({thread.family for thread in threads} - set(PIPE))
    majors = {
        round(thread.major_mm, 4) for thread in threads if thread.size == written.size and thread.family in allowed
    }
    if len(majors) != 1:
        # Unknown, or not one diameter: the tables say which designations there are.
        return threads.find(size).major_mm
    return majors.pop()
