// @ts-check
// <class-screen> shows a plan, one thing large: a link of this site to an answer, a circuit or a
// worksheet (question first, answer on the next press), or a sentence as it stands. A plan is plain
// text from anybody: text stays text, and no link is followed that does not lead into this site.

import { goLive } from "./going-live.js";
import { ask } from "./python-client.js";
import { saveText } from "./saving.js";
import { railroadSettings } from "./settings.js";
import { share } from "./sharing.js";

const ROOT = new URL("..", import.meta.url);
const LONGEST = 6000;
const MADE_BY = /^version:\s*(\S{1,20})$/i;
const NEXT = ["ArrowRight", "ArrowDown", "PageDown", " ", "Enter"];
const BACK = ["ArrowLeft", "ArrowUp", "PageUp", "Backspace"];
const BLANK = ["b", "B", "."];
// Words shrink until a view fits, figures never; what does not fit at the least is turned in pages.
const SMALLEST = 0.55;
const SHRINKS_BY = 0.05;
const TURNS_BY = 0.85;

/** @typedef {{ text: string, link?: URL }} Line */

/** The lines of a plan; what is no link into this site is text. @param {string} plan @returns {Line[]} */
export function linesOf(plan) {
  return plan
    .split(/\r?\n/)
    .map((line) => line.trim())
    .filter((line) => line && !line.startsWith("#") && !MADE_BY.test(line))
    .map((text) => {
      if (/\s/.test(text) || !/[/?]/.test(text)) return { text };
      try {
        const link = new URL(text, ROOT);
        const own = link.origin === ROOT.origin && link.pathname.startsWith(ROOT.pathname);
        return own ? { text, link } : { text };
      } catch {
        return { text };
      }
    });
}

class ClassScreen extends HTMLElement {
  #listening = new AbortController();
  #keys = new AbortController();
  /** The views of the plan, as fragments or as texts. @type {{ html?: string, text?: string }[]} */
  #views = [];
  #at = 0;
  /** @type {HTMLDialogElement | undefined} */
  #screen;
  /** @type {{ release: () => Promise<void> } | undefined} */
  #awake;

  connectedCallback() {
    this.#listening = new AbortController();
    const { signal } = this.#listening;
    this.addEventListener("click", (event) => this.#clicked(event), { signal });
    this.#file.addEventListener("change", () => this.#readFile(), { signal });
    goLive(this);
    void this.#fromLink();
  }

  disconnectedCallback() {
    this.#listening.abort();
    this.#keys.abort();
    this.#screen?.remove();
  }

  get #plan() {
    return /** @type {HTMLTextAreaElement} */ (this.querySelector("textarea"));
  }

