// @ts-check
// One answer, or one moment of a circuit, on one sheet: Python lays it out, this adds the code, the
// short address and the day, and lets the browser print that alone.

import { ask } from "./python-client.js";
import { codeOf } from "./qr-code.js";

/** @typedef {import("./sharing.js").Shared} Shared */

/**
 * @param {Record<string, unknown>} request what Python is asked for, but for its kind
 * @param {(query: string) => Shared} sharedFor
 */
export async function printSheet(request, sharedFor) {
  const reply = await ask({ ...request, kind: "sheet" }, { form: "paper" });
  if (reply.failed !== undefined) throw new Error(reply.failed);
  const holder = document.createElement("div");
  holder.className = "papers md-typeset";
  holder.innerHTML = reply.html;
  await addAddress(holder, sharedFor(reply.link));
  printAlone(holder);
}

/** Put code, address and day on every sheet in an element. @param {HTMLElement} holder @param {Shared} shared */
export async function addAddress(holder, shared) {
  const long = `${shared.page}${shared.query ? `?${shared.query}` : ""}`;
  const made = shared.subject
    ? await ask({ kind: "short", do: "make", subject: shared.subject, query: shared.query }, { form: "paper" })
    : {};
  const address = made.short ? `${shared.page}?z=${made.short}` : long;
  for (const place of holder.querySelectorAll(".paper-code")) {
    place.replaceChildren(await codeOf(address, "The same on a screen"));
  }
  for (const place of holder.querySelectorAll(".paper-address")) place.textContent = `${address} `;
  const day = new Intl.DateTimeFormat("en-US", { dateStyle: "long" }).format(new Date());
  for (const place of holder.querySelectorAll(".paper-day")) place.textContent = `Printed ${day}.`;
}

/** Print an element alone; afterwards the page is as it was. @param {HTMLElement} holder */
export function printAlone(holder) {
  document.querySelector(".papers")?.remove();
  document.body.append(holder);
  document.documentElement.dataset.paper = "yes";
  const end = () => {
    holder.remove();
    delete document.documentElement.dataset.paper;
  };
  addEventListener("afterprint", end, { once: true });
  window.print();
}
