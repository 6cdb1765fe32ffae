// @ts-check
// Answering the pages: from the store, from the line where something is missing, or with words.

import { copy, headersFor, isInCopy, listed, listedPath, pieceOf, scope, siteUrl } from "./copy.js";
import { receiveNow } from "./fetching.js";
import { fromCopyBefore } from "./older.js";
import { kept, store } from "./store.js";

/** @typedef {import("./copy.js").ListedFile} ListedFile */

/** The store fails altogether: on line the site is still there. @param {Request} request */
export async function pastTheStore(request) {
  try {
    return await fetch(request);
  } catch {
    if (request.mode !== "navigate") return Response.error();
    const words =
      "The copy on this device cannot be read now, and there is no line. Go where there is a line and load this page again.";
    return new Response(words, { status: 503, headers: headersFor("not-here.txt") });
  }
}

/**
 * @param {Request} request @param {string} address the path inside the site @param {string} search
 * @returns {Promise<Response>}
 */
export async function answer(request, address, search) {
  const asked = address === "" || address.endsWith("/") ? `${address}index.html` : address;
  const path = listedPath(asked, copy.version);
  if (path === "sitemap.xml") return sitemap();
  if (path === "404.html") return notFound();
  if (copy.unpacked.some(({ hash }) => path === `__f/${hash}`)) {
    // As it was stored: see `unpacked.js`.
    return (await (await store()).match(request.url)) ?? notFound();
  }
  // Without the copy's name in it, the address of what belongs to one copy is nobody's.
  const isOfOneCopy = path !== asked || !/^(browser\/|runtime\/runtime\.json$)/.test(path);
  if (isInCopy(path) && isOfOneCopy) return (await fromCopy(path)) ?? notHere(request, path);
  if (isInCopy(`${path}/index.html`)) {
    const headers = { ...headersFor("index.html"), Location: `${siteUrl(`${path}/`)}${search}` };
    return new Response(null, { status: 302, headers });
  }
  const isPage = request.mode === "navigate";
  const old = isPage ? null : await fromCopyBefore(path);
  if (old) return old;
  try {
    return await fetch(request);
  } catch {
    return notFound();
  }
}

/**
 * @param {string} path
 * @returns {Promise<Response | null>} null if it is neither kept nor to be had
 */
async function fromCopy(path) {
  if (listed.has(pieceOf(path))) return composed(path);
  const bodies = [];
  for (const piece of copy.joined[path] ?? [path]) {
    const file = /** @type {ListedFile} */ (listed.get(piece));
    const here = await kept(file[1]);
    try {
      bodies.push(here ?? (await receiveNow(file)));
    } catch {
      return null;
    }
  }
  return new Response(new Blob(bodies), { headers: headersFor(path) });
}

/**
 * A page, put together from its own text and from the blocks it shares with others. Both files are
 * checked, and one list names both, so they fit.
 * @param {string} path
 */
async function composed(path) {
  const [piece, blocks] = await Promise.all([fromCopy(pieceOf(path)), fromCopy(copy.blocks)]);
  if (!piece || !blocks) return null;
  /** @type {Record<string, string>} */
  const texts = await blocks.json();
  /** @type {(string | [string])[]} names of blocks parted by spaces, or one text of its own */
  const parts = await piece.json();
  const text = parts.map((part) =>
    typeof part === "string"
      ? part
          .split(" ")
          .map((name) => texts[name])
          .join("")
      : part[0],
  );
  const whole = text.join("").replaceAll(copy.mark, copy.version);
  return new Response(whole, { headers: headersFor(path) });
}

/**
 * A file of this copy is missing and was not to be had as listed. If the server has a newer copy,
 * its page is better than none, shown but not kept: it asks for its own scripts and Python. Any
 * other file of that copy would not fit the page that asks, so for it the answer is an error.
 * @param {Request} request @param {string} path
 */
async function notHere(request, path) {
  const isPage = path.endsWith(".html");
  try {
    const stamp = await (await fetch(siteUrl("copy.json"), { cache: "no-store" })).json();
    if (isPage && stamp.content !== copy.version) return await fetch(request);
  } catch {
    // No line: the answer below says so.
  }
  if (request.mode !== "navigate") return Response.error();
  const words = `This page (${path}) is not on this device yet. Go where there is a line and load it again.`;
  return new Response(words, { status: 503, headers: headersFor("not-here.txt") });
}

async function notFound() {
  const page = await fromCopy("404.html").catch(() => null);
  const text = page ? await page.text() : "This address is not in the copy on this device.";
  // The same rule as `rerooted` in the build: see there.
  const built = copy.root.replace(/\/$/, "").replace(/[.*+?^${}()|[\]\\]/g, "\\$&");
  const here = text.replace(new RegExp(`([^(])"${built}/(?!/)`, "g"), `$1"${scope.pathname}`);
  return new Response(here, { status: 404, headers: headersFor(page ? "404.html" : "404.txt") });
}

/** The theme swaps pages in place only where the sitemap names them, under this very address. */
function sitemap() {
  const pages = copy.files
    .map(([path]) => path.replace(/\.html\.json$/, ".html"))
    .filter((path) => /(^|\/)index\.html$/.test(path));
  const text = pages.map((path) => `<url><loc>${siteUrl(path).replaceAll("&", "&amp;")}</loc></url>`).join("\n");
  return new Response(
    `<?xml version="1.0" encoding="UTF-8"?>
<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">
${text}
</urlset>`,
    { headers: headersFor("sitemap.xml") },
  );
}
