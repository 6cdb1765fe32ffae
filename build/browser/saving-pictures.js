// @ts-check
// A drawing of the page as a file: SVG with its style written into it, or PNG made of that. On paper
// and in slides the light colors count, whatever the screen shows.

import { saveBlob, saveText } from "./saving.js";

const SVG = "http://www.w3.org/2000/svg";
const WRITTEN = [
  "fill",
  "fill-opacity",
  "stroke",
  "stroke-width",
  "stroke-dasharray",
  "stroke-linecap",
  "stroke-opacity",
  "opacity",
  "font-family",
  "font-size",
  "font-weight",
  "text-anchor",
  "dominant-baseline",
  "display",
  "visibility",
];
/** Points of a PNG to each of the drawing. */
const FINE = 2;

/** @param {SVGSVGElement} drawn */
function standalone(drawn) {
  const { body } = document;
  const scheme = body.dataset.mdColorScheme;
  body.dataset.mdColorScheme = "default";
  const copy = /** @type {SVGSVGElement} */ (drawn.cloneNode(true));
  const from = [drawn, ...drawn.querySelectorAll("*")];
  const to = [copy, ...copy.querySelectorAll("*")];
  from.forEach((one, place) => {
    const style = getComputedStyle(one);
    for (const name of WRITTEN) {
      const text = style.getPropertyValue(name);
      if (text) to[place].setAttribute(name, text);
    }
    to[place].removeAttribute("class");
  });
  if (scheme !== undefined) body.dataset.mdColorScheme = scheme;
  const { width, height } = drawn.viewBox.baseVal;
  copy.setAttribute("xmlns", SVG);
  copy.setAttribute("width", String(width));
  copy.setAttribute("height", String(height));
  const paper = document.createElementNS(SVG, "rect");
  const { x, y } = drawn.viewBox.baseVal;
  for (const [name, number] of Object.entries({ x, y, width, height })) paper.setAttribute(name, String(number));
  paper.setAttribute("fill", "#fff");
  copy.prepend(paper);
  return { text: new XMLSerializer().serializeToString(copy), width, height };
}

/** @param {SVGSVGElement[]} drawings @param {"svg" | "png"} kind @param {string} name without its ending */
export async function savePictures(drawings, kind, name) {
  for (const [number, drawn] of drawings.entries()) {
    const file = `${name}${drawings.length > 1 ? `-${number + 1}` : ""}.${kind}`;
    const { text, width, height } = standalone(drawn);
    if (kind === "svg") {
      saveText(text, file, "image/svg+xml");
      continue;
    }
    const image = new Image();
    image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(text)}`;
    await image.decode();
    const canvas = document.createElement("canvas");
    canvas.width = width * FINE;
    canvas.height = height * FINE;
    canvas.getContext("2d")?.drawImage(image, 0, 0, canvas.width, canvas.height);
    const blob = await new Promise((done) => canvas.toBlob(done, "image/png"));
    if (blob) saveBlob(blob, file);
  }
}
