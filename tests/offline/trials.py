"""Random faults of a first visit, of an update and of the store, with the real site and its Python.

A trial is made from its number alone, so that one that fails can be run again. While it runs, and in
the end, one thing must hold: what a page shows as the answer is the answer to the entries beside it,
by the copy that the page is of, or it is struck out or not shown.
"""

from __future__ import annotations

import io
import json
import re
import shutil
import time
import zipfile
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from random import Random
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Error, Page

from calculators.answering.answer import answer
from calculators.answering.shown import result_rows
from calculators.catalog import CALCULATORS
from generator.copy_stamp import stamped, take_off, version_of
from generator.digests import content_name
from generator.runtime.archives import compressed, uncompressed
from tests.offline.conftest import finish
from tests.support.server import KINDS, Fault, FaultyServer

PAGE = "calculators/locomotive-brake/"
# Held to 30 s of a good line on a machine of its own; the trials share theirs.
PATIENCE_S = 90.0
# Said under every answer by the module itself, so that it tells which copy's Python spoke.
OLD_WORDS, NEW_WORDS = "this decided", "THIS decided"

SEEN = """() => {
  const shell = document.querySelector("brake-calculator[data-own-page]");
  if (!shell) return null;
  const place = shell.querySelector(".answer-place");
  const cell = shell.querySelector("[data-result=brake_cylinder]");
  const style = place && getComputedStyle(place);
  return {
    state: shell.dataset.state,
    live: shell.dataset.live ?? "",
    field: shell.querySelector("[name=reduction]").value,
    closed: shell.querySelector("[name=reduction]").disabled,
    shown: Boolean(cell && cell.checkVisibility()),
    working: shell.dataset.state === "working" || shell.hasAttribute("data-stale"),
    figure: cell?.textContent ?? "",
    words: place?.textContent ?? "",
    copy: document.querySelector(".copy-status")?.dataset.copy ?? "",
    told: document.querySelector(".copy-status-ready")?.textContent ?? "",
    built: document.querySelector(".copy-status-built")?.textContent ?? "",
    title: document.querySelector("h1")?.textContent ?? "",
  };
}"""


def cylinder(reduction: str) -> str:
    """What the module says of a reduction."""
    found = answer(CALCULATORS["locomotive-brake"], {"reduction": reduction})
    return {row.name: row.text for row in result_rows(found)}["brake_cylinder"]


FIGURES = {reduction: cylinder(reduction) for reduction in ("10", "12", "20")}


OPENED_AGAIN_AFTER_S = 12.0
"""How long a person waits for an offer before opening the page again. [s]"""


@dataclass(slots=True, kw_only=True)
class Outcome:
    """How a trial ended."""

    number: int
    what: str
    healed_after: float
    reloads: int = 0


class TrialError(AssertionError):
    """A trial that broke the one rule, or never came to rest; says how to run it again."""


def seen(page: Page) -> dict[str, Any] | None:
    """What a person would see; None where the page is not ours."""
    try:
        found: dict[str, Any] | None = page.evaluate(SEEN)
    except Error:
        return None  # Between two documents there is nothing to see.
    return found


def check(found: dict[str, Any] | None, what: str) -> None:
    """Hold what is seen to the one rule."""
    if found is None or not found["shown"] or found["working"]:
        return
    wanted = FIGURES.get(found["field"])
    if wanted is not None and found["state"] != "refused" and found["figure"] != wanted:
        raise TrialError(f"{what}: {found['figure']} stands beside {found['field']}: {found}")
    is_new = "as edited" in found["title"]
    if (NEW_WORDS in found["words"]) != is_new and found["words"]:
        raise TrialError(f"{what}: two copies on one page: {found}")


def is_whole(found: dict[str, Any] | None) -> bool:
    """Whether the page says that all files are on the device."""
    return bool(found and re.match(r"All ready offline: (\d+) of \1 ", found["told"]))


