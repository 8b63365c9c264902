// @ts-check
// A whole session on two pages: the tablet at a station, and the television that must show it.
import assert from "node:assert/strict";
import { after, afterEach, before, test } from "node:test";
import { becomes, browser as launch, device, record, Station, until } from "./device.js";
import { Program } from "./program.js";

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("playwright-core").BrowserContext} */ let tablet;
/** @type {import("playwright-core").Page} */ let wall;

before(async () => {
  program = await Program.start();
  browser = await launch();
  tablet = await device(browser);
  wall = await (await device(browser, { viewport: { width: 1920, height: 1080 } })).newPage();
  await wall.goto(`${program.address}/wall`);
});
after(async () => { await browser?.close(); await program?.end(); });
// In a browser without windows every page counts as seen and holds a connection, of which there
// are six.
afterEach(() => Promise.all(tablet.pages().map((page) => page.close())));

/** What the television shows of a station: "Oriel 31.2cm ○ first".
 *  @param {number} number @param {string} part */
const onWall = async (number, part) =>
  (await wall.locator(`section[aria-label="Station ${number}"] ${part}`).textContent() ?? "").replace(/\s+/g, " ").trim();

test("a rep typed at a station is judged there and on the wall", async (t) => {
  const station = await Station.open(tablet, program.address, 1);
  assert.equal(await station.up(), "Oriel");
  assert.equal(await station.done(), 0);
  await station.type("31.2");
  const typed = performance.now();
  await becomes(() => onWall(1, ".number"), "31.2cm");
  t.diagnostic(`on the wall ${(performance.now() - typed).toFixed(0)} ms after Enter`);
  await becomes(() => station.shown(), "31.2cm");
  // The best from this box so far was 33.9 cm.
  assert.match(await station.judgement(), /^\S \D+ −2\.7$/);
  assert.equal(await onWall(1, ".judgement"), await station.judgement());
  assert.equal(await station.done(), 1);
});

test("the pad's keys type a number, delete a digit and send it", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.page.click('[data-key="3"]');
  await station.page.click('[data-key="9"]');
  await station.page.click('[data-key="back"]');
  await station.tap("2.5");
  await becomes(() => station.shown(), "32.5cm");
  await becomes(() => onWall(1, ".number"), "32.5cm");
  assert.equal(await station.page.inputValue("#typed"), "", "the field is ready for the next rep");
});

test("a comma is as good as a point", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.rep("31,8", "31.8cm");
});

test("undo takes the last rep back, on both pages", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.press("Undo 31.8 cm");
  await becomes(() => station.shown(), "32.5cm");
  await becomes(() => onWall(1, ".number"), "32.5cm");
  assert.deepEqual((await record(tablet, program.address, "A01", "Depth jump")).slice(0, 2), ["32.5 cm", "31.2 cm"]);
});

test("a number is corrected, and the rep keeps its story", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.unfold("mend");
  await station.page.fill('#mend input[name="text"]', "33.5");
  await station.press("Correct", "mend");
  await becomes(() => station.shown(), "33.5cm");
  await becomes(() => onWall(1, ".number"), "33.5cm");
  await station.page.click("#mend a:has-text('Its story')");
  await until(async () => /corrected at the rack/.test(await station.page.innerText("main")), "the reason in the story");
});

test("a rep is moved to the athlete who did it", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.press("Yevka", "mend");
  await until(async () => /^Yevka 33\.5 cm, /.test(await station.before()), "Yevka's, by name and small");
  await until(async () => /^Yevka 33\.5 cm, /.test(await onWall(1, ".before")), "the same on the wall");
  assert.equal(await station.shown(), "31.2cm", "Oriel's own last one stands large");
  assert.equal(await onWall(1, ".whose"), "Oriel");
  const [first] = await record(tablet, program.address, "N02", "Depth jump");
  assert.equal(first, "33.5 cm");
  assert.equal((await record(tablet, program.address, "A01", "Depth jump"))[0], "31.2 cm");
  assert.equal(await station.done(), 1, "one rep of Oriel's set is left");
});

