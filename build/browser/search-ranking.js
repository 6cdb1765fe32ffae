// @ts-check
// Finds and ranks entries of the search index. It knows words, not the trade: what means what comes
// with the index. Runs in the page and, for the tests, in Node.

/**
 * @typedef {"answer" | "limit" | "part" | "word"} Kind
 *
 * @typedef {object} Entry one page, limit or word, as the build wrote it
 * @property {string} location
 * @property {Kind} kind
 * @property {string} title
 * @property {string} says
 * @property {string[]} [also] other names by which people ask for it
 * @property {[anchor: string, heading: string, words: string][]} [sections]
 *
 * @typedef {object} Found
 * @property {Entry} entry
 * @property {number} score
 * @property {[anchor: string, heading: string] | null} section the one that answers best, if not the whole
 *
 * @typedef {{ kind: Kind, found: Found[] }} Group
 *
 * @typedef {object} Prepared
 * @property {Entry} entry
 * @property {Name} title
 * @property {string} bare the title without what tells it apart, "Bail-off (circuit)"
 * @property {Words} says
 * @property {Name[]} also
 * @property {{ heading: Words, words: Words }[]} sections
 *
 * @typedef {{ stems: Set<string>, whole: Set<string> }} Words
 * @typedef {Words & { plain: string, alike: string }} Name
 *
 * @typedef {object} Index
 * @property {Prepared[]} entries
 * @property {Map<string, number>} spread in how many entries a stem stands
 * @property {string[]} vocabulary
 * @property {Reading} reading how texts are taken apart
 *
 * @typedef {object} Reading
 * @property {Set<string>} common words that no question turns on
 * @property {Map<string, string>} same words written in several ways, by each of them
 */

/** @type {Kind[]} */
export const KINDS = ["answer", "limit", "part", "word"];
const TITLE = 12;
const ALSO = 10;
const HEADING = 5;
const SAYS = 4;
const WORDS = 1.5;
/** What is only the beginning of a word counts for less. */
const BEGUN = 0.6;
/** Below this share of the best score a result is no close one. */
const CLOSE = 0.4;
/** Added where the question is the whole name, but for its spelling and number. */
const NAMED = 1000;
const ALSO_NAMED = 500;
/** Added where a title begins with the whole question. */
const TITLE_BEGINS = 300;
/** Where the question is the whole name but for the endings of its words. */
const ALIKE = 1.6;
/** Where the question holds a whole name of several words. */
const WITHIN = 1.8;
/** A word with another ending, where it is not the very word. */
const OTHER_ENDING = 0.8;
/** Where nothing else decides, an answer comes before a limit, a part, a word. @type {Record<Kind, number>} */
const LEAN = { answer: 1.06, limit: 1.04, part: 1.02, word: 1 };

/**
 * @param {{ common: string[], same: string[][], docs: Entry[] }} built the index as the build wrote it
 * @returns {Index}
 */
export function prepare({ common, same, docs }) {
  const reading = {
    common: new Set(common),
    same: new Map(same.flatMap(([first, ...others]) => others.map((other) => [other, first]))),
  };
  const entries = docs.map((doc) => prepared(doc, reading));
  /** @type {Map<string, number>} */
  const spread = new Map();
  for (const { title, says, also, sections } of entries) {
    const all = [title, says, ...also, ...sections.flatMap(({ heading, words }) => [heading, words])];
    for (const stem of new Set(all.flatMap(({ stems }) => [...stems]))) {
      spread.set(stem, (spread.get(stem) ?? 0) + 1);
    }
  }
  return { entries, spread, vocabulary: [...spread.keys()], reading };
}

/**
 * Close results in groups, the group with the best result first, and the others behind them.
 * @param {Index} index
 * @param {string} query as typed
 * @returns {{ close: Group[], further: Group[], count: number }}
 */
export function search(index, query) {
  const found = ranked(index, query);
  const best = found[0]?.score ?? 0;
  const close = found.filter(({ score }) => score >= best * CLOSE);
  return {
    close: grouped(close),
    further: grouped(found.slice(close.length)),
    count: found.length,
  };
}

/** @param {Found[]} found best first @returns {Group[]} */
function grouped(found) {
  /** @type {Map<Kind, Found[]>} */
  const groups = new Map();
  for (const one of found) {
    const { kind } = one.entry;
    groups.set(kind, [...(groups.get(kind) ?? []), one]);
  }
  return [...groups].map(([kind, members]) => ({ kind, found: members }));
}