def until_well(page: Page, what: str, *, reduction: str = "20") -> float:
    """Wait until the page answers and the copy is whole; the seconds that took."""
    started = time.monotonic()
    typed = False
    found = None
    while time.monotonic() - started < PATIENCE_S:
        found = seen(page)
        check(found, what)
        if found and found["live"] and not found["closed"] and found["field"] != reduction:
            try:
                page.locator("[data-own-page] [name=reduction]").fill(reduction, timeout=1000)
                typed = True
            except Error:
                continue  # The page was loaded anew just then.
        answered = found is not None and found["state"] == "answered"
        if answered and found and found["figure"] == FIGURES[reduction] and is_whole(found):
            return time.monotonic() - started
        time.sleep(0.2)
    raise TrialError(f"{what}: not well after {PATIENCE_S:.0f} s (typed: {typed}): {found}")


def open_anyhow(page: Page, address: str) -> bool:
    """Open an address on a bad line; whether anything of ours came."""
    try:
        page.goto(address, timeout=6000, wait_until="commit")
    except Error:
        return False
    return True


def watched(page: Page, seconds: float, what: str) -> None:
    """Look on for a while, typing where the page lets one."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        found = seen(page)
        check(found, what)
        if found and found["live"] and not found["closed"] and found["field"] == "10":
            try:
                page.locator("[data-own-page] [name=reduction]").fill("12", timeout=500)
            except Error:
                continue
        time.sleep(0.1)


def drawn(site: Path, number: int) -> tuple[str, Fault, str]:
    """The fault of a first visit: of which file, which, and its name."""
    rng = Random(number)
    kind = KINDS[number % len(KINDS)]
    everything = sorted(p.relative_to(site).as_posix() for p in site.rglob("*") if p.is_file())
    path = rng.choice([*everything, "*", PAGE, "service-worker.js"]).removesuffix("index.html")
    times = rng.choice([1, 2, 5, None])
    what = f"first visit {number} ({kind} of {path}, {times or 'all'} times)"
    return path, Fault(kind=kind, times=times), what


def install(browser: Browser, site: Path, number: int) -> Outcome:
    """A first visit during which one thing goes wrong."""
    path, fault, what = drawn(site, number)
    rng = Random(-number)
    server = FaultyServer(site, prefix="/ref/")
    with server:
        server.spoil(path, fault)
        context = browser.new_context()
        try:
            page = context.new_page()
            came = open_anyhow(page, server.url + PAGE)
            watched(page, rng.uniform(1.0, 6.0), what)
            server.mend()
            if not came or seen(page) is None:
                # The page itself did not come: nothing of ours is there that could ask again.
                open_anyhow(page, server.url + PAGE)
            return Outcome(number=number, what=what, healed_after=until_well(page, what))
        finally:
            context.close()


def edited(site: Path) -> None:
    """Make the next copy of a site: another text, and a Python that words its answers otherwise."""
    take_off(site)
    for page in site.rglob("*.html"):
        text = page.read_text(encoding="utf-8").replace(OLD_WORDS, NEW_WORDS)
        page.write_text(text.replace("</h1>", " as edited</h1>", 1), encoding="utf-8")
    _reword_python(site / "runtime")
    finish(site, built="2099-01-02T12:00:00Z")


def _reword_python(runtime: Path) -> None:
    """Change a word of the same length in the compiled modules, and the list of what is packed."""
    listing = runtime / "runtime.json"
    manifest = json.loads(listing.read_text(encoding="utf-8"))
    packed = manifest["large"]["calculators"]
    whole = uncompressed(b"".join((runtime / name).read_bytes() for name in packed["pieces"]))
    made = io.BytesIO()
    count = 0
    with zipfile.ZipFile(io.BytesIO(whole)) as old, zipfile.ZipFile(made, "w") as new:
        for entry in old.infolist():
            body = old.read(entry)
            count += body.count(OLD_WORDS.encode())
            new.writestr(entry, body.replace(OLD_WORDS.encode(), NEW_WORDS.encode()))
    if not count:
        raise LookupError(f"no module says {OLD_WORDS!r}")
    archive = made.getvalue()
    body = compressed(archive)
    name = f"calculators-1.{content_name(body)}.bin"
    for piece in packed["pieces"]:
        (runtime / piece).unlink()
    (runtime / name).write_bytes(body)
    packed |= {"pieces": [name], "size": len(archive), "unpacked": content_name(archive)}
    packed["packedSize"] = len(body)
    if "snapshot" in manifest:
        manifest["snapshot"]["name"] = content_name(body)[:32].lower()
    listing.write_text(json.dumps(manifest, indent=1, sort_keys=True) + "\n", encoding="utf-8")


def replace_site(site: Path, by: Path) -> None:
    """Put another copy in a site's place, as a deployment does."""
    for old in site.iterdir():
        shutil.rmtree(old) if old.is_dir() else old.unlink()
    shutil.copytree(by, site, dirs_exist_ok=True)


