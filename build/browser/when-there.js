// @ts-check
// Scripts that few pages need come when such a page is opened.

/** @type {Record<string, string>} */
const PARTS = { "work-sheet": "worksheet.js", "class-screen": "class-screen.js", "study-share": "study-share.js" };

function look() {
  for (const [tag, script] of Object.entries(PARTS)) {
    if (document.querySelector(tag)) {
      import(new URL(script, import.meta.url).href).catch(() => window.dispatchEvent(new Event("part-missing")));
    }
  }
}

// The theme swaps pages under this module and says so through `document$`.
const pages = /** @type {any} */ (window).document$;
if (pages) pages.subscribe(look);
else look();

export {};
