// @ts-check
// What keeps athletes safe, as people use it: a stop on the floor, the close of a session in a few
// taps, a doctor and an assistant on devices of their own.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { violations } from "./axe.js";
import { browser as launch, device, until } from "./device.js";
import { Program } from "./program.js";

const sizes = { phone: { width: 390, height: 844 }, laptop: { width: 1366, height: 768 } };

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;

before(async () => { program = await Program.start(); browser = await launch(); });
after(async () => { await browser?.close(); await program?.end(); });

/** A page of a device. @param {string} path @param {import("playwright-core").BrowserContext} [context] */
async function open(path, context) {
  const page = await (context ?? await device(browser)).newPage();
  await page.goto(program.address + path);
  return page;
}

/** Signs a device in with a number of the demo. @param {string} name @param {string} pin */
async function signedIn(name, pin) {
  const context = await device(browser);
  const page = await open("/role", context);
  await page.selectOption("select[name=name]", name);
  await page.fill("input[name=pin]", pin);
  await page.click("text=Sign in >> nth=-1");
  await page.waitForSelector(`text=${name}`);
  await page.close();
  return context;
}

test("an athlete is rated in one tap, and the line to the head coach stands below", async () => {
  const page = await open("/close");
  let taps = 0;
  const tap = async (/** @type {string} */ selector) => { await page.click(selector); taps += 1; };
  await tap('label[for="felt-A04-7"]');
  await tap("button:text-is('Save')");
  await until(async () => (await page.textContent("#region"))?.includes("rated 7") ?? false, "the rating is saved");
  assert.ok(taps <= 5, `${taps} taps`);
  assert.match(await page.textContent(".message") ?? "", /trained.*Perrin out, not before 10 October/);
  await page.close();
});

test("a stop sign ends the session with one tap on it, and says whom to call", async () => {
  const page = await open("/floor/1");
  const name = (await page.textContent("h1"))?.replace(/[A-Z]\d\d$/, "").trim() ?? "";
  await page.click("text=Stop now");
  await page.click("text=chest or breath");
  await page.waitForSelector(".call");
  assert.match(await page.textContent(".call") ?? "", /Call the emergency number now/);
  assert.match(await page.textContent(".action") ?? "", new RegExp(`${name} is barred from all training`));
  await page.click("text=A slip of the thumb");
  await page.waitForSelector(".call", { state: "detached" });
  await page.close();
});

test("an assistant's device shows what to avoid, never what is wrong", async () => {
  const context = await signedIn("Pim Hasselrook", "200200");
  const page = await open("/athlete/A05", context);
  assert.equal(new URL(page.url()).pathname, "/people/A05");
  const text = await page.textContent("#region") ?? "";
  assert.match(text, /No landmine punch throw.* with the lead hand before .*: right hand, physio's word/);
  assert.doesNotMatch(text, /sprain|knuckle|kg/);
  await page.goto(`${program.address}/kit`);
  assert.match(await page.textContent("h1") ?? "", /for the coach/);
  await context.close();
});

test("a doctor sees the stoppage and cannot clear before the earliest date", async () => {
  const context = await signedIn("Teska Hollowbridge", "500500");
  const page = await open("/people/N01", context);
  assert.match(await page.textContent("#region") ?? "", /stopped for blows to the head/);
  await page.fill("input[name=on] >> nth=0", "2026-09-23");
  await page.click("button:text-is('Clear')");
  await page.waitForSelector("#message:not([hidden])");
  assert.match(await page.textContent("#message") ?? "", /at least until 10 October 2026 by the rule/);
  await context.close();
});

for (const [size, viewport] of Object.entries(sizes)) {
  for (const path of ["/close", "/people", "/people/A05", "/people/A06", "/people/N01", "/role", "/athlete/B03/mass", "/athlete/A06/mass", "/athlete/A04/load", "/athlete/B03/debrief"]) {
    test(`${path} on a ${size} has no violation and nothing off the edge`, async () => {
      const context = await device(browser, { viewport });
      const page = await open(path, context);
      assert.deepEqual(await violations(page), []);
      const over = await page.evaluate(() => document.documentElement.scrollWidth - document.documentElement.clientWidth);
      assert.ok(over <= 0, `${over} px off the edge`);
      await context.close();
    });
  }
}
