// @ts-check
// Honest numbers as a coach meets them: the first look answers, the squad sorts without script, and
// a set under the wrong name is one tap from right.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { violations } from "./axe.js";
import { becomes, browser as launch, device, record, Station, until } from "./device.js";
import { Program } from "./program.js";

const sizes = {
  phone: { width: 390, height: 844 }, tablet: { width: 810, height: 1080 },
  laptop: { width: 1366, height: 768 }, tv: { width: 1920, height: 1080 },
};

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;

before(async () => { program = await Program.start(); browser = await launch(); });
after(async () => { await browser?.close(); await program?.end(); });

/** Types a number and, where it is asked about, keeps it as typed. @param {Station} station @param {string} text */
async function insist(station, text) {
  await station.type(text);
  const asked = async () => (await station.question()) !== "";
  await until(async () => (await asked()) || (await station.shown()) === `${text}m/s`, `${text} or a question about it`);
  if (await asked()) await station.press(new RegExp(`${text.replace(".", "\\.")} m/s`));
  await becomes(() => station.shown(), `${text}m/s`);
}

for (const [size, viewport] of Object.entries(sizes)) {
  test(`the first look at an athlete answers, on a ${size}`, async () => {
    const context = await device(browser, { viewport });
    const page = await context.newPage();
    await page.goto(`${program.address}/athlete/A04`);
    const answers = page.locator(".answers");
    assert.deepEqual(await answers.locator("dt").allTextContents(), ["Better?", "Today?", "Load?", "Peers?"]);
    const end = await answers.evaluate((element) => element.getBoundingClientRect().bottom);
    assert.ok(end <= viewport.height, `answers end at ${end}`);
    const wide = await page.evaluate(() => document.documentElement.scrollWidth);
    assert.ok(wide <= viewport.width, `${wide} px wide`);
    await context.close();
  });

  for (const path of ["/squad", "/athlete/A03", "/"]) {
    test(`${path} by the rules of axe, on a ${size}`, async () => {
      const context = await device(browser, { viewport });
      const page = await context.newPage();
      await page.goto(program.address + path);
      assert.deepEqual(await violations(page), []);
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.ok(wide <= viewport.width, `${wide} px wide`);
      await context.close();
    });
  }
}

test("the squad sorts without script, women and men apart", async () => {
  const context = await device(browser, { javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${program.address}/squad`);
  await page.locator("#jump").getByRole("link", { name: "athlete" }).first().click();
  await page.waitForURL(/sort=name/);
  const tables = page.locator("#jump table.squad");
  assert.equal(await tables.count(), 2);
  for (const table of await tables.all()) {
    const names = await table.locator("tbody td:first-child").allTextContents();
    assert.ok(names.length >= 6);
    assert.deepEqual(names, [...names].sort());
  }
  await context.close();
});

test("a set under the wrong name is asked about and one tap from right", async () => {
  const tablet = await device(browser);
  const station = await Station.open(tablet, program.address, 2);
  await station.press("Oriel", "turn");
  await becomes(() => station.up(), "Oriel");
  for (const text of ["3.50", "3.46", "3.52"]) await insist(station, text);
  await station.press("Close set");
  const asked = station.page.locator(".doubt");
  await until(async () => /Was this .*Ikembe \(A04\)/.test((await asked.allTextContents()).join()), "the question");
  assert.deepEqual(await violations(station.page), []);
  await station.press(/^Yes, Ikembe/);
  await becomes(() => asked.count(), 0, "settled");
  const throws = async (/** @type {string} */ code) => (await record(tablet, program.address, code, "Landmine punch throw")).slice(0, 3);
  assert.deepEqual(await throws("A04"), ["3.52 m/s", "3.46 m/s", "3.50 m/s"]);
  assert.ok(!(await throws("A01")).some((value) => value.startsWith("3.")));
  await tablet.close();
});
