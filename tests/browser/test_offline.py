"""The site on a phone without a network: what one visit keeps, what is said of the rest, how a new version comes."""

from __future__ import annotations

import json
import random
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from decoder_site import offline
from playwright.sync_api import Page, expect

from tests.browser.conftest import Watched
from tests.browser.sites import (
    Served,
    clear_http_cache,
    linked_copy,
    load_keeping,
    replace,
    serve,
    until,
    wait_until_kept,
)

pytestmark = pytest.mark.browser

_VEHICLE = "vehicles/pannier-utility/"
_TITLE = "Pannier light utility"


@pytest.fixture
def server(real_site: Path) -> Iterator[Served]:
    """The real site on a server of the test's own."""
    with serve(real_site) as served:
        yield served


@pytest.fixture
def changing(real_site: Path, tmp_path: Path) -> Iterator[Served]:
    """The same, in a copy that the test may change."""
    with serve(linked_copy(real_site, tmp_path)) as served:
        yield served


def _vehicles(site: Path) -> dict[str, str]:
    worker = (site / "worker.js").read_text(encoding="utf-8")
    listed = json.loads(worker.partition("\n")[0].removeprefix("const LIST = ").removesuffix(";"))
    return dict(listed["vehicles"])


def _publish(served: Served, address: str, old: str, new: str) -> None:
    """Put a new version on the server: one page changed, packs and worker made anew."""
    page = served.folder / address
    text = page.read_text(encoding="utf-8")
    assert old in text
    replace(page, text.replace(old, new))
    vehicles = _vehicles(served.folder)
    for file in [*(served.folder / "offline").iterdir(), served.folder / "worker.js"]:
        file.unlink()
    offline.write(served.folder, vehicles)


_VEHICLE_IS_KEPT = """async () => (await decoderOffline.ask({ask: "status"})).packs
    .every(pack => pack.kept || pack.vehicle !== "pannier-utility")"""


def test_one_visit_is_enough(open_phone: Callable[..., Watched], server: Served) -> None:
    """Server gone, cache cleared: 20 pages never opened, identify, search, addresses without a slash still work."""
    phone = open_phone(base=server.base)
    page = phone.go("")
    wait_until_kept(page)
    addresses = sorted(
        path.parent.relative_to(server.folder).as_posix() + "/"
        for path in server.folder.rglob("index.html")
        if not path.relative_to(server.folder).as_posix().startswith(("vehicles/", "index.html"))
    )
    assert len(addresses) > 500
    server.stop()
    clear_http_cache(page)

    chosen = random.Random(20).sample(addresses, 20)
    for address in chosen:
        phone.go(address)
        online = (server.folder / address / "index.html").read_text(encoding="utf-8")
        assert page.locator("h1").count() == 1
        assert page.evaluate("fetch(location.href).then(response => response.text())") == online, address
        assert page.evaluate("getComputedStyle(document.querySelector('.md-header')).position") == "sticky", address

    phone.go("sizes/m8x1-25")
    expect(page).to_have_url(server.base + "sizes/m8x1-25/")
    phone.go("sizes/m8x1-25/index.html")
    expect(page.locator("h1")).to_have_text("M8x1.25")

    phone.go("identify/?q=7.9+mm+24")
    expect(page.locator("#candidates > li").first).to_contain_text("5/16-24 UNF")
    page.keyboard.press("Escape")
    phone.go("search/")
    page.fill("[data-find] input", "castellated")
    expect(page.locator("[data-find] .find-results a").first).to_have_attribute(
        "href", server.base + "nuts/castellated/"
    )
    # The browser reports the vehicle's rows, which are not kept, as a failed request.
    _only_missing(phone, f"{_VEHICLE}search.js")


def test_vehicle_that_is_not_kept_is_named(open_phone: Callable[..., Watched], server: Served) -> None:
    """Its pages, and a search that would look through it, say that it is not kept; nothing is silently empty."""
    phone = open_phone(base=server.base)
    page = phone.go("")
    wait_until_kept(page)
    server.stop()
    clear_http_cache(page)
    phone.go(f"{_VEHICLE}engine-front/")
    expect(page.locator("h1")).to_have_text("Not kept on this phone")
    expect(page.locator("[data-what]")).to_contain_text(f"the vehicle ‘{_TITLE}’ is not kept on this phone")
    expect(page.locator("[data-again] a")).to_have_attribute("href", f"../{_VEHICLE}engine-front/")
    phone.go("search/")
    status = page.locator("[data-find] .find-status")
    for typed in ("xyzzy", "castellated"):
        page.fill("[data-find] input", typed)
        expect(status).to_contain_text("Not searched, because not kept on this phone: ")
        expect(status).to_contain_text(_TITLE)
    phone.go("kept/")
    expect(page.locator("[data-vehicle=pannier-utility] [data-words]")).to_contain_text("not kept")
    _only_missing(phone, "vehicles/")


