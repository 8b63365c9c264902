// @ts-check
// What thumbs and habit do to a number is asked about, never taken as it stands and never mended
// behind anyone's back.
import assert from "node:assert/strict";
import { after, afterEach, before, test } from "node:test";
import { becomes, browser as launch, device, record, Station, until } from "./device.js";
import { Program } from "./program.js";

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("playwright-core").BrowserContext} */ let tablet;

before(async () => {
  program = await Program.start();
  browser = await launch();
  tablet = await device(browser);
});
after(async () => { await browser?.close(); await program?.end(); });
afterEach(() => Promise.all(tablet.pages().map((page) => page.close())));

const depthJumps = () => record(tablet, program.address, "A01", "Depth jump");

/** What is typed, and the reading that must be offered: a jump of Oriel's, whose last ones from
 *  this box were 31.9 to 33.9 cm. */
const slips = [
  { typed: "315", meant: "31.5 cm?", kept: "31.5 cm", slip: "the point left out" },
  { typed: "0.322", meant: "0.322 m = 32.2 cm?", kept: "32.2 cm", slip: "metres" },
  { typed: "3,28", meant: "32.8 cm?", kept: "32.8 cm", slip: "the point one place off" },
  { typed: "13.0 in", meant: "13.0 in = 33.0 cm?", kept: "33.0 cm", slip: "inches, named" },
  { typed: "12.6", meant: "12.6 in = 32.0 cm?", kept: "32.0 cm", slip: "inches, by habit" },
  { typed: "33.4.", meant: undefined, kept: undefined, slip: "two points" },
];

for (const { typed, meant, kept, slip } of slips) {
  test(`${slip}: ${typed}`, async () => {
    const before = await depthJumps();
    const station = await Station.open(tablet, program.address, 1);
    await station.type(typed);
    if (!meant) {
      await until(async () => (await station.message()).includes(typed), "a sentence that says what was typed");
      assert.equal(await station.question(), "");
      assert.deepEqual(await depthJumps(), before);
      return;
    }
    await until(async () => (await station.question()).includes(typed), "a question");
    assert.ok((await station.offers()).includes(meant), `${meant} among ${await station.offers()}`);
    assert.deepEqual(await depthJumps(), before, "nothing is taken before it is settled");
    await station.press(meant);
    await until(async () => (await depthJumps()).length === before.length + 1, "the chosen reading is kept");
    assert.deepEqual(await depthJumps(), [kept, ...before]);
    assert.equal(await station.question(), "");
  });
}

test("a number with a comma that is right passes without a word", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.rep("32,6", "32.6cm");
  assert.equal(await station.question(), "");
});

test("to retype changes nothing", async () => {
  const before = await depthJumps();
  const station = await Station.open(tablet, program.address, 1);
  await station.type("275");
  await until(async () => (await station.question()).includes("275"), "a question");
  assert.equal(await station.question(), "Oriel, station 1: 275? That cannot be.");
  await station.press("Retype");
  await becomes(() => station.question(), "");
  assert.equal(await station.page.evaluate(() => document.activeElement?.id), "typed", "ready for it again");
  await station.page.reload();
  assert.equal(await station.question(), "");
  assert.deepEqual(await depthJumps(), before);
});

test("a question survives a reload", async () => {
  const before = await depthJumps();
  const station = await Station.open(tablet, program.address, 1);
  await station.type("318");
  await until(async () => (await station.question()).includes("318"), "the question");
  await station.page.reload();
  await until(async () => (await station.question()).includes("318"), "the question again");
  await station.press("31.8 cm?");
  await until(async () => (await depthJumps()).length === before.length + 1, "it is kept");
});

test("a question goes with the next number, and that is said", async () => {
  const before = await depthJumps();
  const station = await Station.open(tablet, program.address, 1);
  await station.type("318");
  await until(async () => (await station.question()).includes("318"), "the question");
  await station.rep("32.9");
  assert.equal(await station.question(), "");
  assert.equal(await station.message(), "Not taken: Oriel, station 1: 318.");
  assert.deepEqual(await depthJumps(), ["32.9 cm", ...before]);
});

test("a question goes when the set is closed, and when someone else is called up elsewhere", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.type("318");
  await until(async () => (await station.question()).includes("318"), "the question");
  await station.press("Close set");
  await becomes(() => station.up(), "Yevka");
  assert.equal(await station.question(), "");
  await station.type("319");
  await until(async () => (await station.question()).startsWith("Yevka, station 1: 319?"), "the question");
  await tablet.request.post(`${program.address}/floor/1/turn`, { form: { athlete: "A01" } });
  await becomes(() => station.up(), "Oriel");
  await becomes(() => station.question(), "");
});

test("a question of one page is not asked on another", async () => {
  const page = await tablet.newPage();
  await page.goto(`${program.address}/athlete/A01`);
  const mass = page.locator('form[action$="/mass"]').first();
  const question = async () => (await page.locator("#ask p").allTextContents()).join();
  await mass.locator('[name="text"]').fill("505");
  await mass.getByRole("button").click();
  await until(async () => (await question()).includes("505"), "the question");
  await mass.locator('[name="text"]').fill("50,9");
  await mass.getByRole("button").click();
  await until(async () => /last 50\.9 kg/.test(await page.innerText("main")), "the next number is taken");
  assert.equal(await question(), "");
  await mass.locator('[name="text"]').fill("505");
  await mass.getByRole("button").click();
  await until(async () => (await question()).includes("505"), "the question");
  await page.goto(`${program.address}/athlete/A02`);
  await page.waitForLoadState("networkidle").catch(() => {});
  assert.equal(await question(), "");
});

test("the same number at once is a second tap until someone says otherwise", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.rep("33.1");
  await station.type("33.1");
  await until(async () => (await station.question()).includes("33.1"), "a question");
});

test("a slip in a correction is asked about as well", async () => {
  const station = await Station.open(tablet, program.address, 1);
  await station.rep("32.3");
  await station.unfold("mend");
  await station.page.fill('#mend input[name="text"]', "334");
  await station.press("Correct", "mend");
  await until(async () => (await station.question()).includes("334"), "a question");
  assert.equal(await station.shown(), "32.3cm");
  await station.press("33.4 cm?");
  await becomes(() => station.shown(), "33.4cm");
});

test("a barred athlete is refused with the sentence that says why and until when", async () => {
  const answer = await tablet.request.post(`${program.address}/floor/1/rep`, {
    form: { athlete: "N01", text: "32.0" }, headers: { Accept: "application/json" },
  });
  assert.equal(answer.status(), 422);
  const { kept, refused } = await answer.json();
  assert.equal(kept, false);
  assert.match(refused, /is barred from .+: medical stand-down\. Until a doctor clears, not before 10 October 2026\./);
});

test("a barred hand is refused on the page, the other hand is not", async () => {
  const station = await Station.open(tablet, program.address, 2);
  await station.press("Tavish", "turn");
  await becomes(() => station.up(), "Tavish");
  await station.page.locator(".sides label", { hasText: "lead hand" }).click();
  await station.type("2.51");
  await until(async () => /barred from .+right hand, physio's word.+Instead: the rear hand\./.test(await station.message()), "the sentence");
  assert.equal(await station.judgement(), "no rep yet");
  await station.page.locator(".sides label", { hasText: "rear hand" }).click();
  await station.rep("2.91", "2.91m/s");
});
