"""Overview drawings as pages show them: each dot leads to a card of the page, or to a page of the vehicle."""

from __future__ import annotations

from markupsafe import Markup

from decoder.drawings.overview import Spot, draw_overview
from decoder.fleet import FleetAssembly, FleetVehicle
from decoder_site.links import Links


def assembly_overview(assembly: FleetAssembly, *, linked: bool) -> Markup:
    """An assembly with its joints, numbered in the order of their cards; empty without a layout."""
    overview = assembly.record.overview
    if overview is None:
        return Markup("")
    spots = {
        key: Spot(number=number, title=joint.record.title, link=f"#{key}" if linked else "")
        for number, (key, joint) in enumerate(assembly.joints.items(), start=1)
    }
    return Markup(draw_overview(overview, spots, assembly.record.title))


def vehicle_map(vehicle: FleetVehicle, links: Links) -> Markup:
    """A vehicle with its assemblies, numbered in reading order; empty without a layout."""
    overview = vehicle.record.map
    if overview is None:
        return Markup("")
    spots = {
        slug: Spot(
            number=number,
            title=assembly.record.title,
            link=links.to(f"vehicles/{vehicle.slug}/{slug}/"),
        )
        for number, (slug, assembly) in enumerate(vehicle.assemblies.items(), start=1)
    }
    return Markup(draw_overview(overview, spots, vehicle.record.title))
