"""Python beside the browser: a page's questions answered by the module that the tests themselves run.

A page asks its worker in JSON and is answered in JSON. What stands in the worker is the subject of
``tests/runtime``, ``tests/offline``, ``test_tasks`` and every test marked ``inside``: there the packed
Python answers as the desk's does, word for word. Where the page is the subject, the desk's own
answers it here, and a page costs half the processor. Nothing else is put in its place: the
page's scripts, their lanes, parts and words for errors are the site's.
"""

from __future__ import annotations

import os
from collections.abc import Iterator

from playwright.sync_api import BrowserContext, Page

from calculators import browser

INSIDE = bool(os.environ.get("REFERENCE_PYTHON_INSIDE"))
"""Whether every page is to run the packed Python, as people's do."""

WORKER = """(() => {
  const Other = globalThis.Worker;
  const askBeside = globalThis.askBeside;
  class Beside extends EventTarget {
    #name = `${performance.timeOrigin} ${Math.random()}`;
    #followed = new Set();
    #over = false;
    constructor() {
      super();
      // No timer: a test may hold the page's clock.
      Promise.resolve().then(() => {
        this.#say({ kind: "here" });
        this.#say({ kind: "ready", milliseconds: 0, memory: 0, restored: true });
      });
    }
    #say(data) {
      if (!this.#over) this.dispatchEvent(new MessageEvent("message", { data }));
    }
    terminate() {
      this.#over = true;
    }
    async postMessage({ kind, id, request }) {
      if (kind === "cancel") {
        this.#followed.delete(id);
        return;
      }
      try {
        if (kind === "ask") {
          this.#say({ kind: "answer", id, text: await askBeside(kind, "", request) });
          return;
        }
        const run = `${this.#name} ${id}`;
        this.#followed.add(id);
        let text = await askBeside("begin", run, request);
        while (text !== null && this.#followed.has(id)) {
          this.#say({ kind: "part", id, text });
          text = await askBeside("next", run, "");
        }
        if (!this.#followed.delete(id)) await askBeside("stop", run, "");
        this.#say({ kind: "end", id });
      } catch (error) {
        this.#say({ kind: "error", id, detail: `${error}` });
      }
    }
  }
  globalThis.Worker = new Proxy(Other, {
    construct: (_, [address, options]) => {
      if (!`${address}`.includes("python-worker")) return new Other(address, options);
      options.type; // Who reads it knows workers whose script is a module.
      return new Beside();
    },
  });
})()"""


class _Beside:
    """Answers the pages of one device; a long answer is kept between its parts."""

    def __init__(self) -> None:
        self._runs: dict[str, Iterator[str]] = {}

    def __call__(self, kind: str, run: str, request: str) -> str | None:
        match kind:
            case "ask":
                return browser.reply(request)
            case "begin":
                self._runs[run] = browser.stream(request)
                return self._next(run)
            case "next":
                return self._next(run)
            case "stop":
                self._runs.pop(run, None)
                return None
        raise ValueError(f"a page said {kind!r}")

    def _next(self, run: str) -> str | None:
        part = next(self._runs[run], None)
        if part is None:
            del self._runs[run]
        return part


def answer_beside(pages: Page | BrowserContext) -> None:
    """Let a page, or all pages of a device, be answered by the Python of the tests."""
    if not INSIDE:
        pages.expose_function("askBeside", _Beside())
        pages.add_init_script(WORKER)