@dataclass(slots=True, kw_only=True)
class Device:
    """A device with the old copy whole, and its server."""

    server: FaultyServer
    context: BrowserContext
    page: Page


def update(device: Device, copies: tuple[Path, Path], number: int) -> Outcome:
    """A deployment with one thing going wrong: two tabs, one of them takes the newer copy."""
    rng = Random(1000 + number)
    old, new = copies if number % 2 == 0 else copies[::-1]
    kind = KINDS[number % len(KINDS)]
    everything = sorted(p.relative_to(new).as_posix() for p in new.rglob("*") if p.is_file())
    kept = {p.relative_to(old).as_posix() for p in old.rglob("*") if p.is_file()}
    path = rng.choice([*(p for p in everything if p not in kept), "*", "service-worker.js"])
    times = rng.choice([1, 3, None])
    what = f"update {number} ({kind} of {path}, {times or 'all'} times)"
    server, first = device.server, device.page
    second = device.context.new_page()
    try:
        second.goto(server.url + PAGE)
        until_well(second, what)
        replace_site(server.site, new)
        server.spoil(path.removesuffix("index.html"), Fault(kind=kind, times=times))
        open_anyhow(first, server.url + PAGE)
        watched(first, rng.uniform(1.0, 4.0), what)
        watched(second, 0.5, what)
        server.mend()
        started = time.monotonic()
        _take(first, version_of(new), what)
        # The other tab: what it shows stays of one copy, typed into and after a change of page.
        # What it does may load it anew at any moment, and with that break off what was asked of it.
        with suppress(Error):
            second.locator("[data-own-page] [name=reduction]").fill("12", timeout=5000)
        watched(second, 1.5, what)
        for move in ("document.querySelector('a.md-logo').click()", "history.back()"):
            with suppress(Error):
                second.evaluate(move)
            watched(second, 1.0, what)
        # The line is good by now: whoever has nothing to show opens the page once more.
        if not open_anyhow(second, server.url + PAGE):
            second.goto(server.url + PAGE)
        until_well(second, what, reduction="12")
        until_well(first, what)
        return Outcome(number=number, what=what, healed_after=time.monotonic() - started)
    finally:
        second.close()


def _take(page: Page, version: str, what: str) -> None:
    """Take the newer copy as soon as it is offered; where nothing is, open the page again now and then.

    A whole copy looks for a newer one when a page is opened, not by itself.
    """
    end = time.monotonic() + PATIENCE_S
    opened = time.monotonic()
    offers = page.get_by_role("button", name=re.compile("^(Use the|Load this page anew)"))
    while time.monotonic() < end:
        found = seen(page)
        check(found, what)
        if found and found["copy"] == version and found["live"]:
            return
        try:
            # A tap, without the driver's own checks: on a busy machine they take seconds.
            seen_offers = [one for one in offers.all() if one.is_visible()]
            if seen_offers:
                seen_offers[0].evaluate("button => button.click()", timeout=5000)
            elif time.monotonic() - opened > OPENED_AGAIN_AFTER_S:
                opened = time.monotonic()
                page.reload(wait_until="commit")
        except Error:
            pass
        time.sleep(0.3)
    raise TrialError(f"{what}: the newer copy was not to be had: {seen(page)}")


