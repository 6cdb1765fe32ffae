// @ts-check
// A text as a code that a camera reads: level M, four modules of quiet around, black on white in
// every theme.

const QUIET = 4;
const SVG = "http://www.w3.org/2000/svg";
/** On the screen; a narrow window makes it smaller. */
const PIXELS = 5;

/**
 * @param {string} text
 * @param {string} words what the code holds, for who cannot see it
 * @returns {Promise<SVGSVGElement>}
 */
export async function codeOf(text, words) {
  const { encode } = await import(new URL("uqr.js", import.meta.url).href);
  const { data, size } = encode(text, { ecc: "M", border: QUIET, boostEcc: false });
  /** @type {string[]} */
  const runs = [];
  data.forEach((/** @type {boolean[]} */ row, /** @type {number} */ y) => {
    for (let x = 0; x < size; x += 1) {
      if (!row[x]) continue;
      const from = x;
      while (x + 1 < size && row[x + 1]) x += 1;
      runs.push(`M${from} ${y}h${x + 1 - from}v1H${from}z`);
    }
  });
  const made = part("svg", {
    viewBox: `0 0 ${size} ${size}`,
    role: "img",
    class: "code",
    "shape-rendering": "crispEdges",
    width: String(size * PIXELS),
    height: String(size * PIXELS),
  });
  const title = part("title", {});
  title.textContent = words;
  made.append(
    title,
    part("rect", { width: String(size), height: String(size), fill: "#fff" }),
    part("path", { d: runs.join(""), fill: "#000" }),
  );
  return /** @type {SVGSVGElement} */ (made);
}

/** @param {string} name @param {Record<string, string>} attributes */
function part(name, attributes) {
  const made = document.createElementNS(SVG, name);
  for (const [key, text] of Object.entries(attributes)) made.setAttribute(key, text);
  return made;
}
