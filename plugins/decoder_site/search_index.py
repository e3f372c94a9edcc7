"""What the search script reads: one row a thing that has a page, in one part for all sites and one for each vehicle.

A further part holds what pages say: `rows` of sections, and in `words` what belongs to rows that are there already.

A row is `[kind, title, address, more words, note]`. `kind` is a position in `kinds`; `more words` are searched and not
shown; `note` is shown beside the title. A size has its diameter in millimetres as sixth value.
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator
from typing import Any

from decoder.drawings.sheets.listing import sheets
from decoder.fleet import FleetVehicle
from decoder.joint_threads import joint_threads
from decoder_site import search_words
from decoder_site.loading import Loaded
from decoder_site.making import HandWritten
from decoder_site.views.words import FAMILIES

#: Kinds of row, in the order in which equally good matches are shown: one, and several.
KINDS = (
    ("size", "sizes"),
    ("spanner", "spanners"),
    ("head mark", "head marks"),
    ("strength grade", "strength grades"),
    ("joint", "joints"),
    ("assembly", "assemblies"),
    ("vehicle", "vehicles"),
    ("kind of joint", "kinds of joint"),
    ("nut", "kinds of nut"),
    ("washer", "kinds of washer"),
    ("head", "shapes of head"),
    ("drive", "drives"),
    ("finish", "finishes"),
    ("material", "materials"),
    ("guide", "guides"),
    ("sheet to print", "sheets to print"),
)
_KIND = {name: position for position, (name, _) in enumerate(KINDS)}

#: What people call a family beside its short and its full name.
_ALIASES = {
    "UNF": "sae anf nf",
    "UNC": "anc nc",
    "BSW": "whit ww",
    "BSF": "fine",
    "BSC": "cei cycle",
    "BSB": "brass",
    "G": "bsp bspp",
    "R": "bsp bspt",
    "NPT": "pipe",
    "M": "metric",
}

#: Series that are met less often than the first, which stands for all others.
_RARER = ("coarse", "fine", "extra fine", "pre-ISO", "constant pitch", "special")

Row = list[Any]


def global_part(loaded: Loaded, guides: Iterable[HandWritten]) -> dict[str, Any]:
    """Rows of everything that depends on no vehicle, and where the other parts are."""
    rows = [*_sizes(loaded), *_spanners(loaded), *_marks(loaded), *_grades(loaded), *_kinds(loaded)]
    rows += [[_KIND["guide"], guide.title, guide.address, guide.description, ""] for guide in guides]
    rows += _paper(loaded)
    return {
        "kinds": [list(names) for names in KINDS],
        "rows": rows,
        "parts": [
            ["data/search-words.js", ""],
            *([f"vehicles/{slug}/search.js", vehicle.record.title] for slug, vehicle in loaded.fleet.vehicles.items()),
        ],
    }


def words_part(loaded: Loaded, guides: Iterable[HandWritten]) -> dict[str, Any]:
    """Rows of the sections of hand-written pages; and words, by address, of pages that have a row already."""
    rows: list[Row] = []
    words = [list(found) for found in search_words.kinds(loaded.reference)]
    for heading, address, said, page in search_words.sections(guides):
        if page:
            rows.append([_KIND["guide"], heading, address, f"{page} {said}", page])
        else:
            words.append([address, said])
    return {"rows": rows, "words": words}


def vehicle_part(vehicle: FleetVehicle, loaded: Loaded) -> dict[str, Any]:
    """Rows of one vehicle: itself, its assemblies, its joints."""
    record = vehicle.record
    address = f"vehicles/{vehicle.slug}/"
    invented = "invented" if vehicle.is_invented else ""
    rows: list[Row] = [[_KIND["vehicle"], record.title, address, record.era or "", invented]]
    rows.append([_KIND["sheet to print"], f"For the plater: {record.title}", f"{address}plating/", "plating zinc", ""])
    for slug, assembly in vehicle.assemblies.items():
        title = assembly.record.title
        rows.append([_KIND["assembly"], title, f"{address}{slug}/", record.title, record.title])
        for key, joint in assembly.joints.items():
            kind = loaded.reference.joint_kinds.get(joint.record.kind)
            threads = " ".join(thread.designation for thread in joint_threads(joint.record, loaded.reference.threads))
            words = " ".join((title, record.title, kind.title if kind else "", threads))
            rows.append([_KIND["joint"], joint.record.title, f"{address}{slug}/#{key}", words, title])
    return {"vehicle": record.title, "rows": rows}


def script(name: str, value: dict[str, Any]) -> bytes:
    """A classic script that hands a part to the search script, so that pages opened as files can search too."""
    text = json.dumps(value, ensure_ascii=False, separators=(",", ":"))
    return f"window.decoderFind.take({json.dumps(name)},{text});\n".encode()


def _paper(loaded: Loaded) -> Iterator[Row]:
    for sheet in sheets(loaded.reference):
        yield [_KIND["sheet to print"], sheet.title, f"sheets/{sheet.slug}/", f"{sheet.about} gauge paper", ""]
    words = "gauge phone pitch diameter flats length without calipers"
    yield [_KIND["guide"], "Torque by size and grade", "torque/", "how tight lbf ft nm newton foot pounds preload", ""]
    yield [_KIND["guide"], "Gauge on the screen", "gauge/", words, ""]
    words = "circlip snap ring retaining ring e-clip clip groove shaft bore"
    yield [_KIND["washer"], "Circlips", "circlips/", words, "by shaft, bore and groove"]


def _sizes(loaded: Loaded) -> Iterator[Row]:
    # What is usual comes first, since a size alone ('M8') mostly means the coarse thread.
    threads = sorted(
        loaded.reference.threads,
        key=lambda thread: (
            _RARER.index(thread.series) if thread.series in _RARER else 0,
            thread.major_mm,
            thread.designation,
        ),
    )
    for thread in threads:
        words = f"{FAMILIES[thread.family][0]} {_ALIASES.get(thread.family, '')} {thread.series}"
        address = f"sizes/{thread.slug}/"
        yield [_KIND["size"], thread.designation, address, words, FAMILIES[thread.family][0], round(thread.major_mm, 3)]


def _spanners(loaded: Loaded) -> Iterator[Row]:
    for spanner in loaded.reference.spanners:
        names = " ".join((*spanner.names, "wrench"))
        note = f"also {', '.join(spanner.names)}" if spanner.names else ""
        yield [_KIND["spanner"], spanner.marking, f"spanners/{spanner.slug}/", names, note]


def _marks(loaded: Loaded) -> Iterator[Row]:
    for mark in loaded.reference.marks:
        seen = (element.words for element in mark.elements)
        words = " ".join((*mark.texts, *mark.record.also_called, *mark.grades, *seen))
        note = " or ".join(mark.grades) if mark.grades else "strength not told"
        yield [_KIND["head mark"], mark.title, f"head-marks/{mark.id}/", words, note]


def _grades(loaded: Loaded) -> Iterator[Row]:
    for grade in loaded.reference.strengths:
        words = " ".join((*grade.also_written, grade.standard))
        yield [_KIND["strength grade"], grade.name, f"strength/{grade.slug}/", words, grade.standard]


def _kinds(loaded: Loaded) -> Iterator[Row]:
    reference = loaded.reference
    for kind in reference.joint_kinds.values():
        yield [_KIND["kind of joint"], kind.title, f"joint-kinds/{kind.id}/", kind.duty, ""]
    for name, folder, hardware in (("nut", "nuts", reference.nuts), ("washer", "washers", reference.washers)):
        for part in hardware:
            yield [_KIND[name], part.title, f"{folder}/{part.id}/", " ".join(part.also_called), ""]
    for head in reference.heads:
        yield [_KIND[head.sort], head.title, f"heads-and-drives/{head.id}/", " ".join(head.also_called), ""]
    for finish in reference.finishes:
        yield [_KIND["finish"], finish.title, f"finishes/#{finish.id}", " ".join(finish.also_called), ""]
    for material in reference.materials:
        yield [_KIND["material"], material.title, f"materials/#{material.id}", " ".join(material.also_called), ""]
