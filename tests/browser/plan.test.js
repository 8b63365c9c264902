// @ts-check
// The plan in a browser: a bout moves, and what changes is seen before it is accepted.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { violations } from "./axe.js";
import { becomes, browser as launch, device } from "./device.js";
import { Program } from "./program.js";

const sizes = { phone: { width: 390, height: 844 }, tablet: { width: 810, height: 1080 }, laptop: { width: 1366, height: 768 }, tv: { width: 1920, height: 1080 } };
const pages = ["/plan", "/plan/harbour-open", "/plan/tollgate-cup", "/plan/lanternlight-fight-night", "/plan/lanternlight-fight-night/change?to=2026-12-05&athlete=B05"];

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;

before(async () => { program = await Program.start(); browser = await launch(); });
after(async () => { await browser?.close(); await program?.end(); });

for (const [size, viewport] of Object.entries(sizes)) {
  for (const path of pages) {
    test(`${path} on a ${size}: nothing off the edge, nothing against axe`, async () => {
      const context = await device(browser, { viewport });
      const page = await context.newPage();
      await page.goto(program.address + path);
      await page.evaluate(() => { for (const fold of document.querySelectorAll("details")) fold.open = true; });
      const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      assert.ok(over <= 0, `${over} px too wide`);
      assert.deepEqual(await violations(page), []);
      await context.close();
    });
  }
}

test("the desk, the plan and the camp say the same of today", async () => {
  const page = await (await device(browser, { viewport: sizes.laptop })).newPage();
  await page.goto(program.address);
  assert.match(await page.innerText("h1"), /^24 days to the bout, power day 10 of 21,/);
  await page.click("nav >> text=Plan");
  assert.match(await page.innerText("#region"), /24 days to the bout, power day 10 of 21\./);
  await page.click("#region h2 >> text=Harbour Open");
  assert.match(await page.innerText(".lead"), /24 days to the bout, power day 10 of 21\./);
  await page.context().close();
});

test("a debut moves on a phone: two calendars, the list, accepted, taken back", async () => {
  const page = await (await device(browser, { viewport: sizes.phone })).newPage();
  await page.goto(`${program.address}/plan/lanternlight-fight-night`);
  await page.fill("input[name=to]", "2026-12-05");
  const form = page.locator("form", { has: page.locator("input[name=to]") });
  for (const box of await form.locator("input[name=athlete]").all()) {
    if ((await box.getAttribute("value")) !== "B05") await box.uncheck();
  }
  await page.click("text=Show what changes");
  await page.waitForURL(/\/change\?/);
  const shown = await page.innerText("main");
  assert.match(shown, /14 days later/);
  assert.match(shown, /Taper: 23 Nov to 4 Dec instead of 9 Nov to 20 Nov\./);
  const drawn = await page.textContent("svg");
  for (const name of ["as it is", "as it would be"]) assert.ok(drawn?.includes(name), name);
  await page.fill("input[name=reason]", "opponent hurt");
  await page.click("text=Accept the move");
  await page.waitForURL(/lanternlight-fight-night-b05$/);
  assert.match(await page.innerText("main"), /moved to Sat 5 Dec 2026 for Tindra: opponent hurt/);
  await page.click("[aria-label^='take back: moved to']");
  await becomes(async () => {
    await page.goto(`${program.address}/plan/B05`);
    return new URL(page.url()).pathname;
  }, "/plan/lanternlight-fight-night");
  await page.context().close();
});

test("an order of bouts that changes, without script", async () => {
  const context = await device(browser, { viewport: sizes.phone, javaScriptEnabled: false });
  const page = await context.newPage();
  await page.goto(`${program.address}/plan/lanternlight-fight-night`);
  await page.fill("input[name=place]", "6");
  await page.click("text=When to begin?");
  const sixth = await page.innerText("#night .lead");
  await page.fill("input[name=place]", "4");
  await page.click("text=When to begin?");
  const fourth = await page.innerText("#night .lead");
  // Bell at 19:00 in Dubai, four hours ahead of London in November; five bouts of nine minutes at
  // least, less 30 minutes of warm-up.
  assert.match(sixth, /Begin the warm-up at 19:15 \(15:15 at the gym\): ring walk between 19:45/);
  assert.match(fourth, /Begin the warm-up at 19:00 \(15:00 at the gym\): ring walk between 19:27/);
  await context.close();
});
