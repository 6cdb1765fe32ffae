// @ts-check
// What every page loads: the calculators, the state of the offline copy, and small helps. Each comes
// by itself, so that one that cannot be had takes no other along.

const parts = [
  import("./calculator.js"),
  import("./circuit.js"),
  import("./railroad.js"),
  import("./pocket-card.js"),
  import("./finding-series.js"),
  import("./time-keeper.js"),
  import("./offline.js"),
  import("./news.js"),
  import("./expand.js"),
  import("./groups.js"),
  import("./list-builder.js"),
  import("./page-figures.js"),
  import("./report.js"),
  import("./reports.js"),
  import("./sections.js"),
  import("./train-picture.js"),
  import("./home.js"),
  import("./list-filter.js"),
  import("./menu.js"),
  import("./lessons.js"),
  import("./night.js"),
  import("./when-there.js"),
  import("./search.js"),
  import("./study.js"),
  import("./study-kept.js"),
  import("./ask-first.js"),
];

// The watch in the page's head hears of a failed script tag, but not of these.
Promise.all(parts).catch(() => window.dispatchEvent(new Event("part-missing")));
