// @ts-check
// Papers are read as a reader of PDF would: the words, the numbers, one sheet where one is promised.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Program } from "./program.js";
import { sheets } from "./sheets.js";

/** @type {Program} */
let program;
before(async () => { program = await Program.start("demo"); });
after(() => program.end());

/** @param {string} path */
const read = (path) => sheets(program.address, path);

test("the page for the meeting is one sheet with the change, the loads and their doubt", async () => {
  const [sheet, ...more] = await read("/paper/athlete/A04");
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
  const [sheet] = await read("/paper/athlete/N01");
  assert.match(sheet, /Caution\. No training until a doctor clears/);
  assert.doesNotMatch(sheet, /blow|head|concussion|stopp/i);
});

test("the squad stands on one sheet with everybody on it", async () => {
  const all = await read("/paper/squad");
  assert.equal(all.length, 1);
  for (const name of ["Oriel Tamsquith", "Bram Oldershank", "Perrin Sundermark"]) {
    assert.ok(all[0].includes(name), name);
  }
});

test("the sheets of the floor end with who goes where when, on one sheet", async () => {
  const all = await read("/paper/floor/2026-09-26-power-short");
  const last = all.at(-1) ?? "";
  assert.match(last, /Who goes where when/);
  // The picture sets its letters one by one.
  assert.match(last.replace(/\s/g, ""), /\d+changes\(A–Z\d+\)/);
  assert.equal(all.filter((sheet) => /Who goes where when/.test(sheet)).length, 1);
});

test("a paper for nobody is a sentence", async () => {
  const answer = await fetch(new URL("/paper/athlete/Z99", program.address));
  assert.equal(answer.status, 404);
  assert.match(await answer.text(), /no athlete/);
});

test("everything of an athlete reads as tables, and body mass goes along only when asked for", async () => {
  const all = (await read("/people/A04/everything.pdf?mass=yes")).join(" ");
  for (const title of ["Bouts", "Bests", "Tests and jumps outside a session", "Body mass", "Sessions closed", "Reps in sessions", "Recordings"]) {
    assert.ok(all.includes(title), title);
  }
  assert.match(all, /Harbour Open/);
  assert.match(all, /23 Sep 2026 Countermovement jump, hands on hips 3 43\.1 cm 43\.9 cm/);
  assert.match(all, /12 Aug 2026 Landmine punch throw, standing lead hand 30\.0 kg 2\.43, 2\.57, 2\.35 m\/s/);
  const without = (await read("/people/A04/everything.pdf")).join(" ");
  assert.doesNotMatch(without, /Body mass \d|day kg/);
  assert.match(without, /Body mass is left out/);
});

test("what a restriction is for stays with the medical people, on this paper too", async () => {
  const all = (await read("/people/A05/everything.pdf")).join(" ");
  assert.match(all, /Restrictions in force No hang power clean before 27 September 2026: right hand, physio.s word\. Instead/);
  assert.doesNotMatch(all, /sprain/);
  assert.equal((await fetch(new URL("/people/Z99/everything.pdf", program.address))).status, 404);
});
