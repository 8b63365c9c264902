// @ts-check
// A session was on paper: the sheets are printed, filled with a pencil and typed in afterwards.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { violations } from "./axe.js";
import { becomes, browser as launch, device, record, until } from "./device.js";
import { Program } from "./program.js";
import { sheets } from "./sheets.js";

const session = "2026-09-23-power";
/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("playwright-core").BrowserContext} */ let laptop;
/** @type {string[]} */ let printed;

before(async () => {
  program = await Program.start();
  browser = await launch();
  laptop = await device(browser, { viewport: { width: 1366, height: 768 } });
  printed = await sheets(program.address, `/paper/floor/${session}`);
});
after(async () => { await browser?.close(); await program?.end(); });

async function open(context = laptop) {
  const page = await context.newPage();
  await page.goto(`${program.address}/session/${session}/paper`);
  return page;
}

/** @param {import("playwright-core").Page} page @param {string} state */
const count = (page, state) => page.locator(`.blank[data-state=${state}]`).count();
/** @param {import("playwright-core").Page} page */
const done = (page) => page.textContent("#done");

test("the page follows the printed sheets: station by station, row by row", async () => {
  const page = await open();
  const rows = await page.locator("form.row .name").allTextContents();
  const stations = await page.locator("section.sheet h2").allTextContents();
  // What a reader of the paper reads, sheets one after the other, spaces aside.
  const letters = printed.join(" ").replace(/\s+/g, "");
  let at = 0;
  for (const name of rows.map((row) => row.replace(/\s+/g, ""))) {
    const next = letters.indexOf(name, at);
    assert.ok(next >= at, `${name} stands on the paper after what was before it`);
    at = next + name.length;
  }
  assert.equal(rows.length, 46);
  for (const station of stations) {
    const title = station.split(",")[0]?.replace(/\s+/g, "") ?? "";
    assert.ok(letters.includes(title), title);
  }
  await page.close();
});

test("a sheet names load, plates, aim and best, and leaves out what is barred", async () => {
  const throws = printed.filter((sheet) => sheet.includes("Landmine punch throw")).join(" ");
  assert.match(throws, /Ikembe, rear 30\.0 kg landmine 2: 15 on the end; from 2\.75 m\/ ?s; best \d\.\d\d m\/s/);
  // A long sheet goes on over the page, under the heads of its columns alone.
  assert.match(printed.join(" "), /Tavish, rear/);
  assert.doesNotMatch(printed.join(" "), /Tavish, lead/, "the barred hand has no row");
  assert.match(printed[0] ?? "", /Suhaila 20 cm/, "a junior's box");
  assert.match(printed[0] ?? "", /One box a rep, in the order done; a dash for a rep without a number/);
});

test("Enter goes on, empty stays empty, a dash is a rep without a number", async () => {
  const page = await open();
  const label = () => page.evaluate(() => document.activeElement?.getAttribute("aria-label"));
  assert.equal(await label(), "Oriel, set 1, rep 1");
  await page.keyboard.type("34.1");
  await page.keyboard.press("Enter");
  assert.equal(await label(), "Oriel, set 1, rep 2");
  await page.keyboard.press("Enter");
  await page.keyboard.type("-");
  await page.keyboard.press("Enter");
  await becomes(() => count(page, "kept"), 2);
  assert.equal(await done(page), "2");
  assert.deepEqual((await record(laptop, program.address, "A01", "Depth jump")).slice(0, 2), ["no number", "34.1 cm"]);
  await page.close();
});

test("a slip is asked about while the hand types on", async () => {
  const page = await open();
  const blank = page.locator("#s1-A02-both .blank");
  await blank.nth(0).click();
  await page.keyboard.type("352");
  await page.keyboard.press("Enter");
  await page.waitForSelector("#ask");
  // Digits and Enter go to the sheet, not to the answers.
  await page.keyboard.type("35.6");
  await page.keyboard.press("Enter");
  assert.match(await page.textContent("#ask p") ?? "", /Zofka, set 1, rep 1/);
  await page.click("#ask button >> nth=0");
  await becomes(() => blank.nth(0).inputValue(), "35.2");
  assert.equal(await blank.nth(1).inputValue(), "35.6");
  await page.close();
});