test("a rep without a number counts for the set and for nothing else", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.press("Rep done, not measured");
  await becomes(() => station.shown(), "✓no number");
  assert.equal(await station.done(), 2);
  assert.equal((await record(tablet, program.address, "A01", "Depth jump"))[0], "no number");
});

test("a fault seen twice in a set brings a cue", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.rep("31.5");
  await station.press(/heels/i, "faults");
  await until(() => station.page.locator("#faults [aria-pressed=true]").isVisible(), "the fault is marked");
  assert.equal(await station.cue(), "", "once is no habit");
  await station.rep("31.9");
  await station.press(/heels/i, "faults");
  await until(async () => /^Say: “.+”$/.test(await station.cue()), "something to say");
});

test("closing the set calls up the next athlete", async () => {
  const station = await Station.open(tablet, program.address, 1);
  const before = await station.action();
  await station.press("Close set");
  await becomes(() => station.up(), "Yevka");
  await becomes(() => onWall(1, "h2"), "Yevka");
  // The rep moved to Yevka is the one rep of Yevka's set: nothing of Oriel's stands large.
  assert.equal(await station.shown(), "33.5cm");
  assert.equal(await station.whose(), "Yevka");
  assert.match(await station.before(), /^Oriel 31\.9 cm, /);
  assert.match(await onWall(1, ".before"), /^Oriel 31\.9 cm, /);
  await station.press("Undo set of Oriel closed");
  await becomes(() => station.up(), "Oriel");
  assert.equal(await station.action(), before, "the set goes on where it stood");
  await station.press("Yevka", "turn");
  await becomes(() => station.up(), "Yevka");
});

test("a load is hung and a box is set", async () => {
  const lift = await Station.open(tablet, program.address, 2);
  assert.match(await lift.load(), /^15\.0 kg/);
  await lift.unfold("load");
  await lift.page.selectOption('#load select[name="load"]', { value: "landmine-heavy:20000" });
  await lift.press("Hang it", "load");
  await until(async () => /^20\.0 kg/.test(await lift.load()), "20 kg hang");
  await until(async () => /^20\.0 kg/.test(await onWall(2, ".load")), "20 kg on the wall");

  const jump = await Station.open(tablet, program.address, 1);
  await jump.press("40 cm", "box");
  await becomes(() => jump.load(), "box 40 cm");
  await becomes(() => onWall(1, ".load"), "box 40 cm");
});

test("sides are kept apart: the hand is chosen for the coach, changed with one tap", async () => {
  const station = await Station.open(tablet, program.address, 2);
  const side = () => station.page.locator(".sides input:checked").inputValue();
  assert.equal(await side(), "rear");
  for (const speed of ["2.71", "2.75", "2.68"]) await station.rep(speed, `${speed}m/s`);
  await becomes(side, "lead", "after three of the rear hand");
  assert.equal(await station.whose(), "Zofka, rear hand", "the number keeps the hand that made it");
  assert.equal(await onWall(2, ".whose"), "Zofka, rear hand");
  assert.match(await station.action(), /^Rep 4 of 6: now lead hand$/);
  await station.page.locator(".sides label", { hasText: "rear hand" }).click();
  await station.rep("2.73", "2.73m/s");
  const page = await tablet.newPage();
  await page.goto(`${program.address}/athlete/A02`);
  const latest = await page.locator('[aria-label="Latest reps"] tbody tr td:nth-child(2)').allInnerTexts();
  assert.deepEqual(latest.slice(0, 4), Array(4).fill("Landmine punch throw, standing, rear hand"));
});

test("all groups move to their next station", async () => {
  const floor = await tablet.newPage();
  await floor.goto(`${program.address}/floor`);
  await floor.click("text=All groups to their next station");
  await becomes(() => onWall(2, "h2"), "Oriel");
  await becomes(() => floor.locator(".stations .name").allInnerTexts(),
    await wall.locator("section h2").allInnerTexts(), "floor and wall agree");
});