/** @param {Index} index @param {string} query @returns {Found[]} */
export function ranked(index, query) {
  const asked = nameOf(query, index.reading);
  const telling = tellingOf(query, index.reading);
  const terms = telling.map((word, place) => ({
    word,
    stem: stemOf(word),
    // The last word may still be under way.
    begun: place === telling.length - 1 && word.length > 1 && !/\s$/.test(query) ? word : "",
  }));
  if (!terms.length) return [];
  const meant = terms.map((term) => nearest(index, term));
  const found = [];
  for (const entry of index.entries) {
    const one = scored(index, entry, meant, asked);
    if (one) found.push(one);
  }
  return found.sort(
    (a, b) =>
      b.score - a.score ||
      KINDS.indexOf(a.entry.kind) - KINDS.indexOf(b.entry.kind) ||
      a.entry.title.localeCompare(b.entry.title),
  );
}

/** @typedef {{ word: string, stem: string, begun: string }} Term */

/**
 * @param {Index} index
 * @param {Prepared} prepared
 * @param {Term[]} terms
 * @param {Name} asked
 * @returns {Found | null}
 */
function scored(index, { entry, title, bare, says, also, sections }, terms, asked) {
  let sum = 0;
  let met = 0;
  let needed = 0;
  /** @type {number[]} */
  const inSections = sections.map(() => 0);
  for (const term of terms) {
    const weight = Math.log(1 + index.entries.length / (index.spread.get(term.stem) ?? 1));
    const whole = Math.max(
      TITLE * share(title, term),
      ALSO * Math.max(0, ...also.map((name) => share(name, term))),
      SAYS * strength(says, term),
    );
    let inside = 0;
    sections.forEach(({ heading, words }, number) => {
      const here = Math.max(HEADING * share(heading, term), WORDS * strength(words, term));
      inSections[number] += here * weight;
      inside = Math.max(inside, here);
    });
    const best = Math.max(whole, inside);
    // What stands in the title and in the text too is a little more about it.
    sum += (best + 0.1 * Math.min(whole, inside)) * weight;
    // A figure is asked about, and may stand nowhere: "14 off", "100 cars".
    if (/^\d/.test(term.word) && best === 0) continue;
    needed += 1;
    if (best > 0) met += 1;
  }
  if (met === 0 || met * 2 < needed) return null;
  let score = sum * (met / needed) ** 3 * LEAN[entry.kind];
  if ([title, ...also].some((name) => name.stems.size > 1 && [...name.stems].every((stem) => asked.stems.has(stem)))) {
    score *= WITHIN;
  }
  if (title.alike === asked.alike || also.some((name) => name.alike === asked.alike)) score *= ALIKE;
  if (title.plain === asked.plain || bare === asked.plain) score += NAMED;
  else if (also.some((name) => name.plain === asked.plain)) score += ALSO_NAMED;
  else if (title.plain.startsWith(`${asked.plain} `)) score += TITLE_BEGINS;
  return { entry, score, section: score >= ALSO_NAMED ? null : bestSection(entry, inSections, sum) };
}

/**
 * @param {Entry} entry
 * @param {number[]} scores
 * @param {number} whole
 * @returns {[string, string] | null}
 */
function bestSection(entry, scores, whole) {
  const best = Math.max(0, ...scores);
  if (best < whole * 0.5) return null;
  const [anchor, heading] = entry.sections?.[scores.indexOf(best)] ?? ["", ""];
  return anchor ? [anchor, heading] : null;
}

/**
 * How much of a name the term is: a short name says more by each of its words.
 * @param {Words} name
 * @param {Term} term
 */
function share(name, term) {
  const found = strength(name, term);
  return found && found * (0.55 + 0.45 / name.stems.size);
}

/** @param {Words} words @param {Term} term */
function strength({ whole, stems }, { word, stem, begun }) {
  if (whole.has(word)) return 1;
  if (stems.has(stem)) return OTHER_ENDING;
  if (begun) for (const one of whole) if (one.startsWith(begun)) return BEGUN;
  return 0;
}

/**
 * The term, or the known word that it is most like, where nothing is written like it.
 * @param {Index} index
 * @param {Term} term
 * @returns {Term}
 */
