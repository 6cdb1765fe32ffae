// @ts-check
// Paper is light, whatever the screen is: while a page prints, the colors of the light theme count.

const LIGHT = "default";
/** @type {string | undefined} */
let onScreen;

addEventListener("beforeprint", () => {
  onScreen ??= document.body.dataset.mdColorScheme;
  document.body.dataset.mdColorScheme = LIGHT;
});
addEventListener("afterprint", () => {
  if (onScreen !== undefined) document.body.dataset.mdColorScheme = onScreen;
  onScreen = undefined;
});

export {};
