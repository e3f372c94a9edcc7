"""Thread designations and the single field people type into: the public face of `thread_names` and `queries`."""

from decoder.queries import Query, Reading, read_query
from decoder.thread_names import FAMILIES, PIPE, UNIFIED, Written, canonical, parse_designation, slug

__all__ = [
    "FAMILIES",
    "PIPE",
    "UNIFIED",
    "Query",
    "Reading",
    "Written",
    "canonical",
    "parse_designation",
    "read_query",
    "slug",
]
