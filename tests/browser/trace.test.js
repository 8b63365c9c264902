// @ts-check
// Recordings as a coach handles them: files dropped, columns confirmed once, an event dragged and
// taken back, a trial set aside; and the same without script.
import assert from "node:assert/strict";
import { after, afterEach, before, test } from "node:test";
import { violations } from "./axe.js";
import { becomes, browser as launch, device, until } from "./device.js";
import { Program } from "./program.js";


/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("playwright-core").BrowserContext} */ let laptop;

before(async () => {
  program = await Program.start();
  browser = await launch();
  laptop = await device(browser, { viewport: { width: 1366, height: 900 } });
});
after(async () => { await browser?.close(); await program?.end(); });
afterEach(() => Promise.all(laptop.pages().map((page) => page.close())));

const GRAVITY = 9.80665;

/** A jump of half-sines: standing, a dip below the weight, a drive above it, a fall to nothing, a
 *  flight, a landing that comes to rest. Half a sine of height h over T adds 2 h g T / π of
 *  velocity, so the take-off velocity is known.
 *  @param {number} mass @param {number} velocity */
function jump(mass, velocity) {
  const weight = mass * GRAVITY;
  const descent = (2 * GRAVITY * 0.65 * 0.34) / Math.PI;
  const drive = ((velocity + descent + (GRAVITY * 0.04) / 2) * Math.PI) / (2 * GRAVITY * 0.42);
  const landing = (velocity * Math.PI) / (2 * GRAVITY * 0.3);
  /** @type {[number, (u: number) => number][]} */
  const parts = [
    [1.8, () => 1], [0.34, (u) => 1 - 0.65 * Math.sin((Math.PI * u) / 0.34)],
    [0.42, (u) => 1 + drive * Math.sin((Math.PI * u) / 0.42)], [0.04, (u) => 1 - u / 0.04],
    [(2 * velocity) / GRAVITY, () => 0], [0.3, (u) => 1 + landing * Math.sin((Math.PI * u) / 0.3)], [1.2, () => 1],
  ];
  const rows = parts.flatMap(([over, share]) => Array.from({ length: Math.round(over * 1000) }, (_, i) => weight * share(i / 1000)));
  return `Zeit;Kraft (N)\n${rows.map((force, i) => `${(i / 1000).toFixed(3)};${force.toFixed(1)}`.replaceAll(".", ",")).join("\n")}\n`;
}

/** @param {string} name @param {number} mass @param {number} velocity */
const file = (name, mass, velocity) => ({ name, mimeType: "text/csv", buffer: Buffer.from(jump(mass, velocity)) });

/** The number of a row of the page's tables. @param {import("playwright-core").Page} page @param {string} name */
async function number(page, name) {
  const cell = page.locator("tr", { has: page.getByRole("rowheader", { name, exact: true }) }).locator("td.number").first();
  return Number.parseFloat((await cell.textContent()) ?? "");
}

test("what means nothing for a kind of trial is not asked", async () => {
  const page = await laptop.newPage();
  await page.goto(`${program.address}/traces`);
  const asked = async () => (await page.locator("#hand-in [data-kinds]:visible input, #hand-in [data-kinds]:visible select")
    .evaluateAll((fields) => fields.map((field) => field.getAttribute("name"))));
  const kind = page.locator("#hand-in select[name=kind]");
  assert.deepEqual(await asked(), ["load", "exercise"], "of a countermovement jump");
  for (const [picked, fields] of /** @type {[string, string[]][]} */ ([
    ["drop-jump", ["load", "box"]], ["isometric", ["horizontal"]], ["bar", ["load", "exercise", "ballistic"]],
    ["by-name", ["load", "exercise", "box", "horizontal", "ballistic"]],
  ])) {
    await kind.selectOption(picked);
    assert.deepEqual(await asked(), fields, picked);
  }
  // One file of another kind than the batch asks for its own.
  await kind.selectOption("countermovement-jump");
  await page.setInputFiles("#hand-in input[type=file]", [file("A05 drop 1.csv", 80, 2.6)]);
  await page.locator("#handed tbody tr select[name=kind]").selectOption("drop-jump");
  assert.deepEqual(await asked(), ["load", "exercise", "box"]);
});

