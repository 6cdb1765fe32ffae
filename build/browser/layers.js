// @ts-check
// What lies over the page (the search, the menu) is closed by Back before Back leaves the page.

/** @type {(() => void) | undefined} */
let close;
/** @type {(() => void) | undefined} */
let wentBack;

/** Something was opened. @param {() => void} closing what Back then does */
export function layerOpened(closing) {
  if (close) return;
  close = closing;
  history.pushState(history.state, "");
}

/** It was closed by something else than Back: the step that it took is taken back. */
export async function layerClosed() {
  if (!close) return;
  close = undefined;
  await new Promise((done) => {
    wentBack = () => done(undefined);
    history.back();
  });
}

/** Go on to a page from a layer, so that Back from there leads to the page below. @param {string} address */
export async function leaveTo(address) {
  await layerClosed();
  const link = document.createElement("a");
  link.href = address;
  document.body.append(link);
  link.click();
  link.remove();
}

// Said by the page's first script, which hears of the back key before the theme: the page below is as
// it was, and is not to be fetched anew.
document.addEventListener("gone-back", (event) => {
  const waiting = wentBack;
  const closing = close;
  if (!waiting && !closing) return;
  wentBack = undefined;
  close = undefined;
  event.preventDefault();
  document.dispatchEvent(new CustomEvent("layer-closed"));
  if (waiting) waiting();
  else closing?.();
});
