// @ts-check
// Start-up of the offline copy on a page: joins the copy, its view and the theme's page changes.
// The site holds this module in `browser/`, one folder below its root.

import { OfflineCopy } from "./offline-copy.js";
import { OfflineView } from "./offline-view.js";
import { loadedAnewUnlessItFits } from "./page-fits.js";

/** The browser's offer to install the site, where it makes one. @type {any} */
let installPrompt = null;

export const copy = new OfflineCopy(new URL("..", import.meta.url));
const view = new OfflineView(copy, {
  device: deviceKind(),
  canAsk: () => installPrompt !== null,
  ask: askToInstall,
  isInstalled,
});

copy.addEventListener("change", (event) => view.show(/** @type {CustomEvent} */ (event).detail));
window.addEventListener("beforeinstallprompt", (event) => {
  event.preventDefault();
  installPrompt = event;
  view.show();
});
window.addEventListener("appinstalled", () => {
  installPrompt = null;
  void copy.askToLast();
});

// Instant navigation swaps the page under this module: the theme says so through `document$`.
const pages = /** @type {any} */ (window).document$;
if (pages) pages.subscribe(() => loadedAnewUnlessItFits() || view.attach());
else view.attach();

void start();

async function start() {
  await copy.start(new AbortController().signal);
  // Browsers grant this to an installed site without a question; asking costs nothing there.
  if (isInstalled() && copy.facts.lasting === false) await copy.askToLast();
}

function isInstalled() {
  const onHomeScreen = /** @type {any} */ (navigator).standalone === true;
  return onHomeScreen || matchMedia("(display-mode: standalone)").matches;
}

async function askToInstall() {
  const prompt = installPrompt;
  installPrompt = null;
  await prompt?.prompt();
  view.show();
}

/** @returns {"apple-touch" | "android" | "desktop"} */
function deviceKind() {
  const { userAgent, maxTouchPoints } = navigator;
  if (/iPhone|iPad|iPod/.test(userAgent)) return "apple-touch";
  // A tablet that asks for desktop sites calls itself a Mac, but has a touch screen.
  if (/Macintosh/.test(userAgent) && maxTouchPoints > 1) return "apple-touch";
  return /Android/.test(userAgent) ? "android" : "desktop";
}
