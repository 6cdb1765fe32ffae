// Schedules histories of answers with another implementation of the same published algorithm.
// Histories as JSON on the standard input: [[rating, days until the next], ...]; due days, stability and difficulty out.

import { pathToFileURL } from "node:url";

const { createEmptyCard, fsrs, generatorParameters } = await import(pathToFileURL(process.argv[2]).href);
const scheduler = fsrs(generatorParameters({ enable_fuzz: false }));
let input = "";
for await (const part of process.stdin) input += part;
const DAY = 86_400_000;
const answers = JSON.parse(input).map((history) => {
  let now = Date.UTC(2026, 0, 1, 12);
  let card = createEmptyCard(new Date(now));
  return history.map(([rating, wait]) => {
    card = scheduler.next(card, new Date(now), rating).card;
    const due = (card.due.getTime() - now) / DAY;
    now += wait * DAY;
    return [due, card.stability, card.difficulty];
  });
});
process.stdout.write(JSON.stringify(answers));
