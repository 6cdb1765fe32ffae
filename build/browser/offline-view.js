// @ts-check
// Shows the facts of the offline copy in the page's status block, and the offer of a newer copy
// above the page. The block says its version without this script; this adds to it.

import * as words from "./offline-words.js";

/** @typedef {import("./offline-copy.js").OfflineCopy} OfflineCopy */

/**
 * @typedef {object} InstallOffer
 * @property {() => boolean} canAsk whether the browser lets the page ask to be installed
 * @property {() => Promise<void>} ask
 * @property {() => boolean} isInstalled
 * @property {"apple-touch" | "android" | "desktop"} device
 */

export class OfflineView {
  #copy;
  #install;
  /** Said once, in every block: the theme swaps pages, and an old sentence must not be repeated. */
  #spoken = "";
  /** Whether the reader has put the newer copy off until the site is opened again. */
  #later = false;
  #listening = new AbortController();
  /** @type {Map<string, HTMLElement>} */
  #parts = new Map();

  /** @param {OfflineCopy} copy @param {InstallOffer} install */
  constructor(copy, install) {
    this.#copy = copy;
    this.#install = install;
  }

  /** Put the lines into the status block of the page shown now; called for each page. */
  attach() {
    this.#listening.abort();
    this.#listening = new AbortController();
    this.#parts.clear();
    const block = document.querySelector(".copy-status");
    if (block) this.#fillBlock(block);
    this.#placeOffer();
    this.#spoken = "";
    this.show();
  }

  /** @param {import("./offline-words.js").CopyFacts} [before] what was shown last */
  show(before) {
    const { facts } = this.#copy;
    this.#write("built", words.builtWords(facts));
    this.#write("checked", words.checkedWords(facts, Date.now()));
    this.#write("ready", words.readyWords(facts));
    this.#write("newer", words.isOffered(facts) ? "" : words.newerWords(facts));
    this.#write("lasting", words.lastingWords(facts.lasting));
    this.#write("offer-words", words.isOffered(facts) ? words.newerWords(facts) : "");
    for (const name of ["take", "take-here"]) {
      this.#write(name, words.offerLabel(facts));
    }
    for (const name of ["offer", "take-here"]) {
      this.#hide(name, !words.isOffered(facts));
    }
    if (this.#later) this.#hide("offer", true);
    this.#hide("ask-lasting", facts.lasting !== false);
    this.#hide("ask-install", !this.#install.canAsk());
    this.#hide("keep", facts.support !== "yes" || (this.#install.isInstalled() && facts.lasting === true));
    if (before) this.#spoken = words.announcement(before, facts) || this.#spoken;
    this.#write("spoken", this.#spoken);
  }

  /** @param {Element} block */
  #fillBlock(block) {
    block.querySelector(".copy-status-live")?.remove();
    const live = element("div", "copy-status-live");
    for (const name of ["built", "checked", "ready", "newer"]) {
      live.append(this.#part(name, element("p", `copy-status-${name}`)));
    }
    const spoken = element("p", "copy-status-spoken");
    spoken.setAttribute("role", "status");
    live.append(
      this.#part("spoken", spoken),
      this.#button("take-here", "", () => this.#take()),
      this.#keepingAdvice(),
    );
    block.append(live);
  }

  #keepingAdvice() {
    const keep = element("details", "copy-status-keep");
    const summary = element("summary", "");
    summary.textContent = "Keep this reference on the device";
    const advice = element("p", "");
    advice.textContent = this.#install.isInstalled()
      ? "This reference is installed on this device."
      : words.installWords(this.#install.device);
    keep.append(
      summary,
      advice,
      this.#button("ask-install", "Install on this device", () => this.#install.ask()),
      this.#part("lasting", element("p", "copy-status-lasting")),
      this.#button("ask-lasting", "Ask the browser to keep this copy", () => this.#copy.askToLast()),
    );
    return this.#part("keep", keep);
  }

  #placeOffer() {
    document.querySelector(".copy-offer:not(.copy-changed)")?.remove();
    const offer = element("aside", "copy-offer md-banner");
    offer.setAttribute("aria-label", "Newer copy");
    const inner = element("div", "md-banner__inner md-grid md-typeset");
    const tools = element("div", "tools");
    tools.append(
      this.#button("take", "", () => this.#take()),
      this.#button("later", "Later", () => this.#putOff()),
    );
    inner.append(this.#part("offer-words", element("p", "copy-offer-words")), tools);
    offer.append(inner);
    this.#part("offer", offer);
    const main = document.querySelector(".md-container") ?? document.body;
    main.prepend(offer);
  }

  /** The foot of the page goes on offering it. */
  #putOff() {
    this.#later = true;
    this.show();
  }

  #take() {
    if (this.#copy.facts.elsewhere || this.#copy.facts.other) location.reload();
    else this.#copy.take();
  }

  /** @param {string} name @param {string} label @param {() => unknown} act */
  #button(name, label, act) {
    const button = element("button", `copy-${name}`);
    button.setAttribute("type", "button");
    button.textContent = label;
    button.addEventListener("click", act, { signal: this.#listening.signal });
    return this.#part(name, button);
  }

  /** @param {string} name @param {HTMLElement} part */
  #part(name, part) {
    this.#parts.set(name, part);
    return part;
  }

  /** @param {string} name @param {string} text */
  #write(name, text) {
    const part = this.#parts.get(name);
    // Written only when it changes: a live region would say the same text again.
    if (part && part.textContent !== text) part.textContent = text;
  }

  /** @param {string} name @param {boolean} hidden */
  #hide(name, hidden) {
    const part = this.#parts.get(name);
    if (!part) return;
    part.hidden = hidden;
    // The theme's own display of a button or a banner is stronger than the attribute.
    part.style.display = hidden ? "none" : "";
  }
}

/** @param {string} tag @param {string} classes */
function element(tag, classes) {
  const made = document.createElement(tag);
  made.className = classes;
  return made;
}
