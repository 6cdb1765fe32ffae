// @ts-check
// <pocket-card> wraps a card that the build has made for the example settings. Where the device has
// settings of its own, Python makes theirs and this puts it in its place.

import { ask, warm } from "./python-client.js";
import { copyText } from "./copying.js";
import { goLive } from "./going-live.js";
import { loadedAnewUnlessItFits } from "./page-fits.js";
import { railroadSettings, readRecord } from "./settings.js";

class PocketCard extends HTMLElement {
  /** @type {AbortController | undefined} */
  #listening;
  #turn = 0;
  #text = "";
  #built = "";

  connectedCallback() {
    if (loadedAnewUnlessItFits()) return;
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    this.#built = this.#place.innerHTML;
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    document.addEventListener("railroad-settings", () => this.#settingsChanged(), { signal });
    goLive(this);
    if (readRecord().state === "broken") {
      this.#show("failed", "Your settings cannot be read; this is the card for the example settings. See My railroad.");
    } else if (Object.keys(railroadSettings()).length) void this.#settingsChanged();
  }

  disconnectedCallback() {
    this.#listening?.abort();
    this.#turn += 1;
  }

  get #place() {
    return /** @type {HTMLElement} */ (this.querySelector(".card-place"));
  }

  async #settingsChanged() {
    if (!Object.keys(railroadSettings()).length) {
      this.#turn += 1;
      this.#place.innerHTML = this.#built;
      this.#text = "";
      this.dataset.example = "yes";
      this.removeAttribute("data-stale");
      return this.#show("prerendered", "");
    }
    this.setAttribute("data-stale", "");
    this.#show("working", "Working out the card for your settings …");
    const reply = await this.#ask();
    if (!reply) return;
    this.#place.innerHTML = reply.html;
    this.#text = reply.text;
    delete this.dataset.example;
    this.removeAttribute("data-stale");
    const wrong = Object.keys(reply.errors).length > 0;
    this.#show(
      wrong ? "refused" : "answered",
      wrong ? "Your settings give no card: correct them under My railroad." : "",
    );
  }

  /** @returns {Promise<{html: string, text: string, errors: Record<string, string>} | undefined>} */
  async #ask() {
    const turn = ++this.#turn;
    warm();
    try {
      const reply = await ask({ kind: "card", settings: railroadSettings() }, { form: this });
      return turn === this.#turn && !reply.superseded ? reply : undefined;
    } catch (reason) {
      if (turn === this.#turn) {
        this.#show("failed", `No card for your settings: ${reason instanceof Error ? reason.message : reason}`);
      }
      return undefined;
    }
  }

  /** @param {Event} event */
  async #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    if (button?.dataset.do === "print") return this.#print();
    if (button?.dataset.do !== "text") return;
    const text = this.#text || (await this.#ask())?.text;
    if (text) await copyText(text, button);
  }

  /** The back of the card gets the day and a code: own settings come along, for who takes them over. */
  async #print() {
    try {
      const { addAddress } = await import("./paper.js");
      const { query } = this.dataset.example
        ? { query: undefined }
        : await ask({ kind: "settings", do: "hand on", settings: railroadSettings() }, { form: this });
      const page = new URL(query ? "../my-railroad/" : "../pocket-card/", import.meta.url).href;
      await addAddress(this, query ? { what: "", page, query, subject: "settings" } : { what: "", page });
    } catch {
      // The card is as good without its code.
    }
    window.print();
  }

  /**
   * @param {"prerendered" | "working" | "answered" | "refused" | "failed"} state
   * @param {string} words
   */
  #show(state, words) {
    this.dataset.state = state;
    const place = /** @type {HTMLElement} */ (this.querySelector(".state"));
    place.textContent = words;
  }
}

customElements.define("pocket-card", PocketCard);
