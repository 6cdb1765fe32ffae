// @ts-check
// What every page loads: the calculators, the state of the offline copy, and small helps.

import "./calculator.js";
import "./expand.js";
import "./offline.js";
import "./sections.js";
import { makeLabelsOperable } from "./keyboard.js";

makeLabelsOperable();
