"""What a fastener can be: the public face of `decoder.identification`.

>>> index = Index.load(build_index(load_reference()))
>>> answer = identify({"diameter": {"mm": 7.9}, "pitch": {"mm": 25.4 / 24, "threads_per_inch": 24}}, index)
>>> answer.candidates[0]["designation"]
'5/16-24 UNF'
"""

from decoder.identification.answer import Answer, identify
from decoder.identification.index import Index, build_index, build_index_script
from decoder.identification.observations import KEYS, ObservationError
from decoder.identification.state import state_of
from decoder.identification.vehicles import vehicle_part

__all__ = [
    "KEYS",
    "Answer",
    "Index",
    "ObservationError",
    "build_index",
    "build_index_script",
    "identify",
    "state_of",
    "vehicle_part",
]