_DAMAGE = """async ([kind, pick]) => {
  const [name] = (await caches.keys()).filter((key) => key.startsWith("site copy"));
  const cache = await caches.open(name);
  const keys = await cache.keys();
  const files = keys.filter(({ url }) => url.includes("/__f/"));
  const lists = keys.filter(({ url }) => url.includes("/__list/"));
  const chosen = files[Math.floor(pick * files.length)];
  const kept = await cache.match(chosen);
  const bytes = new Uint8Array(await kept.arrayBuffer());
  const headers = kept.headers;
  if (kind === "flip") bytes[Math.floor(pick * 7919) % bytes.length] ^= 1;
  if (kind === "flip") await cache.put(chosen, new Response(bytes, { headers }));
  if (kind === "cut") await cache.put(chosen, new Response(bytes.slice(0, bytes.length / 2), { headers }));
  if (kind === "empty") await cache.put(chosen, new Response("", { headers }));
  if (kind === "lose") await cache.delete(chosen);
  if (kind === "lose-half") for (const [n, key] of files.entries()) if (n % 2) await cache.delete(key);
  if (kind === "lose-all") for (const key of keys) await cache.delete(key);
  if (kind === "lists") for (const key of lists) await cache.put(key, new Response("{no list"));
  if (kind === "flip-all") for (const key of files) {
    const one = await cache.match(key);
    const all = new Uint8Array(await one.arrayBuffer());
    all[all.length >> 1] ^= 1;
    await cache.put(key, new Response(all, { headers: one.headers }));
  }
  return chosen.url;
}"""
STORE_KINDS = ("flip", "cut", "empty", "lose", "lose-half", "lose-all", "lists", "flip-all")
_UNSOUND = """async () => {
  const [name] = (await caches.keys()).filter((key) => key.startsWith("site copy"));
  const cache = await caches.open(name);
  const wrong = [];
  for (const key of await cache.keys()) {
    const hash = key.url.split("/__f/")[1];
    if (!hash) continue;
    const kept = await cache.match(key);
    if (!kept) continue; // Thrown away just now.
    const bytes = await kept.arrayBuffer();
    const found = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
    const text = btoa(String.fromCharCode(...found)).replaceAll("+", "-").replaceAll("/", "_");
    if (text.replaceAll("=", "") !== hash) wrong.push(hash);
  }
  return wrong;
}"""


def store(device: Device, number: int) -> Outcome:
    """Something in the device's store is damaged or gone; the line is good."""
    rng = Random(2000 + number)
    kind = STORE_KINDS[number % len(STORE_KINDS)]
    page = device.page
    # As on a device taken up again: the worker starts, and looks through its store.
    tools = device.context.new_cdp_session(page)
    tools.send("ServiceWorker.enable")
    tools.send("ServiceWorker.stopAllWorkers")
    tools.detach()
    chosen = page.evaluate(_DAMAGE, [kind, rng.random()])
    what = f"store {number} ({kind} of {chosen})"
    started = time.monotonic()
    page.goto(device.server.url + PAGE)
    watched(page, 0.5, what)
    until_well(page, what)
    # What no page has asked for is looked through a while later.
    while page.evaluate(_UNSOUND):
        if time.monotonic() - started > PATIENCE_S:
            raise TrialError(f"{what}: still damaged: {page.evaluate(_UNSOUND)}")
        time.sleep(0.5)
        check(seen(page), what)
    until_well(page, what)
    return Outcome(number=number, what=what, healed_after=time.monotonic() - started)


__all__ = ["KINDS", "STORE_KINDS", "Device", "edited", "install", "stamped", "store", "update"]