def test_vehicle_is_kept_when_it_is_opened(open_phone: Callable[..., Watched], server: Served) -> None:
    """One of its pages opened is enough for all of them, its part of the search included."""
    phone = open_phone(base=server.base)
    page = phone.go(f"{_VEHICLE}engine-front/")
    wait_until_kept(page)
    until(page, _VEHICLE_IS_KEPT)
    server.stop()
    clear_http_cache(page)
    phone.go(f"{_VEHICLE}lamps/")
    expect(page.locator("article.joint").first).to_be_visible()
    tick = page.locator("[data-ticks] input[name=tightened]").first
    tick.check()
    page.reload()
    expect(tick).to_be_checked()
    phone.go("search/")
    page.fill("[data-find] input", "thrust plate")
    expect(page.locator("[data-find] .find-results a").first).to_contain_text("thrust plate")
    # The other vehicles were never opened; this one's part has to be there.
    assert not [trouble for trouble in phone.troubles if _VEHICLE in trouble]
    _only_missing(phone, "vehicles/")


def test_vehicle_is_kept_and_removed_with_a_tap(open_phone: Callable[..., Watched], server: Served) -> None:
    """The page of what is kept shows sizes and ages, keeps a vehicle, removes it, and switches keeping off for good."""
    phone = open_phone(base=server.base)
    page = phone.go("kept/")
    wait_until_kept(page)
    page.reload()
    expect(page.locator("[data-state]")).to_contain_text("All pages are here")
    expect(page.locator("[data-subjects]")).to_contain_text("(today)")
    row = page.locator("[data-vehicle=pannier-utility]")
    row.get_by_role("button", name=f"Keep {_TITLE}").click()
    expect(page.locator("[data-state]")).to_have_text(f"Kept: {_TITLE}.")
    expect(row.locator("[data-words]")).to_contain_text("kB, fetched")
    row.get_by_role("button", name=f"Remove {_TITLE}").click()
    expect(row.locator("[data-words]")).to_contain_text("not kept")

    page.on("dialog", lambda dialog: dialog.accept())
    page.get_by_role("button", name="Stop keeping").click()
    expect(page.locator("[data-state]")).to_contain_text("switched off")
    phone.go("kept/")
    page.wait_for_timeout(3_500)
    assert page.evaluate("navigator.serviceWorker.getRegistrations().then(found => found.length)") == 0
    assert page.evaluate("caches.keys()") == []


def test_new_version_comes_whole_and_when_asked_for(open_phone: Callable[..., Watched], changing: Served) -> None:
    """Mid-session the old pages stay until the new version is complete and wanted; only what changed is fetched."""
    phone = open_phone(base=changing.base)
    page = phone.go("nuts/castellated/")
    wait_until_kept(page)
    _publish(changing, "nuts/castellated/index.html", "<h1>Castellated nut</h1>", "<h1>Castellated nut, mended</h1>")
    changing.asked.clear()
    page.reload()
    expect(page.locator("h1")).to_have_text("Castellated nut")
    _look_for_update(page)
    expect(page.locator(".new-version")).to_be_visible()
    assert [address for address in changing.asked if address.endswith(".pack")] == ["offline/kinds.pack"]
    phone.go("nuts/castellated/")
    expect(page.locator("h1")).to_have_text("Castellated nut")
    page.locator(".new-version").get_by_role("button", name="Reload").click()
    expect(page.locator("h1")).to_have_text("Castellated nut, mended")
    changing.stop()
    clear_http_cache(page)
    phone.go("nuts/")
    expect(page.locator("h1")).to_have_text("Nuts")


def test_new_version_brings_kept_vehicles_along_and_drops_the_old(
    open_phone: Callable[..., Watched], changing: Served
) -> None:
    """A vehicle that is kept is not left behind in the old version, and nothing of that stays to fill the phone."""
    phone = open_phone(base=changing.base)
    page = phone.go(f"{_VEHICLE}engine-front/")
    wait_until_kept(page)
    until(page, _VEHICLE_IS_KEPT)
    _publish(changing, f"{_VEHICLE}lamps/index.html", "<h1>Lamps,", "<h1>Mended lamps,")
    page.reload()
    _look_for_update(page)
    expect(page.locator(".new-version")).to_be_visible()
    changing.stop()
    clear_http_cache(page)
    page.locator(".new-version").get_by_role("button", name="Reload").click()
    # It goes with the page that is loaded anew.
    expect(page.locator(".new-version")).to_have_count(0)
    phone.go(f"{_VEHICLE}lamps/")
    expect(page.locator("h1")).to_contain_text("Mended lamps")
    load_keeping(page)
    until(
        page,
        """async () => (await (await caches.open((await caches.keys())[0])).keys()).length ===
            (await decoderOffline.ask({ask: "status"})).packs.filter(pack => pack.kept).length""",
    )
    phone.troubles[:] = [trouble for trouble in phone.troubles if "ERR_CONNECTION_REFUSED" not in trouble]


def _cut(served: Served, pack: Path) -> None:
    """The connection breaks half-way."""
    served.broken.add(pack.name)


def _missing(_: Served, pack: Path) -> None:
    """The host answers that there is no such file."""
    pack.unlink()


