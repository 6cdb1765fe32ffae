// Asks the page's own ranking: questions as JSON on the standard input, results in reading order out.

import { readFile } from "node:fs/promises";
import { pathToFileURL } from "node:url";

const [ranking, indexFile] = process.argv.slice(2);
const { prepare, search } = await import(pathToFileURL(ranking).href);
const index = prepare(JSON.parse(await readFile(indexFile, "utf8")));
let input = "";
for await (const part of process.stdin) input += part;
const answers = JSON.parse(input).map((query) => {
  const { close, further } = search(index, query);
  return [...close, ...further].flatMap(({ kind, found }) =>
    found.map(({ entry, score, section }) => ({ kind, location: entry.location, title: entry.title, score, section })),
  );
});
process.stdout.write(JSON.stringify(answers));
