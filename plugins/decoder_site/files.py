"""Says which files the site has beside its pages: the data that scripts read, and the same facts as JSON."""

from __future__ import annotations

import json
from collections.abc import Collection, Iterator
from typing import Any

from decoder.identify import build_index, build_index_script, vehicle_part
from decoder.torque_data import build_torque_script
from decoder_site import offline, search_index
from decoder_site.export import data_files, to_bytes, vehicle_file
from decoder_site.loading import Loaded
from decoder_site.making import HandWritten


def site_files(loaded: Loaded, guides: Collection[HandWritten]) -> Iterator[tuple[str, bytes]]:
    """Every generated file that is no page, with its address. `guides` are the hand-written pages, for the search."""
    yield "data/identify-index.json", build_index(loaded.reference)
    yield "data/identify-index.js", build_index_script(loaded.reference)
    yield "data/torque.js", build_torque_script(loaded.reference)
    yield "site.webmanifest", offline.manifest(loaded.site_name)
    yield "data/search.js", search_index.script("search", search_index.global_part(loaded, guides))
    yield "data/search-words.js", search_index.script("words", search_index.words_part(loaded, guides))
    yield from data_files(loaded.reference)
    for slug, vehicle in loaded.fleet.vehicles.items():
        folder = f"vehicles/{slug}"
        yield f"{folder}/search.js", search_index.script(slug, search_index.vehicle_part(vehicle, loaded))
        yield f"{folder}/data.json", vehicle_file(vehicle)
        part = vehicle_part(vehicle, loaded.reference.threads)
        yield f"{folder}/identify.json", to_bytes(part)
        yield f"{folder}/identify.js", _identify_script(slug, part)


def _identify_script(slug: str, part: dict[str, Any]) -> bytes:
    text = json.dumps(part, ensure_ascii=False, separators=(",", ":"))
    return f"(window.decoderVehicles=window.decoderVehicles||{{}})[{json.dumps(slug)}]={text};\n".encode()
