"""The site generator's plugin: hooks only; what they do is in the modules beside it."""

from __future__ import annotations

import logging
import sys
from pathlib import Path
from typing import Any, Literal

import click
from mkdocs.config import config_options as options
from mkdocs.config.base import Config
from mkdocs.config.defaults import MkDocsConfig
from mkdocs.exceptions import PluginError
from mkdocs.livereload import LiveReloadServer
from mkdocs.plugins import BasePlugin, event_priority
from mkdocs.structure.files import Files
from mkdocs.structure.pages import Page

from decoder.findings import BadDataError
from decoder_site import csp, making, offline, theming
from decoder_site.files import site_files
from decoder_site.guide_drawings import GuideError
from decoder_site.guide_values import GuideValues
from decoder_site.lean import make_lean
from decoder_site.links import Links
from decoder_site.loading import Loaded, load
from decoder_site.pages import site_pages
from decoder_site.staging import Staging, SwapError


class DecoderConfig(Config):  # type: ignore[no-untyped-call]  # the generator leaves it untyped
    """Settings below `plugins: - decoder:`."""

    site_data = options.Dir(exists=True, default="site_data")
    """Folder of the records; its `reference/` may be left out, then the tables that came with the package are used."""

    branch = options.Type(str, default="main")
    """Branch that links to records open, where `repo_url` is set."""

    keep_offline = options.Type(bool, default=True)
    """Whether phones may keep the site. Turned off, phones that kept it delete what they have at their next visit."""


class DecoderPlugin(BasePlugin[DecoderConfig]):  # type: ignore[no-untyped-call]  # as above
    """Makes the site's pages from the records and tables, or stops the build with everything that is wrong in them."""

    def __init__(self) -> None:
        self._staged = False
        self._serving = False
        self._staging: Staging | None = None
        self._site: MkDocsConfig | None = None
        self._went_well = False
        self._loaded: Loaded | None = None
        self._values: GuideValues | None = None

    def on_startup(self, *, command: Literal["build", "gh-deploy", "serve"], dirty: bool) -> None:
        """Decide whether the site is built beside the old one: not while serving, where the folder is temporary."""
        context = click.get_current_context(silent=True)
        self._serving = command == "serve" or (context is not None and context.info_name == "serve")
        self._staged = not self._serving and not dirty

    @event_priority(100)
    def on_config(self, config: MkDocsConfig) -> MkDocsConfig:
        """Read the records first: a build that is bound to fail should touch nothing."""
        self._went_well = False
        self._values = None
        if config.strict:
            _let_warnings_through()
        try:
            self._loaded = load(config, self.config.site_data, self.config.branch)
        except BadDataError as error:
            raise PluginError(str(error)) from None
        theming.prepare(config, keep_offline=self._keeps_offline)
        if self._staged and self._staging is None:
            self._site = config
            self._staging = Staging(Path(config.site_dir))
            config.site_dir = str(self._staging.folder)
        return config

    def on_files(self, files: Files, *, config: MkDocsConfig) -> Files:
        """Add every generated page and file."""
        assert self._loaded is not None
        guides = making.hand_written(files)
        theming.leave_out_unused(files)
        theming.add_assets(files, config)
        making.add_pages(site_pages(self._loaded), files, config)
        for address, content in site_files(self._loaded, guides):
            making.add_file(address, content, files, config)
        return files

    def on_page_markdown(self, markdown: str, *, page: Page, **_: Any) -> str:
        """Fill in the figures that a hand-written page takes from the tables."""
        assert self._loaded is not None
        try:
            if self._values is None:
                self._values = GuideValues(self._loaded.reference, self._loaded.fleet)
            return self._values.fill(markdown, page.file.src_uri, Links(page.url, self._loaded.as_files))
        except GuideError as error:
            raise PluginError(str(error)) from None

    def on_post_page(self, output: str, **_: Any) -> str:
        """Leave the theme's empty lines out, and give the finished page its policy."""
        return csp.protect(theming.without_empty_lines(output))

    def on_post_template(self, output_content: str, *, template_name: str, **_: Any) -> str:
        """Give pages that are made of a template alone, such as the one for a wrong address, the same."""
        return self.on_post_page(output_content) if template_name.endswith(".html") else output_content

    def on_serve(self, server: LiveReloadServer, **_: Any) -> LiveReloadServer:
        """Build anew when a record changes."""
        assert self._loaded is not None
        for folder in self._loaded.watched:
            server.watch(str(folder))
        return server

    @event_priority(-100)
    def on_post_build(self, *, config: MkDocsConfig) -> None:
        """Make the finished files lean, pack them for phones, and remember that the build came so far.

        A strict build may still stop after this.
        """
        assert self._loaded is not None
        site = Path(config.site_dir)
        if not self._serving:
            make_lean(site)
        if self._keeps_offline:
            vehicles = self._loaded.fleet.vehicles
            offline.write(site, {slug: vehicle.record.title for slug, vehicle in vehicles.items()})
        else:
            offline.remove_worker(site)
        self._went_well = True

    @property
    def _keeps_offline(self) -> bool:
        """Not while serving: what is being worked on would hide behind what was kept."""
        return bool(self.config.keep_offline) and not self._serving

    def on_build_error(self, *, error: Exception) -> None:  # noqa: ARG002 - the generator's signature
        """Keep the old site."""
        self._went_well = False

    def on_shutdown(self) -> None:
        """Put the new site in the old one's place, if nothing went wrong and nobody interrupted."""
        if self._staging is None or self._site is None:
            return
        staging, self._staging = self._staging, None
        self._site.site_dir = str(staging.target)
        if not self._went_well or sys.exc_info()[0] is not None:
            staging.discard()
            return
        try:
            staging.publish()
        except SwapError as error:
            raise PluginError(str(error)) from error


def _let_warnings_through() -> None:
    """With `--quiet` the generator drops warnings before it counts them, and `--strict` would pass in silence."""
    logger = logging.getLogger("mkdocs")
    if not logger.isEnabledFor(logging.WARNING):
        logger.setLevel(logging.WARNING)
