// @ts-check
// What the tool says wherever pressure is coded; the words come with the page.

import { pageData } from "../shared/dom.js";

/** @type {string[]} */
export const CAUTIONS = pageData()?.cautions ?? [];
