// @ts-check
// The page's side of the offline copy: registers the service worker, looks for updates, has missing
// files fetched again, and keeps the facts that the page shows. It touches no element of the page.

import { ours } from "./copy-stamp.js";
import { keepText, keptText } from "./device-store.js";
import { registered } from "./registration.js";

/** @typedef {import("./offline-words.js").CopyFacts} CopyFacts */

// Never long: once the line is good again the copy is to be whole within half a minute.
const AGAIN_AFTER_S = [2, 5, 10, 15];
const SILENCE_MS = 30_000;
// A line that brings no answer in this time hangs.
const PATIENCE_MS = 10_000;
const RETURN_CHECK_MS = 60_000;

/** Says "change" whenever a fact has changed. */
export class OfflineCopy extends EventTarget {
  /** @type {CopyFacts} */
  facts = {
    support: "yes",
    built: null,
    ready: null,
    of: null,
    readyFirst: null,
    first: null,
    bytes: 0,
    filling: false,
    failure: null,
    newer: null,
    offered: false,
    offeredBuilt: null,
    other: false,
    line: null,
    elsewhere: false,
    checked: null,
    lasting: null,
  };

  /** @type {URL} */
  #root;
  /** @type {ServiceWorkerRegistration | null} */
  #registration = null;
  #taking = false;
  #hadWorker = false;
  /** How often in a row the browser refused to register the worker, with a good line. */
  #refusals = 0;
  /** A full device is asked once more, not again and again: what does not fit has been fetched. */
  #hadNoRoom = false;
  #tries = 0;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #again;
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #silence;
  #lastLook = 0;

  /** @param {URL} root the site's root, where the service worker stands */
  constructor(root) {
    super();
    this.#root = root;
  }