test("the program is killed in mid-sheet: nothing typed is lost and nothing stands twice", async () => {
  let page = await open();
  const blanks = page.locator("#s1-A07-both .blank");
  await blanks.nth(0).click();
  await page.keyboard.type("36.1");
  await page.keyboard.press("Enter");
  await until(async () => await blanks.nth(0).getAttribute("data-state") === "kept", "kept");
  await program.kill();
  await page.keyboard.type("36.4");
  await page.keyboard.press("Enter");
  // Half a number, without Enter.
  await page.keyboard.type("35");
  await program.start();
  await page.reload();
  await becomes(() => blanks.nth(0).inputValue(), "36.1");
  await until(async () => await blanks.nth(1).getAttribute("data-state") === "kept", "sent after the restart");
  // The page may have been made after the number arrived, and before its script put drafts back.
  await becomes(() => blanks.nth(2).inputValue(), "35");
  assert.equal(await blanks.nth(2).getAttribute("data-state"), "typed", "half a number is no rep");
  await blanks.nth(2).fill("35.9");
  await blanks.nth(2).press("Enter");
  // A page that is closed sends no more.
  await until(async () => await blanks.nth(2).getAttribute("data-state") === "kept", "kept before the page is closed");
  // The same sheet typed on another device: the same reps.
  await page.close();
  const other = await device(browser);
  page = await open(other);
  await page.locator("#s1-A07-both .blank").nth(0).fill("36.1");
  await page.locator("#s1-A07-both .blank").nth(0).press("Enter");
  await becomes(async () => (await record(laptop, program.address, "A07", "Depth jump")).slice(0, 3), ["35.9 cm", "36.4 cm", "36.1 cm"]);
  await other.close();
});

test("without script a row is kept by Enter", async () => {
  const plain = await device(browser, { javaScriptEnabled: false });
  const page = await open(plain);
  await page.fill("#s1-A01-both .blank >> nth=0", "31.0");
  await page.fill("#s1-A01-both .blank >> nth=1", "31.4");
  await page.press("#s1-A01-both .blank >> nth=1", "Enter");
  await page.waitForLoadState();
  assert.match(page.url(), /#s1-A01-both$/);
  assert.equal(await page.inputValue("#s1-A01-both .blank >> nth=1"), "31.4");
  await plain.close();
});

test("the keystrokes of a whole evening", async (t) => {
  const page = await open();
  const blanks = page.locator(".blank");
  const [all, people] = [await blanks.count(), 8];
  // Three or four keys a number ("2.61", "34.1", "1.7") and Enter.
  const keys = all * (4 + 1);
  // 0.28 s a key: an average typist who is no secretary (Card, Moran and Newell 1980,
  // Commun ACM 23:396; from memory).
  const minutes = (/** @type {number} */ count) => (count * 0.28 / 60).toFixed(0);
  t.diagnostic(`${people} athletes: ${all} numbers, ${keys} keys, ${minutes(keys)} min; twelve: ${keys * 12 / people} keys, ${minutes(keys * 12 / people)} min; looking at the paper not counted`);
  // No key but the number's own and Enter: no mouse, no Tab, no name typed.
  await page.locator("#s2-A04-rear .blank").first().focus();
  const numbers = ["2.91", "2.88", "2.94", "2.90", "2.86", "2.92"];
  for (const number of numbers) {
    await page.keyboard.type(number);
    await page.keyboard.press("Enter");
  }
  await becomes(() => page.locator("#s2-A04-rear .blank[data-state=kept]").count(), 6);
  await page.close();
});

for (const [size, viewport] of Object.entries({ phone: { width: 390, height: 844 }, tablet: { width: 810, height: 1080 }, tv: { width: 1920, height: 1080 } })) {
  test(`typing in on a ${size} has no violation and nothing off the edge`, async () => {
    const context = await device(browser, { viewport });
    const page = await open(context);
    assert.deepEqual(await violations(page), []);
    const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
    assert.ok(over <= 0, `${over} px off the edge`);
    await context.close();
  });
}