test("files are handed in, their columns confirmed once and remembered", async () => {
  const page = await laptop.newPage();
  await page.goto(`${program.address}/traces`);
  await page.selectOption("#hand-in select[name=athlete]", "by-name");
  await page.setInputFiles("#hand-in input[type=file]", [file("A05 cmj 1.csv", 80, 2.6), file("A05 cmj 2.csv", 80, 2.65), { name: "notes.csv", mimeType: "text/csv", buffer: Buffer.from("nothing,here\n") }]);
  assert.equal(await page.locator("#handed tbody tr").count(), 3, "each file has a row with its own choices");
  await page.locator("#handed tbody tr").nth(2).locator("select[name=athlete]").selectOption("A05");
  // Load and day follow the batch until they are typed for one file.
  await page.getByLabel("load of A05 cmj 2.csv").fill("20");
  await page.getByLabel("day of A05 cmj 2.csv").fill("2026-01-15");
  await page.locator("#hand-in input[name=load]").fill("0");
  assert.equal(await page.getByLabel("load of A05 cmj 1.csv").inputValue(), "0");
  assert.equal(await page.getByLabel("load of A05 cmj 2.csv").inputValue(), "20");
  await page.getByRole("button", { name: "File them" }).click();
  await until(async () => /2 waiting for their columns, 1 not taken of 3/.test((await page.textContent("#progress")) ?? ""), "a summary");
  assert.match((await page.locator("#handed tbody tr").nth(2).textContent()) ?? "", /✕ not taken/);
  await page.getByRole("link", { name: "Confirm the columns" }).click();

  const confirm = page.locator(".confirm");
  assert.match((await confirm.textContent()) ?? "", /2 files/);
  assert.deepEqual(await confirm.locator("select[name=role]").evaluateAll((all) => all.map((one) => /** @type {HTMLSelectElement} */ (one).value)), ["time", "force"]);
  assert.match((await confirm.locator("tbody tr").first().textContent()) ?? "", /784\.5/);
  await page.getByLabel("Remember it as").fill("plate in the corner");
  await page.getByRole("button", { name: "Read all 2 like this" }).click();
  await until(async () => (await page.locator(".confirm").count()) === 0, "nothing waits any more");
  const loaded = page.locator("tr", { hasText: "A05 cmj 2.csv" });
  assert.match((await loaded.textContent()) ?? "", /15 Jan 2026.*20\.0 kg/);
  assert.doesNotMatch((await page.locator("tr", { hasText: "A05 cmj 1.csv" }).textContent()) ?? "", /kg/);

  await page.selectOption("#hand-in select[name=athlete]", "by-name");
  await page.setInputFiles("#hand-in input[type=file]", [file("A05 cmj 3.csv", 80, 2.7), file("A05 again.csv", 80, 2.6)]);
  await page.getByRole("button", { name: "File them" }).click();
  await until(async () => /1 filed with numbers, 1 here already of 2/.test((await page.textContent("#progress")) ?? ""), "a summary");
  assert.match((await page.locator("#handed tbody tr").first().textContent()) ?? "", /read as "plate in the corner"/);
});

test("trials are picked to be laid over each other, and the picture stays through a closer look", async () => {
  const page = await laptop.newPage();
  await page.goto(`${program.address}/traces?athlete=A05`);
  await page.locator("tr", { hasText: "A05 cmj 3.csv" }).locator("a", { hasText: "countermovement jump" }).click();
  await page.waitForSelector("#over");
  const drawn = async () => /(\d) trials laid over each other/.exec((await page.textContent("#over")) ?? "")?.[1] ?? "none";
  assert.equal(await drawn(), "2", "the set of the day, as nobody picked");
  await page.locator("#pick label", { hasText: "20.0 kg" }).getByRole("checkbox").check();
  await page.getByRole("button", { name: "Draw these" }).click();
  await becomes(drawn, "3");
  await page.getByRole("link", { name: "closer" }).click();
  await until(async () => page.url().includes("picked=yes") && page.url().includes("from="), "the address says both");
  await page.reload();
  assert.equal(await drawn(), "3");
});

test("a remembered way of reading is forgotten and remembered again", async () => {
  const page = await laptop.newPage();
  await page.goto(`${program.address}/traces`);
  const row = page.locator("tr", { hasText: "plate in the corner" });
  await row.getByRole("button", { name: "Forget" }).click();
  await until(async () => (await row.count()) === 0, "it is gone");
  await page.getByRole("button", { name: "Remember it again" }).click();
  await until(async () => (await row.count()) === 1, "it is back");
});

test("an event is dragged, everything is computed anew, and it is taken back", async () => {
  const page = await laptop.newPage();
  await page.goto(`${program.address}/traces?athlete=A05`);
  await page.locator("td a", { hasText: "countermovement jump" }).first().click();
  const before = await number(page, "flight time");
  // Flight of a take-off at 2.6 to 2.7 m/s: 2 v / g.
  assert.ok(before > (2 * 2.55) / GRAVITY && before < (2 * 2.75) / GRAVITY, `${before} s`);

  const grip = page.getByRole("slider", { name: /^landing/ });
  const box = await grip.boundingBox();
  assert.ok(box);
  await page.mouse.move(box.x + box.width / 2, box.y + 40);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width / 2 + 30, box.y + 40, { steps: 5 });
  await page.mouse.up();
  await until(async () => (await number(page, "flight time")) > before + 0.01, "a longer flight");
  assert.match((await page.textContent("main")) ?? "", /The landing was set by a person/);

  await page.getByRole("button", { name: "Take back" }).first().click();
  await becomes(() => number(page, "flight time"), before);
});

