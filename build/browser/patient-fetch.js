// @ts-check
// Fetching on lines that hang or drip: a request that brings nothing for a while is given up.

// A line that brings less than this in this time brings nothing.
const STALL_MS = 12_000;
const LEAST_BYTES = 2000;

/** A request that brought nothing for a while. */
export class HangingError extends Error {}

/**
 * Fetch and read, and give up on a line that hangs or drips.
 * @param {string | URL} address @param {RequestInit} [options]
 * @param {(response: Response) => boolean} [wanted] whether the body is read; throws if the answer is no good
 * @returns {Promise<{response: Response, bytes: Uint8Array<ArrayBuffer>}>}
 */
export async function fetchedWhole(address, options = {}, wanted = () => true) {
  const giveUp = new AbortController();
  let came = LEAST_BYTES;
  const watch = setInterval(() => {
    if (came < LEAST_BYTES) giveUp.abort(new HangingError("the line hangs"));
    came = 0;
  }, STALL_MS);
  try {
    const response = await fetch(address, { ...options, signal: giveUp.signal });
    const parts = [];
    const reader = wanted(response) ? response.body?.getReader() : undefined;
    for (let part = await reader?.read(); part && !part.done; part = await reader?.read()) {
      came += part.value.length;
      parts.push(/** @type {Uint8Array<ArrayBuffer>} */ (part.value));
    }
    return { response, bytes: new Uint8Array(await new Blob(parts).arrayBuffer()) };
  } finally {
    clearInterval(watch);
    // Nothing more of it is wanted; what has come whole is not touched by this.
    giveUp.abort();
  }
}
