// Unpacks, by the browser's own script, what stands line by line in the input, and says what comes.
//
// node unpack.mjs UNPACKING.js; a line is {size, parts: [base64]}, its answer base64 or {error}.
import { createInterface } from "node:readline";
import { pathToFileURL } from "node:url";

const { unpacker } = await import(pathToFileURL(process.argv[2]).href);

for await (const line of createInterface({ input: process.stdin })) {
  const { size, parts } = JSON.parse(line);
  try {
    const { take, whole } = unpacker(size);
    const came = parts.map((part) => Buffer.from(take(new Uint8Array(Buffer.from(part, "base64")))));
    came.push(Buffer.from(take(null)));
    const joined = Buffer.concat(came);
    const fits = joined.equals(Buffer.from(whole));
    console.log(JSON.stringify(fits ? joined.toString("base64") : { error: "two results" }));
  } catch (error) {
    console.log(JSON.stringify({ error: error.name }));
  }
}
