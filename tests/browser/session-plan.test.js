// @ts-check
// A session planned on a phone the day before, opened on the floor, and what happens when someone
// leaves. The exercise library, and every page of these by the rules of axe-core.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { violations } from "./axe.js";
import { browser as launch, device, until } from "./device.js";
import { Program } from "./program.js";

const sizes = { phone: { width: 390, height: 844 }, tablet: { width: 810, height: 1080 } };

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("playwright-core").Page} */ let phone;

before(async () => {
  program = await Program.start();
  browser = await launch();
  phone = await (await device(browser, { viewport: sizes.phone })).newPage();
});
after(async () => { await browser?.close(); await program?.end(); });

/** What a page says, spaces made single. */
const words = async () => (await phone.innerText("main")).replace(/\s+/g, " ");
/** @param {RegExp} pattern */
const says = (pattern) => until(async () => pattern.test(await words()), String(pattern));
/** @param {string} id */
const unfold = async (id) => {
  const fold = phone.locator(`#${id}`);
  if ((await fold.getAttribute("open")) === null) await fold.locator("summary").first().click();
};

test("a session is planned from a template and resolved for each athlete", async () => {
  await phone.goto(`${program.address}/sessions`);
  await phone.selectOption('select[name="template"]', "taper");
  await phone.fill('input[name="day"]', "2026-09-24");
  await phone.getByRole("button", { name: "Plan it" }).click();
  await phone.waitForURL(/\/session\/2026-09-24-taper$/);
  await says(/3 rounds, over at \d\d:\d\d, in time/);
  await says(/Ikembe [\d.]+ kg, hex/);
  await says(/90 % of the peak/);
});

test("a station is added, and a slip in it changes nothing", async () => {
  await unfold("another");
  const form = phone.locator("#another form");
  await form.locator('select[name="exercise"]').selectOption("landmine-split-jerk");
  await form.locator('select[name="rule"]').selectOption("velocity");
  await form.locator('input[name="amount"]').fill("1.8 to 1.6");
  await form.getByRole("button", { name: "Add", exact: true }).click();
  await until(async () => /slower velocity first/.test(await phone.innerText("#message")), "the sentence");
  assert.doesNotMatch(await words(), /Landmine split jerk [\d.]+ × /);
  await form.locator('input[name="amount"]').fill("1.6 to 1.8");
  await form.getByRole("button", { name: "Add", exact: true }).click();
  await says(/4 rounds, over at/);
});

test("what is barred is shown with a swap, and taking it clears the line", async () => {
  await says(/Tavish is barred from landmine punch throw with the lead hand/);
  await phone.getByRole("button", { name: "rear hand only" }).first().click();
  await says(/rear hand only: [\d.]+ kg/);
});

test("the rotation is a timetable and a list for each athlete", async () => {
  await phone.getByRole("link", { name: "Who goes where when" }).click();
  await says(/load changes?; alphabetical order needs \d+/);
  const athletes = await phone.locator(".lists h3").count();
  assert.equal(athletes, 8);
  const rounds = await phone.locator(".rounds thead th").count();
  assert.equal(rounds, 5, "the stations and four rounds");
  // The picture stands over it: a round under a round on the phone, nothing off the edge.
  const picture = phone.locator("figure svg:visible");
  assert.equal(await picture.count(), 1);
  const width = phone.viewportSize()?.width ?? 0;
  // While the page is drawn anew there is no box for a moment.
  await until(async () => {
    const box = await picture.boundingBox();
    return box !== null && box.x >= 0 && box.x + box.width <= width;
  }, "the picture within the phone");
  assert.equal(await picture.getByText(/^round \d, \d\d:\d\d$/).count(), 4);
});

test("an exercise is looked for, opened, and one is read from a file", async () => {
  await phone.goto(`${program.address}/exercises?words=landmine&quality=speed-strength`);
  assert.equal(await phone.locator(".library li").count(), 3);
  await phone.goto(`${program.address}/exercises`);
  await unfold("file");
  await phone.fill("#file textarea", "[[exercise]]\nid = \"Rope\"");
  await phone.getByRole("button", { name: "Read it" }).click();
  await until(async () => /the file, line 1/.test(await phone.innerText("#message")), "the line");
});

const pages = ["/sessions", "/session/2026-09-23-power", "/session/power", "/session/2026-09-24-taper/rotation", "/exercises", "/exercise/depth-jump", "/exercise/post-punch-hold"];
for (const [size, viewport] of Object.entries(sizes)) {
  for (const path of pages) {
    test(`${path} on a ${size} by axe-core, and nothing hangs over the edge`, async () => {
      const context = await device(browser, { viewport });
      const page = await context.newPage();
      await page.goto(program.address + path);
      assert.deepEqual(await violations(page), []);
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
      assert.ok(over <= 0, `${over} px over the edge`);
      await context.close();
    });
  }
}
