"""Makes HTML fragments from views: everything is escaped, and a name that a view does not have is an error."""

from __future__ import annotations

from typing import Any

from jinja2 import Environment, PackageLoader, StrictUndefined

from decoder_site.links import Links


class Templates:
    """The templates of the package."""

    def __init__(self) -> None:
        self._environment = Environment(
            loader=PackageLoader("decoder_site"),
            autoescape=True,
            undefined=StrictUndefined,
            trim_blocks=True,
            lstrip_blocks=True,
            keep_trailing_newline=True,
        )

    def fragment(self, template: str, links: Links, **view: Any) -> str:
        """One page's fragment. `links` knows where the page stands, so that templates write `to('sizes/…/')`."""
        return self._environment.get_template(f"{template}.html.j2").render(to=links.to, **view)
