// @ts-check
// What every page loads: the calculators, the state of the offline copy, and small helps.

import "./calculator.js";
import "./circuit.js";
import "./expand.js";
import "./list-builder.js";
import "./offline.js";
import "./pocket-card.js";
import "./printing.js";
import "./railroad.js";
import "./report.js";
import "./reports.js";
import "./sections.js";
import "./train-picture.js";
import { makeLabelsOperable } from "./keyboard.js";

makeLabelsOperable();
