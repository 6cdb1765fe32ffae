// Runs one Python script inside the Python runtime for browsers, under Node.
//
// node run_inside.mjs JOB.json, where the job names the runtime's folder, the standard library's
// archive (empty for the runtime's own), the folders to mount by their path inside, and the script.
// The script finds what it is given in /given.json and leaves its result in /result.json.
// @ts-check
import { readFile, writeFile } from "node:fs/promises";
import { pathToFileURL } from "node:url";

const job = JSON.parse(await readFile(process.argv[2], "utf8"));
const { loadPyodide } = await import(pathToFileURL(`${job.runtime}/pyodide.mjs`).href);

const python = await loadPyodide({
  indexURL: job.runtime,
  ...(job.standardLibrary ? { stdLibURL: job.standardLibrary } : {}),
  env: {
    // The order of sets must not differ between two runs.
    PYTHONHASHSEED: "0",
    PYTHONDONTWRITEBYTECODE: "1",
    // The column of every operation is only good for showing source, which the page has not: a
    // quarter of the compressed size of what is compiled.
    PYTHONNODEBUGRANGES: "1",
  },
});
for (const [inside, outside] of Object.entries(job.folders)) {
  python.FS.mkdirTree(inside);
  python.mountNodeFS(inside, outside);
}
python.FS.writeFile("/given.json", JSON.stringify(job.given));
// Errors that leave Python go through modules of their own, which the page's worker needs too.
try {
  python.runPython("raise ValueError('tried on purpose')");
} catch {
  // That was the purpose.
}
python.runPython(await readFile(job.script, "utf8"));
const result = JSON.parse(python.FS.readFile("/result.json", { encoding: "utf8" }));
await writeFile(job.answer, JSON.stringify({ result, memory: python._module.HEAPU8.byteLength }));