test("keys move an event by a thousandth of a second", async () => {
  const page = await laptop.newPage();
  await page.goto(`${program.address}/traces?athlete=A05`);
  await page.locator("td a", { hasText: "countermovement jump" }).first().click();
  const before = await number(page, "flight time");
  await page.getByRole("slider", { name: /^landing/ }).focus();
  for (let i = 0; i < 8; i++) await page.keyboard.press("ArrowRight");
  await page.keyboard.press("Enter");
  await until(async () => Math.abs((await number(page, "flight time")) - before - 0.008) < 0.0021, "eight thousandths more");
  await page.getByRole("button", { name: "Take back" }).first().click();
  await becomes(() => number(page, "flight time"), before);
});

test("a drag across the picture shows that stretch, and the links show others", async () => {
  const page = await laptop.newPage();
  await page.goto(`${program.address}/traces?athlete=A05`);
  await page.locator("td a", { hasText: "countermovement jump" }).first().click();
  const shown = () => page.locator("#trace-figure .wide svg").evaluate((svg) => {
    const { from, to } = /** @type {SVGSVGElement} */ (svg).dataset;
    return Number(to) - Number(from);
  });
  const whole = await shown();
  const box = await page.locator("#trace-figure .wide svg").boundingBox();
  assert.ok(box);
  await page.mouse.move(box.x + box.width * 0.2, box.y + 200);
  await page.mouse.down();
  await page.mouse.move(box.x + box.width * 0.35, box.y + 200, { steps: 5 });
  await page.mouse.up();
  await until(async () => (await shown()) < whole * 0.5, "a shorter stretch");
  await page.getByRole("link", { name: "the trial" }).click();
  await becomes(shown, whole);
});

test("a trial is set aside with one click, and counts again", async () => {
  const page = await laptop.newPage();
  await page.goto(`${program.address}/traces?athlete=A05`);
  await page.locator("td a", { hasText: "countermovement jump" }).first().click();
  await page.getByRole("button", { name: "not a full effort" }).click();
  await until(async () => /✕ Set aside: not a full effort/.test((await page.textContent("main")) ?? ""), "it is set aside");
  await page.getByRole("button", { name: "Count it again" }).click();
  await until(async () => !/✕ Set aside/.test((await page.textContent("main")) ?? ""), "it counts again");
});

test("without script a file is handed in, confirmed and put right by forms", async () => {
  const plain = await device(browser, { javaScriptEnabled: false });
  const page = await plain.newPage();
  await page.goto(`${program.address}/traces`);
  await page.selectOption("#hand-in select[name=athlete]", "A02");
  const other = jump(61, 2.3).replace("Zeit;Kraft (N)", "t (s);Fz (N)");
  await page.setInputFiles("#hand-in input[type=file]", { name: "plain.csv", mimeType: "text/csv", buffer: Buffer.from(other) });
  await page.getByRole("button", { name: "File them" }).click();
  assert.match((await page.textContent("main")) ?? "", /1 waiting for their columns of 1/);
  await page.getByRole("link", { name: "Confirm the columns" }).click();
  await page.getByRole("button", { name: "Read it like this" }).click();
  assert.equal(new URL(page.url()).pathname, "/traces");
  await page.locator("td a", { hasText: "countermovement jump" }).first().click();
  const before = await number(page, "flight time");
  const landing = page.locator("form[data-event=landing]");
  const at = Number(await landing.locator("input[name=seconds]").inputValue());
  await landing.locator("input[name=seconds]").fill((at + 0.02).toFixed(3));
  await landing.getByRole("button", { name: "Move it" }).click();
  assert.ok(Math.abs((await number(page, "flight time")) - before - 0.02) < 0.0021);
  await page.getByRole("button", { name: "Take back" }).first().click();
  assert.equal(await number(page, "flight time"), before);
  await plain.close();
});

const SIZES = {
  phone: { width: 390, height: 844 }, tablet: { width: 810, height: 1080 },
  laptop: { width: 1366, height: 768 }, tv: { width: 1920, height: 1080 },
};
for (const [size, viewport] of Object.entries(SIZES)) {
  test(`the pages pass axe on a ${size}`, async () => {
    const context = await device(browser, { viewport });
    const page = await context.newPage();
    await page.goto(`${program.address}/traces`);
    assert.deepEqual(await violations(page), []);
    for (const what of ["countermovement jump", "isometric effort"]) {
      await page.goto(`${program.address}/traces`);
      await page.locator("td a", { hasText: what }).last().click();
      await page.waitForSelector("#trace-figure");
      assert.deepEqual(await violations(page), [], what);
    }
    await context.close();
  });
}
