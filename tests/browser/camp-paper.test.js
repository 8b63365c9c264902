// @ts-check
// The papers of a camp, read as a reader of PDF would: one sheet each, with what is due.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { Program } from "./program.js";
import { sheets } from "./sheets.js";

/** @type {Program} */ let program;
before(async () => { program = await Program.start("demo"); });
after(() => program.end());

test("a camp is one sheet: today, weeks, tests, sparring, scales, the bout", async () => {
  const [sheet, ...more] = await sheets(program.address, "/paper/camp/lanternlight-fight-night");
  assert.equal(more.length, 0, "one sheet");
  assert.match(sheet, /Lanternlight Fight Night/);
  assert.match(sheet, /59 days to the bout, strength day 24 of 35\./);
  assert.match(sheet, /Sat 21 Nov 2026 · first bell 19:00 at the venue \(Asia\/Dubai\) · 8 x 3 minutes/);
  // 9 November is the Monday of the taper: a test day, 12 days before the bout; sparring ends then.
  assert.match(sheet, /9 Nov 12 taper test sparring sparring check travel/);
  assert.match(sheet, /16 Nov 5 taper, recovery travel weigh-in BOUT/);
  // Dubai keeps UTC+4 all the year; London in November is at UTC.
  assert.match(sheet, /Arrives Mon 16 Nov 08:10 at the venue \(04:10 at the gym\), after 7 h 10 min\./);
  // 72.57 kg and 5 % on top, a fortnight before.
  assert.match(sheet, /Desmer Okonquill 72\.57 kg \(160 lb\) Fri 20 Nov .*7 Nov at most 76\.20 kg \(168 lb\)/);
  // The letters of a picture are placed one by one.
  const letters = sheet.replaceAll(" ", "");
  for (const word of ["strength-speed", "recovery", "check-weight", "today"]) assert.ok(letters.includes(word), word);
});

test("a tournament is one sheet with each of its days", async () => {
  const [sheet, ...more] = await sheets(program.address, "/paper/camp/harbour-open");
  assert.equal(more.length, 0, "one sheet");
  assert.match(sheet, /Sat 17 Oct 2026, 18 Oct, 24 Oct, 25 Oct/);
  assert.equal(sheet.match(/BOUT/g)?.length, 4);
});

test("the page to hand over says what was planned, done and changed", async () => {
  const [sheet, ...more] = await sheets(program.address, "/paper/hand-over/A04");
  assert.equal(more.length, 0, "one sheet");
  assert.match(sheet, /Hand-over: Ikembe Larrowdun/);
  assert.match(sheet, /10 August to 23 September 2026/);
  assert.match(sheet, /Camp for Harbour Open on 17 October: strength from 10 August, power from 14 September/);
  assert.match(sheet, /2 test days planned, 2 done: /);
  assert.match(sheet, /Open sparring was planned on \d+ days; \d+ are on record\./);
  assert.match(sheet, /Loaded jump with the hex bar 30 to 50 kg/);
});

test("a hand-over names what is barred, never why, and a paper for nobody is a sentence", async () => {
  const [sheet] = await sheets(program.address, "/paper/hand-over/N01");
  assert.match(sheet, /What to avoid Caution\. No .* until a .*doctor clears/);
  assert.doesNotMatch(sheet, /blow|head|concussion|stopp/i);
  for (const path of ["/paper/hand-over/Z99", "/paper/camp/nowhere"]) {
    const answer = await fetch(new URL(path, program.address));
    assert.equal(answer.status, 404);
    assert.match(await answer.text(), /There is no/);
  }
});
