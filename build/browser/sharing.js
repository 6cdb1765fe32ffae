// @ts-check
// Handing a link on: the panel with the code and both links comes when it is first asked for.

/**
 * @typedef {object} Shared what is handed on
 * @property {string} what in words, for the panel's head
 * @property {string} page the page's address, without a question
 * @property {string} [query] what is asked of it; without one the address is the whole link
 * @property {string} [subject] what a short link is made for; without one there is none
 * @property {[string, string][]} [sections] words and address marks of the page's sections
 * @property {() => SVGSVGElement[]} [pictures] drawings that can be saved
 * @property {() => Promise<string>} [table] figures of the curves as a table
 * @property {() => void} [print] prints the sheet; without it the page is printed
 */

/** Open the panel. @param {Shared} shared */
export async function share(shared) {
  const panel = await import("./share-panel.js");
  await panel.open(shared);
}

document.addEventListener("click", ({ target }) => {
  const button = target instanceof Element ? target.closest("[data-share=page]") : null;
  if (button) void share(thisPage());
});

/** This page with its sections. @returns {Shared} */
function thisPage() {
  const heads = [...document.querySelectorAll(".md-content h2[id], .md-content h3[id]")];
  return {
    what: document.querySelector(".frame-title")?.textContent?.trim() || document.title,
    page: `${location.origin}${location.pathname}`,
    // A set of questions that came from a link is handed on as that set.
    ...(new URLSearchParams(location.search).has("drill") ? { query: location.search.slice(1) } : {}),
    sections: heads.map((head) => [(head.firstChild?.textContent ?? "").trim(), head.id]),
  };
}
