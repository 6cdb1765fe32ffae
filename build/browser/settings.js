// @ts-check
// My railroad: settings kept on this device, as texts by field name, used by every calculator.

const KEPT = "my-railroad";
const LONGEST = 20000;

/**
 * The settings kept on this device; a broken record counts as none, and is left alone.
 * @returns {Record<string, string>}
 */
export function railroadSettings() {
  try {
    const kept = JSON.parse(localStorage.getItem(KEPT) ?? "{}");
    if (!kept || typeof kept !== "object" || Array.isArray(kept)) return {};
    return Object.fromEntries(
      Object.entries(kept).filter(([, text]) => typeof text === "string" && text.trim()),
    );
  } catch {
    return {};
  }
}

/**
 * Keep settings on this device; returns whether the device took them.
 * @param {Record<string, string>} settings
 */
export function keepRailroadSettings(settings) {
  const text = JSON.stringify(settings);
  if (text.length > LONGEST) return false;
  try {
    localStorage.setItem(KEPT, text);
  } catch {
    return false;
  }
  document.dispatchEvent(new CustomEvent("railroad-settings"));
  return true;
}
