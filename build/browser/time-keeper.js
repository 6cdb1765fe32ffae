// @ts-check
// <time-keeper data-seconds="45 60">: a timer for a wait or a reading that a test asks for.
// <time-keeper data-into="train-ten exhaust ">: one tap when something begins, one when it ends; the seconds
// go into the field of that entry beside it. Both are offered only where the device is the railroad's own by
// its settings; elsewhere the page is read, or printed.

import { buttonWith, withText } from "./making.js";
import { railroadSettings } from "./settings.js";

const LOOK_MS = 250;
const BLOWS = "It blows: start";

class TimeKeeper extends HTMLElement {
  #ticking = 0;
  #begun = 0;
  /** @type {AbortController | undefined} */
  #listening;

  connectedCallback() {
    this.#listening = new AbortController();
    document.addEventListener("railroad-settings", () => this.#offer(), { signal: this.#listening.signal });
    this.#offer();
  }

  disconnectedCallback() {
    this.#listening?.abort();
    this.#stop();
    this.replaceChildren();
  }

  get #seconds() {
    return (this.dataset.seconds ?? "").split(" ").map(Number).filter(Number.isFinite);
  }

  #offer() {
    this.#stop();
    const { device } = railroadSettings();
    if (device !== "railroad" || (!this.#seconds.length && !this.#field)) return this.replaceChildren();
    const said = withText("span", "");
    said.setAttribute("role", "status");
    const act = () => (this.#field ? this.#measure(button, said) : this.#turn(button, said));
    /** @type {HTMLButtonElement} */
    const button = buttonWith(this.#field ? BLOWS : this.#words, act);
    this.replaceChildren(button, said);
  }

  /** The field that takes what is measured, if this measures. */
  get #field() {
    const entry = this.dataset.into;
    const found = entry && this.parentElement?.querySelector(`input[data-entry="${CSS.escape(entry)}"]`);
    return found instanceof HTMLInputElement ? found : null;
  }

  /** The first tap begins, the second writes the seconds down. @param {HTMLButtonElement} button @param {HTMLElement} said */
  #measure(button, said) {
    if (this.#ticking) {
      const took = Math.round((Date.now() - this.#begun) / 1000);
      this.#stop();
      button.textContent = BLOWS;
      said.textContent = `${took} s written down.`;
      const field = this.#field;
      if (!field) return;
      field.value = String(took);
      field.dispatchEvent(new Event("change", { bubbles: true }));
      return;
    }
    this.#begun = Date.now();
    said.textContent = "";
    const look = () => {
      button.textContent = `${Math.floor((Date.now() - this.#begun) / 1000)} s · it has stopped`;
    };
    look();
    this.#ticking = window.setInterval(look, LOOK_MS);
  }

  get #words() {
    return `Start ${this.#seconds.join(" to ")} s`;
  }

  /** Start it, or stop it. @param {HTMLButtonElement} button @param {HTMLElement} said */
  #turn(button, said) {
    if (this.#ticking) {
      this.#stop();
      button.textContent = this.#words;
      said.textContent = "Stopped.";
      return;
    }
    const [first = 0, last = first] = this.#seconds;
    const begun = Date.now();
    said.textContent = "";
    const look = () => {
      const gone = Math.floor((Date.now() - begun) / 1000);
      button.textContent = `${gone} s · stop`;
      if (gone < first) return;
      const words = gone < last ? `${first} s are gone: go on before ${last} s.` : `${last} s are gone: read now.`;
      // Said once, not at every look.
      if (said.textContent !== words) said.textContent = words;
      if (gone < last) return;
      this.#stop();
      button.textContent = this.#words;
    };
    look();
    this.#ticking = window.setInterval(look, LOOK_MS);
  }

  #stop() {
    window.clearInterval(this.#ticking);
    this.#ticking = 0;
  }
}

customElements.define("time-keeper", TimeKeeper);
