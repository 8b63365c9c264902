// @ts-check
// Every page, at the sizes of a phone and a laptop, by the rules of axe-core: no violation.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { violations } from "./axe.js";
import { browser as launch, device, Station, until } from "./device.js";
import { Program } from "./program.js";

const sizes = { phone: { width: 390, height: 844 }, laptop: { width: 1366, height: 768 } };

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
let rep = "";

before(async () => {
  program = await Program.start();
  browser = await launch();
  // A set under way at each station, so that the pages show all they can.
  const tablet = await device(browser);
  const station = await Station.open(tablet, program.address, 1);
  await station.rep("32.4");
  await station.press(/heels/i, "faults");
  await station.rep("31.9");
  await station.press(/heels/i, "faults");
  await until(async () => (await station.cue()) !== "", "a cue");
  rep = (await station.page.getAttribute("#mend form", "action")) ?? "";
  const lift = await Station.open(tablet, program.address, 2);
  await lift.rep("2.71", "2.71m/s");
  await tablet.close();
});
after(async () => { await browser?.close(); await program?.end(); });

const pages = ["/", "/floor", "/floor/1", "/floor/2", "/floor/3", "/floor/4", "/wall", "/athlete/A04", "/athlete/A05", "/athlete/N01", "/kit", "/join", "rep"];

for (const [size, viewport] of Object.entries(sizes)) {
  for (const path of pages) {
    test(`${path} on a ${size}`, async () => {
      const context = await device(browser, { viewport });
      const page = await context.newPage();
      await page.goto(program.address + (path === "rep" ? rep : path));
      assert.deepEqual(await violations(page), []);
      await context.close();
    });
  }

  test(`the question, on the page and without script, on a ${size}`, async () => {
    const context = await device(browser, { viewport });
    const station = await Station.open(context, program.address, 1);
    await station.type("275");
    await until(async () => (await station.question()) !== "", "a question");
    assert.deepEqual(await violations(station.page), []);
    await context.close();

    const plain = await device(browser, { viewport });
    const page = await plain.newPage();
    await page.goto(`${program.address}/floor/1`);
    // The form as a browser without script sends it, on a page where axe can still run.
    await page.evaluate(() => {
      const form = /** @type {HTMLFormElement} */ (document.querySelector("#rep"));
      /** @type {HTMLInputElement} */ (form.querySelector("#typed")).value = "275";
      form.submit();
    });
    await page.waitForSelector("text=Which was meant?");
    assert.deepEqual(await violations(page), []);
    await plain.close();
  });
}

test("an empty gym", async () => {
  const empty = await Program.start("serve");
  try {
    const context = await device(browser, { viewport: sizes.phone });
    const page = await context.newPage();
    for (const path of ["/", "/floor", "/wall", "/kit"]) {
      await page.goto(empty.address + path);
      assert.deepEqual(await violations(page), [], path);
    }
    await context.close();
  } finally { await empty.end(); }
});
