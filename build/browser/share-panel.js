// @ts-check
// The panel that hands a link on: a code for a camera, the short link, the long one, the device's
// own sheet of apps. Nothing leaves the page unless the user chooses an app there.

import { copyText } from "./copying.js";
import { layerClosed, layerOpened } from "./layers.js";
import { buttonWith, toolsOf, withText } from "./making.js";
import { ask } from "./python-client.js";
import { codeOf } from "./qr-code.js";
import { saveText } from "./saving.js";

/** @typedef {import("./sharing.js").Shared} Shared */

const ON_DUTY = new URL("../about/on-duty/", import.meta.url).href;

const dialog = document.createElement("dialog");
dialog.className = "share md-typeset";
dialog.setAttribute("aria-labelledby", "share-head");
dialog.addEventListener("close", () => void layerClosed());
dialog.addEventListener("click", ({ target }) => {
  // What is beside the box is the dialog itself.
  if (target === dialog) dialog.close();
});

/** What the panel shows now; an older one's short link that comes late is not put in. */
let turn = 0;

/** @param {Shared} shared */
export async function open(shared) {
  turn += 1;
  const head = withText("h2", `Share: ${shared.what}`);
  head.id = "share-head";
  const code = document.createElement("figure");
  const links = document.createElement("div");
  const state = withText("p", "");
  state.className = "share-state";
  state.setAttribute("role", "status");
  const close = buttonWith("Close", () => dialog.close());
  close.className = "share-close";
  dialog.replaceChildren(close, head, ...sectionsOf(shared, (mark) => show(mark)), code, links, state, dutyWords());
  if (!dialog.isConnected) document.body.append(dialog);
  dialog.showModal();
  layerOpened(() => dialog.close());
  close.focus();
  await show("");

  /** @param {string} mark */
  async function show(mark) {
    const mine = ++turn;
    const long = `${shared.page}${shared.query ? `?${shared.query}` : ""}${mark ? `#${mark}` : ""}`;
    state.textContent = shared.subject ? "Making the short link …" : "";
    const made = await shortOf(shared);
    if (mine !== turn) return;
    state.textContent = made.error ?? "";
    const short = made.short ? `${shared.page}?z=${made.short}` : "";
    const drawn = await codeOf(short || long, `Code that holds the link to: ${shared.what}`).catch(() => undefined);
    if (mine !== turn) return;
    if (drawn) code.replaceChildren(drawn, withText("figcaption", "Scan with a phone's camera."));
    else
      code.replaceChildren(withText("p", "This link is too long for a code, or the code's script cannot be had now."));
    links.replaceChildren(
      ...(short
        ? [line("Short link", short, "It holds every figure you typed, packed; only this reference reads it.")]
        : []),
      line(short ? "Long link" : "Link", long, short ? "The same, to be read by eye." : ""),
      toolsOf(
        ...appsOf(shared.what, short || long),
        buttonWith("Print", () => {
          dialog.close();
          (shared.print ?? (() => window.print()))();
        }),
        ...savesOf(shared),
        ...(drawn
          ? [
              buttonWith("Save the code", () =>
                saveText(
                  drawn.outerHTML.replace("<svg", '<svg xmlns="http://www.w3.org/2000/svg"'),
                  "link-code.svg",
                  "image/svg+xml",
                ),
              ),
            ]
          : []),
      ),
    );
  }
}

/** @param {Shared} shared @returns {Promise<{short?: string, error?: string}>} */
async function shortOf({ subject, query }) {
  if (!subject || !query) return {};
  try {
    const reply = await ask({ kind: "short", do: "make", subject, query }, { form: "share" });
    return reply.failed ? { error: `No short link: ${reply.failed}` } : reply;
  } catch (reason) {
    return { error: `No short link: ${reason instanceof Error ? reason.message : reason}` };
  }
}

/** Drawings as SVG or PNG, and the figures of curves as a table. @param {Shared} shared */
function savesOf({ what, pictures, table }) {
  const name = what
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-|-$/g, "");
  const drawings = pictures?.() ?? [];
  /** @param {"svg" | "png"} kind */
  const save = async (kind) => {
    const { savePictures } = await import("./saving-pictures.js");
    await savePictures(drawings, kind, name);
  };
  const made = drawings.length
    ? [buttonWith("Picture (SVG)", () => save("svg")), buttonWith("Picture (PNG)", () => save("png"))]
    : [];
  if (table) made.push(buttonWith("Figures (CSV)", async () => saveText(await table(), `${name}.csv`, "text/csv")));
  return made;
}

/** @param {string} words @param {string} link @param {string} about */
function line(words, link, about) {
  const made = document.createElement("div");
  made.className = "share-line";
  const label = withText("label", words);
  const field = document.createElement("input");
  field.readOnly = true;
  field.value = link;
  field.addEventListener("focus", () => field.select());
  label.append(field);
  const copy = buttonWith("Copy");
  copy.setAttribute("aria-label", `Copy the ${words.toLowerCase()}`);
  copy.addEventListener("click", () => copyText(link, copy));
  made.append(label, copy);
  if (about) made.append(withText("small", about));
  return made;
}

/** The device's own sheet of apps, where it has one. @param {string} title @param {string} url */
function appsOf(title, url) {
  if (typeof navigator.share !== "function") return [];
  // Closing the sheet is no fault, and the link can still be copied.
  return [buttonWith("Other apps …", () => navigator.share({ title, url }).catch(() => {}))];
}

/** @param {Shared} shared @param {(mark: string) => void} chosen */
function sectionsOf({ sections = [] }, chosen) {
  if (!sections.length) return [];
  const label = withText("label", "Where it opens");
  const select = document.createElement("select");
  select.append(new Option("At the top", ""), ...sections.map(([words, mark]) => new Option(words, mark)));
  select.addEventListener("change", () => chosen(select.value));
  label.append(select);
  label.className = "share-sections";
  return [label];
}

function dutyWords() {
  const made = withText("p", "For class and for study off duty. ");
  made.className = "share-duty";
  const link = withText("a", "Phones and other devices on duty");
  link.setAttribute("href", ON_DUTY);
  link.addEventListener("click", () => dialog.close());
  made.append(link);
  return made;
}
