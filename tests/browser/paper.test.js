// @ts-check
// Papers are read as a reader of PDF would: the words, the numbers, one sheet where one is promised.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { getDocument } from "pdfjs-dist/legacy/build/pdf.mjs";
import { Program } from "./program.js";

/** @type {Program} */
let program;
before(async () => { program = await Program.start("demo"); });
after(() => program.end());

/** The text of every sheet of a paper.
 *  @param {string} path @returns {Promise<string[]>} */
async function sheets(path) {
  const answer = await fetch(new URL(path, program.address));
  assert.equal(answer.status, 200, path);
  assert.equal(answer.headers.get("content-type"), "application/pdf");
  const data = new Uint8Array(await answer.arrayBuffer());
  const pdf = await getDocument({ data, verbosity: 0 }).promise;
  const texts = [];
  for (let number = 1; number <= pdf.numPages; number += 1) {
    const content = await (await pdf.getPage(number)).getTextContent();
    texts.push(content.items.map((item) => ("str" in item ? item.str : "")).join(" ").replace(/\s+/g, " "));
  }
  return texts;
}

test("the page for the meeting is one sheet with the change, the loads and their doubt", async () => {
  const [sheet, ...more] = await sheets("/paper/athlete/A04");
  assert.equal(more.length, 0, "one sheet");
  assert.match(sheet, /Ikembe Larrowdun/);
  assert.match(sheet, /In the loaded jump use \d+ to \d+ kg/);
  assert.match(sheet, /invented/);
  // Words inside the pictures are text too: the axes name quantity and unit.
  // The letters of a picture are placed one by one, so the spaces between them say nothing.
  const letters = sheet.replaceAll(" ", "");
  assert.match(letters, /momentum,kgm\/s/);
  assert.match(letters, /changeofjumpheight,cm/);
});

test("a paper says what is barred, never why", async () => {
  const [sheet] = await sheets("/paper/athlete/N01");
  assert.match(sheet, /Caution\. No training until cleared/);
  assert.doesNotMatch(sheet, /blow|head|concussion|stopp/i);
});

test("the squad stands on one sheet with everybody on it", async () => {
  const all = await sheets("/paper/squad");
  assert.equal(all.length, 1);
  for (const name of ["Oriel Tamsquith", "Bram Oldershank", "Perrin Sundermark"]) {
    assert.ok(all[0].includes(name), name);
  }
});

test("a paper for nobody is a sentence", async () => {
  const answer = await fetch(new URL("/paper/athlete/Z99", program.address));
  assert.equal(answer.status, 404);
  assert.match(await answer.text(), /no athlete/);
});