  /** @param {AbortSignal} signal ends all listening */
  async start(signal) {
    this.#set({ checked: this.#storedCheck() });
    const container = navigator.serviceWorker;
    if (container === undefined) {
      this.#set({ support: window.isSecureContext ? "no" : "insecure" });
      await this.#readStamp();
      return;
    }
    this.#hadWorker = container.controller !== null;
    container.addEventListener("message", (event) => this.#hear(event.data), { signal });
    container.addEventListener("controllerchange", () => this.#changed(), { signal });
    container.startMessages();
    window.addEventListener("online", () => this.#goOn(), { signal });
    document.addEventListener("visibilitychange", () => this.#returned(), { signal });
    signal.addEventListener("abort", () => {
      clearTimeout(this.#again);
      clearTimeout(this.#silence);
    });
    await Promise.all([this.look(), this.#readLasting()]);
    if (this.facts.built === null) await this.#readStamp();
  }

  /** Look for files that are missing here, and then for an update: what is here needs no line. */
  async look() {
    this.#lastLook = Date.now();
    const known = await navigator.serviceWorker.getRegistration(this.#root.href).catch(() => undefined);
    if (known) this.#know(known);
    this.#ask("state");
    try {
      await within(PATIENCE_MS, this.#update());
      this.#noteCheck();
      this.#refusals = 0;
      this.#set({ line: "good", support: "yes" });
    } catch (error) {
      // "Last checked" stays what it was: that is the news, and why.
      await this.#tellLine(error);
    }
  }

  /** Why an update could not be looked for. @param {unknown} error */
  async #tellLine(error) {
    const line = await this.#lineNow();
    const name = error instanceof Error ? error.name : "";
    const isRefused = (name === "SecurityError" || name === "NotSupportedError") && line === "good";
    // A sign-in page in place of the worker looks the same once: only the second time it is a refusal.
    this.#refusals = isRefused ? this.#refusals + 1 : 0;
    const support = this.#refusals > 1 && !this.#registration?.active ? "refused" : "yes";
    this.#set({ line, support });
    // A whole copy can wait for the line to come back by itself; a page without one cannot.
    if (!this.#registration?.active || this.facts.ready !== this.facts.of) this.#later();
  }

  /** What the line brings now: the service worker lets this one address through. */
  async #lineNow() {
    try {
      const address = new URL("copy.json?line", this.#root);
      const options = { cache: /** @type {const} */ ("no-store"), signal: AbortSignal.timeout(PATIENCE_MS) };
      const response = await fetch(address, options);
      await response.text();
      const isOurs = /json/.test(response.headers.get("Content-Type") ?? "") && !response.redirected;
      if (response.ok) return isOurs ? "good" : "portal";
      return "host";
    } catch (error) {
      return error instanceof DOMException && error.name === "TimeoutError" ? "hangs" : "none";
    }
  }

  /** Take the newer copy that was offered: every tab goes over to it, this one loads anew. */
  take() {
    this.#taking = true;
    const waiting = this.#registration?.waiting;
    if (waiting) waiting.postMessage({ ask: "take over" });
    else location.reload();
  }

  /** Ask the browser not to remove the copy by itself. */
  async askToLast() {
    await navigator.storage?.persist?.();
    await this.#readLasting();
  }

  async #update() {
    const known = this.#registration;
    const registration = await registered(this.#root);
    this.#know(registration);
    if (registration === known) await registration.update();
  }

  /** @param {ServiceWorkerRegistration} registration */
  #know(registration) {
    if (registration !== this.#registration) {
      this.#registration = registration;
      registration.addEventListener("updatefound", () => this.#follow(registration.installing));
      this.#follow(registration.installing);
    }
    this.#showOffer();
  }

  /** @param {ServiceWorker | null} installing */
  #follow(installing) {
    installing?.addEventListener("statechange", () => {
      if (installing.state === "installed") {
        this.#tries = 0;
        this.#showOffer();
      }
      if (installing.state === "activated") this.#ask("state");
      if (installing.state === "redundant") this.#later();
    });
  }

  #showOffer() {
    const waiting = this.#registration?.waiting;
    const offered = Boolean(waiting && this.#registration?.active);
    // It says when it was built: a copy may also be set back to an older one.
    if (offered) waiting?.postMessage({ ask: "who" });
    this.#set(offered ? { offered, newer: null } : { offered });
  }

  /** @param {"state" | "fill"} ask */
  #ask(ask) {
    this.#registration?.active?.postMessage({ ask });
  }

  /** @param {any} news */
  #hear(news) {
    if (news?.tell !== "copy") return;
    if (news.waits) {
      this.#set({ offeredBuilt: news.built });
      return;
    }
    const failure = news.failed ? { reason: news.failed, file: news.file ?? "", detail: news.detail ?? "" } : null;
    if (news.newer) {
      const ready = news.ready ?? this.facts.newer?.ready ?? 0;
      this.#set({ newer: { ready, of: news.of, failure }, bytes: news.bytes });
      return;
    }
    // Another copy than this page's says nothing of when this page was built.
    const other = ours !== "" && news.version !== ours;
    this.#set({
      other,
      built: other ? this.facts.built : news.built,
      ready: news.ready ?? this.facts.ready ?? 0,
      of: news.of,
      readyFirst: news.readyFirst ?? this.facts.readyFirst ?? 0,
      first: news.first ?? null,
      bytes: news.bytes,
      filling: news.filling ?? false,
      failure,
    });
    clearTimeout(this.#silence);
    if (news.filling) {
      this.#tries = 0;
      // A browser may end a worker that is long at work: ask again when it falls silent.
      this.#silence = setTimeout(() => this.#ask("fill"), SILENCE_MS);
    } else if (failure) {
      if (failure.reason !== "room" || !this.#hadNoRoom) this.#later();
      this.#hadNoRoom ||= failure.reason === "room";
    } else if (news.ready < news.of) {
      this.#ask("fill");
    }
  }

  /** Try again after a while, sooner the first times. */
  #later() {
    if (this.#again !== undefined) return;
    const pause = AGAIN_AFTER_S[Math.min(this.#tries, AGAIN_AFTER_S.length - 1)];
    this.#tries += 1;
    this.#again = setTimeout(() => this.#goOn(), pause * 1000);
  }

  #goOn() {
    clearTimeout(this.#again);
    this.#again = undefined;
    void this.look().then(() => this.#ask("fill"));
  }

  #returned() {
    if (document.visibilityState !== "visible") return;
    if (Date.now() - this.#lastLook >= RETURN_CHECK_MS) void this.look();
    else this.#ask("state");
  }

  #changed() {
    if (this.#taking) {
      this.#taking = false;
      location.reload();
    } else if (this.#hadWorker) {
      this.#set({ elsewhere: true, offered: false, newer: null });
    }
    this.#hadWorker = true;
  }

  async #readLasting() {
    const lasting = (await navigator.storage?.persisted?.()) ?? null;
    this.#set({ lasting });
  }

  /** Without a worker the stamp comes from the server: it is then the server's copy that is shown. */
  async #readStamp() {
    try {
      const stamp = await (await fetch(new URL("copy.json", this.#root), { cache: "no-cache" })).json();
      if (!ours || stamp.content === ours) this.#set({ built: stamp.built });
    } catch {
      // No line and no copy: the page says that it does not know.
    }
  }

  #storedCheck() {
    const stored = Number(keptText(this.#checkKey()));
    return stored > 0 ? stored : null;
  }

  #noteCheck() {
    const checked = Date.now();
    this.#set({ checked });
    // Where nothing can be kept the time is shown for this visit only.
    keepText(this.#checkKey(), String(checked));
  }

  #checkKey() {
    return `${this.#root.pathname} update checked`;
  }

  /** @param {Partial<CopyFacts>} changes */
  #set(changes) {
    const before = this.facts;
    this.facts = { ...before, ...changes };
    this.dispatchEvent(new CustomEvent("change", { detail: before }));
  }
}

const TOO_LATE = new Error("too late");

/**
 * @template Value
 * @param {number} milliseconds @param {Promise<Value>} promise
 * @returns {Promise<Value>} refused with `TOO_LATE` when the time is up
 */
function within(milliseconds, promise) {
  return new Promise((resolve, reject) => {
    const timer = setTimeout(() => reject(TOO_LATE), milliseconds);
    promise.then(resolve, reject).finally(() => clearTimeout(timer));
  });
}
