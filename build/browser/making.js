// @ts-check
// Small helps to make parts of a page.

/** @param {string} tag @param {string} text */
export function withText(tag, text) {
  const made = document.createElement(tag);
  made.textContent = text;
  return made;
}

/**
 * @param {string} words
 * @param {() => unknown} [act]
 */
export function buttonWith(words, act) {
  const button = document.createElement("button");
  button.type = "button";
  button.textContent = words;
  if (act) button.addEventListener("click", act);
  return button;
}

/** A text that keeps its lines, and can be scrolled by keyboard. @param {string} text */
export function shownAsIs(text) {
  const made = withText("pre", text);
  made.tabIndex = 0;
  return made;
}

/** @param {HTMLElement[]} buttons */
export function toolsOf(...buttons) {
  const made = document.createElement("div");
  made.className = "tools";
  made.append(...buttons);
  return made;
}
