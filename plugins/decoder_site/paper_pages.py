"""The pages that are for paper, and the gauge on the screen."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from typing import Any

from markupsafe import Markup

from decoder.drawings.sheets.listing import sheets
from decoder.fleet import FleetAssembly, FleetVehicle
from decoder.reference import Reference
from decoder_site.loading import Loaded
from decoder_site.making import MadePage
from decoder_site.views.gauge import gauge_view
from decoder_site.views.measures import Citations
from decoder_site.views.overviews import assembly_overview
from decoder_site.views.sheets import joint_sheets, labels, plating_view
from decoder_site.views.vehicles import AssemblyView, VehicleView

#: Makes one page: address, template, title, description, and what the template shows.
MakePage = Callable[..., MadePage]

_STYLES = ("assets/styles/sheets.css",)


def gauge_pages(page: MakePage, reference: Reference) -> Iterator[MadePage]:
    """The sheets at actual size with their list, and the gauge on the screen."""
    found = sheets(reference)
    yield page(
        "sheets/",
        "sheets",
        "Sheets to print",
        "Pitch combs, gauges for diameters and flats, a rule and pocket cards, to print at actual size.",
        styles=_STYLES,
        sheets=found,
    )
    for sheet in found:
        yield page(
            f"sheets/{sheet.slug}/",
            "sheet",
            sheet.title,
            sheet.about,
            styles=_STYLES,
            sheet=sheet,
            drawing=Markup(sheet.svg),
        )
    yield page(
        "gauge/",
        "gauge",
        "Gauge on the screen",
        "Pitch, diameter, flats and length against the screen of a phone, after it was set by a bank card.",
        styles=("assets/styles/gauge.css",),
        scripts=("assets/scripts/gauge.js",),
        view=gauge_view(reference.threads),
    )


def assembly_pages(
    page: MakePage,
    vehicle: VehicleView,
    assembly: FleetAssembly,
    shown: AssemblyView,
    loaded: Loaded,
) -> Iterator[MadePage]:
    """An assembly's sheet and its bag labels."""
    address = f"vehicles/{vehicle.slug}/{assembly.slug}/"
    about = " Invented, to show how records work." if vehicle.is_invented else ""
    common: dict[str, Any] = {"styles": _STYLES, "vehicle": vehicle, "assembly": shown}
    yield page(
        f"{address}sheet/",
        "sheet_assembly",
        f"Sheet: {shown.title}, {vehicle.title}",
        f"{shown.title} of {vehicle.title} on paper: stacks, spanners, tightening, boxes to tick.{about}",
        overview=assembly_overview(assembly, linked=False),
        joints=joint_sheets(assembly, shown.joints),
        **common,
    )
    yield page(
        f"{address}labels/",
        "sheet_labels",
        f"Bag labels: {shown.title}, {vehicle.title}",
        f"A label for the bag of every joint of {shown.title}, {vehicle.title}.{about}",
        labels=tuple(labels(assembly, shown.joints, loaded)),
        **common,
    )


def plating_page(
    page: MakePage,
    vehicle: FleetVehicle,
    shown: VehicleView,
    assemblies: Mapping[str, AssemblyView],
    loaded: Loaded,
    citations: Citations,
) -> MadePage:
    """A vehicle's list for the plater."""
    about = " Invented, to show how records work." if shown.is_invented else ""
    cards = {slug: assembly.joints for slug, assembly in assemblies.items()}
    return page(
        f"vehicles/{vehicle.slug}/plating/",
        "sheet_plating",
        f"For the plater: {shown.title}",
        f"Which parts of {shown.title} may go to a plater, which stay out and why, and what to ask for.{about}",
        styles=_STYLES,
        vehicle=shown,
        plating=plating_view(vehicle, cards, loaded.reference, citations, loaded.place),
    )