def _of_another_version(served: Served, pack: Path) -> None:
    """The host has put up half of the next version already: a whole pack, and not the one that was asked for."""
    another = (served.folder / "offline/vehicle-hamper-van-1.pack").read_bytes()
    pack.unlink()
    pack.write_bytes(another)


@pytest.mark.parametrize("harm", [_cut, _missing, _of_another_version])
def test_broken_new_version_leaves_the_old_one_whole(
    open_phone: Callable[..., Watched], changing: Served, harm: Callable[[Served, Path], None]
) -> None:
    """A new version that cannot be fetched to its end does not take over, offline or not."""
    phone = open_phone(base=changing.base)
    page = phone.go("nuts/castellated/")
    wait_until_kept(page)
    _publish(changing, "nuts/castellated/index.html", "<h1>Castellated nut</h1>", "<h1>Castellated nut, mended</h1>")
    harm(changing, changing.folder / "offline/kinds.pack")
    _look_for_update(page)
    until(
        page,
        "navigator.serviceWorker.getRegistration().then(one => !one.installing && !one.waiting)",
    )
    changing.stop()
    clear_http_cache(page)
    phone.go("nuts/castellated/")
    expect(page.locator("h1")).to_have_text("Castellated nut")
    expect(page.locator(".new-version")).to_have_count(0)
    _only_missing(phone, "")


def test_interrupted_install_goes_on_where_it_was(open_phone: Callable[..., Watched], server: Served) -> None:
    """The connection breaks in the middle of the first visit; the second fetches the rest and nothing twice."""
    server.broken.add("kinds.pack")
    phone = open_phone(base=server.base)
    page = phone.go("about/")
    load_keeping(page)
    page.evaluate(
        """async () => {
            const registration = await decoderOffline.start();
            const worker = registration.installing;
            if (worker) await new Promise(done => worker.addEventListener("statechange", done));
        }"""
    )
    first = [address for address in server.asked if address.endswith(".pack")]
    assert "offline/kinds.pack" in first
    server.broken.clear()
    server.asked.clear()
    phone.go("about/")
    wait_until_kept(page)
    second = [address for address in server.asked if address.endswith(".pack")]
    assert "offline/kinds.pack" in second
    assert set(first) & set(second) == {"offline/kinds.pack"}
    _only_missing(phone, "")


def test_site_works_where_storage_is_refused(open_phone: Callable[..., Watched], server: Served) -> None:
    """With storage that throws, pages, identify and search work, and the page of what is kept says how it stands."""
    phone = open_phone(base=server.base)
    phone.page.add_init_script(
        """for (const name of ["localStorage", "sessionStorage", "caches"]) {
            Object.defineProperty(window, name, {get() { throw new DOMException("refused", "SecurityError"); }});
        }
        navigator.serviceWorker.register = () => Promise.reject(new DOMException("refused", "SecurityError"));"""
    )
    page = phone.go("identify/")
    page.fill("#diameter", "7.9 mm")
    page.fill("#pitch", "24 tpi")
    expect(page.locator("#candidates > li").first).to_contain_text("5/16-24 UNF")
    phone.go("kept/")
    page.get_by_role("button", name="Keep the pages now").click()
    expect(page.locator("[data-state]")).to_contain_text("refuses to keep anything")
    # The theme itself asks for storage in its first lines; that is all that may fail.
    phone.troubles[:] = [trouble for trouble in phone.troubles if "refused" not in trouble]


def test_worker_can_remove_itself(open_phone: Callable[..., Watched], changing: Served) -> None:
    """A site that is built without keeping takes what was kept from the phone at the next visit."""
    phone = open_phone(base=changing.base)
    page = phone.go("about/")
    wait_until_kept(page)
    (changing.folder / "worker.js").unlink()
    offline.remove_worker(changing.folder)
    _look_for_update(page)
    until(page, "async () => !(await navigator.serviceWorker.getRegistration()) && !(await caches.keys()).length")


def test_nothing_is_fetched_to_keep_before_the_page_is_there(
    open_phone: Callable[..., Watched], server: Served
) -> None:
    """Keeping begins after the first answer is on screen."""
    phone = open_phone(base=server.base)
    page = phone.go("identify/")
    page.wait_for_load_state("networkidle")
    assert not [address for address in server.asked if address.endswith((".pack", "worker.js"))]
    page.fill("#diameter", "7.9 mm")
    expect(page.locator("#candidates > li").first).to_be_visible()
    until(page, "navigator.serviceWorker.getRegistration().then(Boolean)")


def _look_for_update(page: Page) -> None:
    load_keeping(page)
    page.evaluate(
        """async () => {
            const registration = await decoderOffline.start();
            await registration.update().catch(() => null);
            const worker = registration.installing;
            if (worker) await new Promise(done => worker.addEventListener("statechange", done));
        }"""
    )


def _only_missing(phone: Watched, part: str) -> None:
    """What the browser wrote down are requests that nobody answered, all of them for what is not kept."""
    rest = [trouble for trouble in phone.troubles if part not in trouble and "net::ERR_" not in trouble]
    assert not rest, rest
    phone.troubles.clear()