function nearest({ spread, vocabulary }, term) {
  const { stem, begun } = term;
  if (/\d/.test(stem) || stem.length < 4 || spread.has(stem)) return term;
  if (begun && vocabulary.some((word) => word.startsWith(begun))) return term;
  const allowed = stem.length < 8 ? 1 : 2;
  let best = "";
  let least = allowed + 1;
  for (const word of vocabulary) {
    if (word[0] !== stem[0] || Math.abs(word.length - stem.length) > allowed) continue;
    const apart = distance(word, stem, allowed);
    if (apart < least || (apart === least && (spread.get(word) ?? 0) > (spread.get(best) ?? 0))) {
      least = apart;
      best = word;
    }
  }
  return least <= allowed ? { word: best, stem: best, begun: "" } : term;
}

/**
 * How many letters must be changed, added, taken out or swapped with their neighbor.
 * @param {string} one @param {string} two @param {number} atMost
 */
function distance(one, two, atMost) {
  /** @type {number[]} */
  let before = [];
  let last = Array.from({ length: two.length + 1 }, (_, place) => place);
  for (let i = 1; i <= one.length; i += 1) {
    const row = [i];
    for (let j = 1; j <= two.length; j += 1) {
      const same = one[i - 1] === two[j - 1] ? 0 : 1;
      row[j] = Math.min(last[j] + 1, row[j - 1] + 1, last[j - 1] + same);
      if (i > 1 && j > 1 && one[i - 1] === two[j - 2] && one[i - 2] === two[j - 1]) {
        row[j] = Math.min(row[j], before[j - 2] + 1);
      }
    }
    if (Math.min(...row) > atMost) return atMost + 1;
    before = last;
    last = row;
  }
  return last[two.length];
}

/** @param {Entry} entry @param {Reading} reading @returns {Prepared} */
function prepared(entry, reading) {
  return {
    entry,
    title: nameOf(entry.title, reading),
    bare: wordsOf(entry.title.replace(/ \([^)]*\)$/, ""), reading).join(" "),
    says: termsOf(entry.says, reading),
    also: (entry.also ?? []).map((name) => nameOf(name, reading)),
    sections: (entry.sections ?? []).map(([, heading, words]) => ({
      heading: termsOf(heading, reading),
      words: termsOf(words, reading),
    })),
  };
}

/** @param {string} text @param {Reading} reading @returns {Name} */
function nameOf(text, reading) {
  const telling = tellingOf(text, reading);
  return {
    ...termsOf(text, reading),
    plain: wordsOf(text, reading).join(" "),
    alike: telling.map(stemOf).join(" "),
  };
}

/** @param {string} text @param {Reading} reading @returns {Words} */
function termsOf(text, reading) {
  const telling = tellingOf(text, reading);
  return { whole: new Set(telling), stems: new Set(telling.map(stemOf)) };
}

/** The words that count; all, if every one is common. @param {string} text @param {Reading} reading */
function tellingOf(text, reading) {
  const words = wordsOf(text, reading);
  const telling = words.filter((word) => !reading.common.has(word));
  return telling.length ? telling : words;
}

/**
 * The words of a text, in small letters, spelled the American way and in the singular.
 * @param {string} text @param {Reading} reading
 */
function wordsOf(text, { same }) {
  const simple = text
    .toLowerCase()
    .normalize("NFKD")
    .replace(/[\u0300-\u036f'’]/g, "");
  const words = simple.match(/\p{L}+|\p{N}+(?:\.\p{N}+)*/gu) ?? [];
  return words.map((word) => same.get(word) ?? spelled(word)).map((word) => same.get(word) ?? word);
}

/** @param {string} word */
function spelled(word) {
  if (word.length < 4) return word;
  const american = word
    .replace(/is(e|ed|es|er|ers|ing|ation|ations)$/, "iz$1")
    .replace(/([^aeo])our(s?)$/, "$1or$2")
    .replace(/([bt])re(s?)$/, "$1er$2");
  if (american.endsWith("ies")) return `${american.slice(0, -3)}y`;
  return /[^siu]s$/.test(american) ? american.slice(0, -1) : american;
}

/**
 * What is left of a word without its ending.
 * @param {string} word as `wordsOf` gives it
 */
export function stemOf(word) {
  if (word.length < 4) return word;
  const bare = word
    .replace(/ization$/, "iz")
    .replace(/at(?:e|ed|ing|ion|or)$/, "at")
    .replace(/(?:ing|ed|er|or|age)$/, "");
  const cut = bare.length >= 3 && /[aeiouy]/.test(bare) ? bare : word;
  const single = cut.replace(/([bdfgmnprt])\1$/, "$1");
  return single.length > 3 ? single.replace(/e$/, "") : single;
}
