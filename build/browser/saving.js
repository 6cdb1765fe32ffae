// @ts-check
// Saving a text as a file on the device; nothing leaves it.

/**
 * @param {string} text
 * @param {string} name the file's name
 * @param {string} [type]
 */
export function saveText(text, name, type = "text/plain") {
  saveBlob(new Blob([text], { type }), name);
}

/** @param {Blob} blob @param {string} name the file's name */
export function saveBlob(blob, name) {
  const address = URL.createObjectURL(blob);
  const link = document.createElement("a");
  link.href = address;
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  // The browser may begin to read only after this turn.
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
