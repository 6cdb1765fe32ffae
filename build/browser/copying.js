// @ts-check
// Copying a text to the clipboard, and what to do where a browser does not let a page do so.

const SHOWN = 2500;

/**
 * Copy a text and say so on the button; where that is refused, show the text to copy by hand.
 * @param {string} text
 * @param {HTMLElement} button
 */
export async function copyText(text, button) {
  try {
    await navigator.clipboard.writeText(text);
  } catch {
    showForHand(text, button);
    return;
  }
  // A second tap while it says "Copied" must not take that for the button's own words.
  const words = button.dataset.words ?? button.textContent ?? "";
  button.dataset.words = words;
  button.textContent = "Copied";
  setTimeout(() => {
    button.textContent = words;
  }, SHOWN);
}

/**
 * @param {string} text
 * @param {HTMLElement} button
 */
function showForHand(text, button) {
  const parent = button.parentElement;
  if (!parent) return;
  parent.querySelector(".by-hand")?.remove();
  const label = document.createElement("label");
  label.className = "by-hand";
  label.textContent = "Copy this by hand: ";
  const box = document.createElement("textarea");
  box.readOnly = true;
  box.value = text;
  box.rows = 3;
  label.append(box);
  parent.append(label);
  box.select();
}
