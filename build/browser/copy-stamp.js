// @ts-check
// Which copy these scripts are of, by the folder they lie in; see build/generator/copy_stamp.py.

/** The copy's version; empty for scripts that no build has stamped. */
export const ours = /\/browser-([0-9a-f]{16})\//.exec(import.meta.url)?.[1] ?? "";
