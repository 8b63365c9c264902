// @ts-check
// What axe-core finds wrong on a page, with everything that folds opened.
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";

const axe = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

/** In words, a line for each violation. @param {import("playwright-core").Page} page @returns {Promise<string[]>} */
export async function violations(page) {
  await page.evaluate(() => { for (const fold of document.querySelectorAll("details")) fold.open = true; });
  // As a part of the tests, not of the page: its policy lets no other script in.
  await page.evaluate(axe);
  return page.evaluate(async () => {
    const { axe } = /** @type {any} */ (globalThis);
    const found = await axe.run(document, { resultTypes: ["violations"] });
    return found.violations.flatMap((/** @type {any} */ rule) =>
      rule.nodes.map((/** @type {any} */ node) => `${rule.id}: ${node.target.join(" ")}: ${node.failureSummary.replace(/\s+/g, " ")}`));
  });
}