  get #file() {
    return /** @type {HTMLInputElement} */ (this.querySelector("input[type=file]"));
  }

  /** @param {string} words */
  #say(words) {
    /** @type {HTMLElement} */ (this.querySelector(".state")).textContent = words;
  }

  async #fromLink() {
    const link = new URLSearchParams(location.search);
    const short = link.get("z");
    if (short === null) {
      if (link.has("plan")) this.#plan.value = (link.get("plan") ?? "").slice(0, LONGEST);
      return;
    }
    const opened = await this.#ask({ kind: "short", do: "open", subject: "plan", short });
    if (opened.query === undefined) return this.#say(opened.error ?? opened.failed ?? "");
    this.#plan.value = (new URLSearchParams(opened.query).get("plan") ?? "").slice(0, LONGEST);
    this.#say("Read from the link. Look it through, then show it.");
  }

  async #readFile() {
    const file = this.#file.files?.[0];
    if (!file) return;
    if (file.size > LONGEST) return this.#say("This file is too long to be a plan.");
    this.#plan.value = await file.text();
    this.#say("Read. Look it through, then show it.");
  }

  /** @param {Record<string, unknown>} request */
  async #ask(request) {
    try {
      return await ask({ settings: railroadSettings(), ...request }, { form: "class-screen" });
    } catch (reason) {
      return { failed: reason instanceof Error ? reason.message : String(reason) };
    }
  }

  /** @param {Event} event */
  #clicked(event) {
    const button = event.target instanceof Element ? event.target.closest("button") : null;
    const what = button?.dataset.do;
    if (what === "show") void this.#show();
    if (what === "save") saveText(this.#plan.value, "class-plan.txt");
    if (what === "share") {
      const query = String(new URLSearchParams({ plan: this.#plan.value }));
      void share({ what: "plan of a class", page: `${location.origin}${location.pathname}`, query, subject: "plan" });
    }
  }

  async #show() {
    this.#say("Working out what the plan shows …");
    const { version } = await this.#ask({ kind: "screen" });
    const made = this.#plan.value
      .split(/\r?\n/)
      .map((line) => MADE_BY.exec(line.trim())?.[1])
      .find(Boolean);
    this.#views = [];
    for (const line of linesOf(this.#plan.value)) {
      if (!line.link) {
        this.#views.push({ text: line.text });
        continue;
      }
      const path = line.link.pathname.slice(ROOT.pathname.length);
      const reply = await this.#ask({ kind: "screen", path, query: line.link.search.slice(1) });
      if (reply.views) this.#views.push(.../** @type {string[]} */ (reply.views).map((html) => ({ html })));
      else this.#views.push({ text: `${line.text}: ${reply.error ?? reply.failed ?? "nothing to show large"}` });
    }
    if (!this.#views.length) return this.#say("The plan is empty.");
    const other =
      made && version && made !== version
        ? ` The plan was made with version ${made}; this copy is ${version}, and figures may differ.`
        : "";
    this.#say(`${this.#views.length} views.${other}`);
    this.#open();
  }

  #open() {
    const screen = document.createElement("dialog");
    screen.className = "class-view md-typeset";
    screen.setAttribute("aria-label", "Class screen");
    screen.addEventListener("click", (event) => this.#tapped(event));
    screen.addEventListener("close", () => this.#closed());
    this.#screen?.remove();
    this.#screen = screen;
    // On the document: what is dark has no focus, and a clicker's key must still be heard.
    this.#keys.abort();
    this.#keys = new AbortController();
    document.addEventListener("keydown", (event) => this.#pressed(event), { signal: this.#keys.signal });
    window.addEventListener("resize", () => this.#fit(false), { signal: this.#keys.signal });
    document.body.append(screen);
    screen.showModal();
    void this.#stayAwake();
    this.#put(0);
  }

  /** @param {number} wanted @param {boolean} [last] its last page, for one who comes back to it */
  #put(wanted, last = false) {
    const screen = this.#screen;
    if (!screen) return;
    this.#at = Math.max(0, Math.min(wanted, this.#views.length - 1));
    const view = this.#views[this.#at];
    const place = document.createElement("div");
    place.className = "class-place";
    place.tabIndex = -1;
    // Drawings are made for paper's colors, whatever the rest of the screen shows.
    place.dataset.mdColorScheme = "default";
    if (view.html !== undefined) place.innerHTML = view.html;
    else {
      const words = document.createElement("p");
      words.className = "screen-asked";
      words.textContent = view.text ?? "";
      place.append(words);
    }
    const count = document.createElement("p");
    count.className = "class-count";
    const told = document.createElement("span");
    count.append(told);
    const end = document.createElement("button");
    end.type = "button";
    end.textContent = "End";
    end.addEventListener("click", () => screen.close());
    count.append(" ", end);
    screen.replaceChildren(place, count);
    this.#fit(last);
    place.focus({ preventScroll: true });
  }

  /** Words as large as the view allows; then its first page, or the last one. @param {boolean} last */
  #fit(last) {
    const screen = this.#screen;
    if (!screen) return;
    for (let share = 1; share >= SMALLEST; share -= SHRINKS_BY) {
      screen.style.setProperty("--fit", share.toFixed(2));
      if (screen.scrollHeight <= screen.clientHeight) break;
    }
    screen.scrollTop = last ? screen.scrollHeight : 0;
    this.#tell();
  }

  /** Which view is shown, and which page of it. */
  #tell() {
    const screen = this.#screen;
    const told = screen?.querySelector(".class-count span");
    if (!screen || !told) return;
    const turn = screen.clientHeight * TURNS_BY;
    const pages = 1 + Math.ceil((screen.scrollHeight - screen.clientHeight) / turn);
    const page = 1 + Math.ceil(screen.scrollTop / turn);
    const which = pages > 1 ? `, page ${page} of ${pages}` : "";
    told.textContent = `${this.#at + 1} / ${this.#views.length}${which}`;
  }

  /** The next page of a view that does not fit, else the next view; back alike. @param {1 | -1} way */
  #turn(way) {
    const screen = this.#screen;
    if (!screen) return;
    const before = screen.scrollTop;
    screen.scrollTop += way * screen.clientHeight * TURNS_BY;
    if (Math.abs(screen.scrollTop - before) >= 1) this.#tell();
    else if (this.#views[this.#at + way]) this.#put(this.#at + way, way < 0);
  }

  /** @param {KeyboardEvent} event */
  #pressed(event) {
    if (event.target instanceof HTMLButtonElement && [" ", "Enter"].includes(event.key)) return;
    if (NEXT.includes(event.key)) this.#turn(1);
    else if (BACK.includes(event.key)) this.#turn(-1);
    else if (BLANK.includes(event.key)) this.#screen?.toggleAttribute("data-blank");
    else return;
    event.preventDefault();
  }

  /** The right half goes on, the left one back. @param {MouseEvent} event */
  #tapped(event) {
    if (event.target instanceof Element && event.target.closest("button")) return;
    this.#turn(event.clientX > innerWidth / 3 ? 1 : -1);
  }

  async #stayAwake() {
    try {
      this.#awake = await /** @type {any} */ (navigator).wakeLock?.request("screen");
    } catch {
      // Refused or not there: the device's own setting decides.
    }
  }

  #closed() {
    void this.#awake?.release().catch(() => {});
    this.#awake = undefined;
    this.#keys.abort();
    this.#screen?.remove();
    this.#screen = undefined;
  }
}

customElements.define("class-screen", ClassScreen);
