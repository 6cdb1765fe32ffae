// @ts-check
// The page's address asks what its form asks: a reload, the back key, a tab that the device threw
// away, or a newer copy then lose nothing that was typed.

const PAUSE_MS = 300;

export class Address {
  /** @type {ReturnType<typeof setTimeout> | undefined} */
  #pause;
  /** What the address asks as far as this element knows. */
  #query = location.search;

  /** Write it once typing pauses: browsers refuse an address that changes with every key. @param {() => string} query */
  soon(query) {
    this.cancel();
    this.#pause = setTimeout(() => this.write(query()), PAUSE_MS);
  }

  /** @param {string} query without the question mark; empty for the page's own state */
  write(query) {
    this.cancel();
    this.#query = query ? `?${query}` : "";
    if (this.#query === location.search) return;
    const { pathname, hash } = location;
    try {
      history.replaceState(history.state, "", `${pathname}${this.#query}${hash}`);
    } catch {
      // Too many in a short time for this browser: the next answer writes it.
    }
    this.#query = location.search;
  }

  cancel() {
    clearTimeout(this.#pause);
  }

  /**
   * Hear of an address of this very page that something else has set: the back key, or a link in
   * the text to the page itself, which the theme enters without loading anything.
   * @param {(asked: URLSearchParams) => void} changed @param {AbortSignal} signal
   */
  watch(changed, signal) {
    const { pathname } = location;
    const look = () => {
      if (signal.aborted || location.pathname !== pathname || location.search === this.#query) return;
      this.cancel();
      this.#query = location.search;
      changed(new URLSearchParams(location.search));
    };
    window.addEventListener("popstate", () => setTimeout(look), { signal });
    document.addEventListener("click", () => setTimeout(look), { signal });
    // What was typed just before a layer opened was written to the layer's entry, which is gone with it.
    document.addEventListener(
      "layer-closed",
      () => location.pathname === pathname && this.write(this.#query.slice(1)),
      { signal },
    );
  }
}

// What the search adds to an address for itself: no part of a question.
const NOT_ASKED = ["h", "q"];

/** Whether an address asks anything of a form. @param {URLSearchParams} query */
export function isAsked(query) {
  return [...query.keys()].some((name) => !NOT_ASKED.includes(name));
}

/**
 * The entries of an address, and the names that it gives more than once: which of them is meant,
 * nobody can say.
 * @param {URLSearchParams} query
 */
export function entriesOf(query) {
  const pairs = [...query].filter(([name]) => !NOT_ASKED.includes(name));
  const names = pairs.map(([name]) => name);
  const repeated = [...new Set(names.filter((name, place) => names.indexOf(name) !== place))];
  return { entries: Object.fromEntries(pairs), repeated };
}
