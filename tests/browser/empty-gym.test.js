// @ts-check
// A gym that starts from nothing: the first athlete, their weight, their first jumps.
import assert from "node:assert/strict";
import { after, before, test } from "node:test";
import { becomes, browser as launch, device, until } from "./device.js";
import { Program } from "./program.js";

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("playwright-core").Page} */ let page;

before(async () => {
  program = await Program.start("serve");
  browser = await launch();
  page = await (await device(browser, { viewport: { width: 1366, height: 900 } })).newPage();
});
after(async () => { await browser?.close(); await program?.end(); });

const words = () => page.innerText("main");

test("every page of an empty gym says what to do", async () => {
  await page.goto(program.address);
  assert.match(await words(), /Nobody yet\. Enter the first athlete below\./);
  const [name, kit, first] = await page.locator("main section:has(h2:text('To begin')) li a").all();
  assert.match(await name?.innerText() ?? "", /Name the gym/);
  assert.match(await kit?.innerText() ?? "", /Weigh the bars/);
  await first?.click();
  assert.ok(await page.isVisible("summary:has-text('Add an athlete')"));
  await page.goto(`${program.address}/floor`);
  assert.match(await words(), /No evening is open/);
  await page.goto(`${program.address}/wall`);
  assert.match(await words(), /No evening is open/);
});

test("an athlete is entered; a code that is taken is refused and nothing typed is lost", async () => {
  const enter = async (/** @type {string} */ name) => {
    await page.goto(program.address);
    await page.click("summary:has-text('Add an athlete')");
    await page.fill('input[name="code"]', "b01");
    await page.fill('input[name="name"]', name);
    await page.fill('input[name="born"]', "2003-01-09");
    await page.selectOption('select[name="sex"]', "female");
    await page.fill('input[name="level"]', "elite");
    await page.getByRole("button", { name: "Add", exact: true }).click();
  };
  await enter("Ottilie Marrowby");
  await page.waitForURL("**/athlete/B01");
  assert.match(await words(), /Ottilie Marrowby/);
  await enter("Someone Else");
  await until(async () => /The code B01 is taken/.test(await page.innerText("#message")), "the sentence");
  assert.equal(await page.inputValue('input[name="name"]'), "Someone Else");
});

test("weighed in, and a weight in pounds is asked about", async () => {
  await page.goto(`${program.address}/athlete/B01`);
  const weigh = async (/** @type {string} */ text) => {
    await page.fill('form[action$="/mass"] input[name="text"]', text);
    await page.click("text=Weigh in");
  };
  await weigh("135 lb");
  await page.click("#ask button:has-text('61.2')");
  await until(async () => /last 61\.2 kg/.test(await words()), "weighed in pounds");
  await weigh("61,4");
  await until(async () => /last 61\.4 kg/.test(await words()), "weighed in kilograms");
});

test("jumps without load are typed and remembered", async () => {
  await page.goto(`${program.address}/athlete/B01`);
  for (const [i, height] of ["34.1", "33.6", "34.8"].entries()) {
    await page.fill('form[action$="/jump"] input[name="text"]', height);
    await page.click("text=Enter jump");
    await becomes(() => page.locator('[aria-label="Latest reps"] tbody tr').count(), i + 1);
  }
  assert.match(await page.innerText('[aria-label="Latest reps"]'), /34\.8 cm/);
});

test("bars, plates and boxes are entered, and can be hung at once", async () => {
  await page.goto(`${program.address}/kit`);
  const bars = page.locator("form", { hasText: "Save bar" });
  await bars.locator('[name="name"]').fill("hex grey");
  await bars.getByLabel("hex").check();
  await bars.locator('[name="text"]').fill("20,4");
  await bars.getByRole("button").click();
  await until(async () => /hex grey\s+hex\s+20\.40 kg/.test(await words()), "the bar");
  const plates = page.locator("form", { hasText: "Save plates" });
  await plates.locator('[name="text"]').fill("20x2, 10x2, 5, 2.5");
  await plates.getByRole("button").click();
  await until(async () => /4 plates of 20 \(2 pairs\)/.test(await words()), "the plates");
  assert.notEqual(await plates.locator('[name="text"]').inputValue(), "", "what was counted stands there to be changed");
  const boxes = page.locator("form", { hasText: "Save boxes" });
  await boxes.locator('[name="text"]').fill("20, 30, 45");
  await boxes.getByRole("button").click();
  await until(async () => /Heights in cm: 20, 30, 45/.test(await words()), "the boxes");
});

test("jumps under load make a curve, and the page says what to test next", async () => {
  await page.goto(`${program.address}/athlete/B01`);
  const form = page.locator('form[action$="/jump"]');
  const jump = async (/** @type {string} */ load, /** @type {string} */ height) => {
    const option = form.locator("option", { hasText: load }).first();
    await form.locator("select").selectOption(await option.getAttribute("value"));
    const rows = page.locator('[aria-label="Latest reps"] tbody tr');
    const before = await rows.count();
    await form.locator('[name="text"]').fill(height);
    await form.getByRole("button").click();
    await becomes(() => rows.count(), before + 1, `${height} cm under ${load}`);
  };
  for (const height of ["27.2", "26.5"]) await jump("20.40 kg", height);
  for (const height of ["20.1", "19.6"]) await jump("40.40 kg", height);
  await until(async () => /Momentum peaks near \d+ kg/.test(await words()), "the curve in words");
  assert.ok(await page.locator("figure svg").first().isVisible(), "the curve as a picture");
  assert.match(await words(), /Next load|Enough tested/);
  const [first] = await page.locator(".step .lead").allInnerTexts();
  assert.match(first ?? "", /\d.*kg|peak/i, "with its reason");
});

test("an evening is opened with those ticked; ticks survive what others do meanwhile", async () => {
  await page.goto(program.address);
  await page.check('input[name="athlete"][value="B01"]');
  const answer = await page.request.post(`${program.address}/athlete/B01/mass`, {
    form: { text: "61.3" }, headers: { Accept: "application/json" },
  });
  assert.equal((await answer.json()).kept, true);
  await until(async () => /61\.3/.test(await words()), "the new weight on the page");
  assert.ok(await page.isChecked('input[name="athlete"][value="B01"]'), "still ticked");
  await page.click("text=Open tonight with those ticked");
  await until(async () => /End the evening/.test(await words()), "the evening is open");
  await page.goto(`${program.address}/floor/1`);
  assert.match(await page.innerText("h1"), /Ottilie/);
});
