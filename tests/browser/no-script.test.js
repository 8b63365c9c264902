// @ts-check
// With scripts switched off the forms still work: slower, by whole pages, but nothing is missing
// that a session needs.
import assert from "node:assert/strict";
import { after, afterEach, before, test } from "node:test";
import { browser as launch, device, record, Station } from "./device.js";
import { Program } from "./program.js";

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("playwright-core").BrowserContext} */ let tablet;

before(async () => {
  program = await Program.start();
  browser = await launch();
  tablet = await device(browser, { javaScriptEnabled: false });
});
after(async () => { await browser?.close(); await program?.end(); });
afterEach(() => Promise.all(tablet.pages().map((page) => page.close())));

/** @param {Station} station */
const path = (station) => new URL(station.page.url()).pathname;

test("a rep is typed, undone and the set closed", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.type("32.4");
  assert.equal(path(station), "/floor/1");
  assert.equal(await station.shown(), "32.4cm");
  await station.press("Undo 32.4 cm");
  assert.equal(path(station), "/floor/1");
  assert.equal(await station.judgement(), "no rep yet");
  await station.press("Rep done, not measured");
  assert.equal(await station.shown(), "✓no number");
  await station.press("Close set");
  assert.equal(await station.up(), "Yevka");
});

test("a slip is asked about on a page of its own, and the answer leads back to the station", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.type("338");
  assert.match(await station.page.innerText("main"), /Which was meant\?/);
  await station.press("33.8 cm?");
  assert.equal(path(station), "/floor/1");
  assert.equal(await station.shown(), "33.8cm");
});

test("retype leads back and changes nothing", async () => {
  const station = await Station.open(tablet, program.address, 1);
  const before = await record(tablet, program.address, "N02", "Depth jump");
  await station.type("275");
  await station.page.click("text=Retype");
  assert.equal(path(station), "/floor/1");
  assert.deepEqual(await record(tablet, program.address, "N02", "Depth jump"), before);
});

test("a refusal is a page with the sentence and the way back", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.type("fast");
  assert.match(await station.page.innerText("main"), /"fast" is not a number/);
  await station.page.click("text=Back");
  assert.equal(path(station), "/floor/1");
});

test("a number is corrected, a load hung, a side chosen", async () => {
  const jump = await Station.open(tablet, program.address, 1);
  await jump.unfold("mend");
  await jump.page.fill('#mend input[name="text"]', "34.4");
  await jump.press("Correct", "mend");
  const lift = await Station.open(tablet, program.address, 2);
  await lift.unfold("load");
  await lift.page.selectOption('#load select[name="load"]', { value: "landmine-heavy:20000" });
  await lift.press("Hang it", "load");
  assert.match(await lift.load(), /^20\.0 kg/);
  await lift.page.locator('.sides input[value="lead"]').check({ force: true });
  await lift.type("2.41");
  assert.equal(await lift.shown(), "2.41m/s");
  assert.equal((await record(tablet, program.address, "N02", "Depth jump"))[0], "34.4 cm");
});

test("an athlete is entered and weighed", async () => {
  const page = await tablet.newPage();
  await page.goto(program.address);
  await page.click("text=Add an athlete");
  await page.fill('input[name="code"]', "Z01");
  await page.fill('input[name="name"]', "Ottilie Marrowby");
  await page.fill('input[name="born"]', "2003-01-09");
  await page.selectOption('select[name="sex"]', "female");
  await page.getByRole("button", { name: "Add", exact: true }).click();
  assert.match(await page.innerText("main"), /Ottilie Marrowby/);
  assert.equal(new URL(page.url()).pathname, "/athlete/Z01");
  await page.fill('form[action$="/mass"] input[name="text"]', "61.4");
  await page.click("text=Weigh in");
  assert.match(await page.innerText("main"), /last 61\.4 kg/);
});
