// @ts-check
// Several devices at once, a network that comes and goes, a computer that loses its power:
// nothing is lost and nothing is doubled.
import assert from "node:assert/strict";
import { after, afterEach, before, test } from "node:test";
import { becomes, browser as launch, device, record, Station, until } from "./device.js";
import { Program } from "./program.js";

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("playwright-core").BrowserContext} */ let one;
/** @type {import("playwright-core").BrowserContext} */ let other;

before(async () => {
  program = await Program.start();
  browser = await launch();
  [one, other] = [await device(browser), await device(browser)];
});
after(async () => { await browser?.close(); await program?.end(); });
afterEach(() => Promise.all([one, other].flatMap((tablet) => tablet.pages()).map((page) => page.close())));

const depthJumps = (code = "A01") => record(one, program.address, code, "Depth jump");

test("two tablets at one station at the same moment", async () => {
  const before = await depthJumps();
  const [left, right] = [await Station.open(one, program.address, 1), await Station.open(other, program.address, 1)];
  await Promise.all([left.type("31.7"), right.type("32.4")]);
  for (const station of [left, right]) await becomes(() => station.done(), 2);
  const fresh = (await depthJumps()).slice(0, -before.length || undefined);
  assert.deepEqual(fresh.sort(), ["31.7 cm", "32.4 cm"]);
});

test("every station from two devices at once, each submission sent twice", async () => {
  const stations = [
    { number: 1, athlete: "N02", exercise: "Depth jump", unit: "cm", value: (/** @type {number} */ i) => 33 + i / 10, si: 0.01 },
    { number: 2, athlete: "A06", exercise: "Landmine punch throw", unit: "m/s", value: (/** @type {number} */ i) => 2.5 + i / 100, si: 1 },
    { number: 3, athlete: "A03", exercise: "Loaded jump", unit: "cm", value: (/** @type {number} */ i) => 30 + i / 10, si: 0.01 },
    { number: 4, athlete: "A07", exercise: "Landmine split jerk", unit: "m/s", value: (/** @type {number} */ i) => 1.6 + i / 100, si: 1 },
  ];
  const decimals = (/** @type {string} */ unit) => (unit === "cm" ? 1 : 2);
  const posts = stations.flatMap((s) => Array.from({ length: 6 }, (_, i) => ({
    url: `${program.address}/floor/${s.number}/rep`,
    // Chosen as after a question: what is tested here is not the guard.
    form: { id: crypto.randomUUID(), athlete: s.athlete, text: String(s.value(i)), chosen: String(s.value(i) * s.si) },
  })));
  const send = async (/** @type {typeof posts[number]} */ { url, form }, /** @type {number} */ i) => {
    const answer = await (i % 2 ? one : other).request.post(url, { form, headers: { Accept: "application/json" } });
    return (await answer.json()).kept;
  };
  const answers = await Promise.all([...posts, ...posts].map(send));
  assert.deepEqual(answers, answers.map(() => true), "the second time is answered like the first");
  for (const s of stations) {
    const latest = (await record(one, program.address, s.athlete, s.exercise)).slice(0, 7);
    const sent = Array.from({ length: 6 }, (_, i) => `${s.value(i).toFixed(decimals(s.unit))} ${s.unit}`);
    assert.deepEqual(latest.slice(0, 6).sort(), sent.sort(), `station ${s.number}`);
    assert.ok(!sent.includes(latest[6] ?? ""), `station ${s.number}: a seventh`);
  }
});

test("the network is away: entries wait on the device and arrive in order, once", async () => {
  const station = await Station.open(one, program.address, 1);
  await station.press("Close set");
  await becomes(() => station.up(), "Yevka");
  await station.press("Close set");
  await becomes(() => station.up(), "Oriel");
  const before = await depthJumps();
  await one.setOffline(true);
  const typed = ["31.4", "32.7", "32.2"];
  for (const text of typed) await station.type(text);
  await until(async () => /^3 entries kept on this device/.test(await station.message()), "the device says that it keeps them");
  await one.setOffline(false);
  await becomes(() => station.shown(), "32.2cm");
  assert.deepEqual((await depthJumps()).slice(0, 3), typed.map((text) => `${text} cm`).reverse());
  assert.equal((await depthJumps()).length, before.length + 3);
  await becomes(() => station.message(), "");
});

test("an answer that never arrives: the rep is sent again and stays one", async () => {
  const station = await Station.open(one, program.address, 1);
  const before = await depthJumps();
  let lost = 0;
  await station.page.route("**/floor/1/rep", async (route) => {
    if (lost++ > 0) return route.continue();
    await route.fetch();
    await route.abort("connectionreset");
  });
  await station.type("32.8");
  await becomes(() => station.shown(), "32.8cm");
  await until(async () => lost > 1, "it was sent again");
  await becomes(() => station.message(), "");
  assert.deepEqual(await depthJumps(), ["32.8 cm", ...before]);
});

test("the power fails in mid-set: the page finds back by itself and stands at the exact rep", async () => {
  const station = await Station.open(one, program.address, 2);
  const stands = async () => ({
    up: await station.up(), shown: await station.shown(), judgement: await station.judgement(), action: await station.action(),
    side: await station.page.locator(".sides input:checked").inputValue(),
  });
  await station.rep("2.71", "2.71m/s");
  await station.rep("2.66", "2.66m/s");
  const before = await stands();
  await program.kill();
  await program.start();
  await station.page.reload();
  assert.deepEqual(await stands(), before, "after a reload");

  await program.kill();
  await station.type("2.74");
  await until(async () => /^Kept on this device/.test(await station.message()), "the device keeps it");
  await program.start();
  await becomes(() => station.shown(), "2.74m/s", "without anyone touching the page");
  const reps = await record(one, program.address, "A02", "Landmine punch throw");
  assert.deepEqual(reps.slice(0, 3), ["2.74 m/s", "2.66 m/s", "2.71 m/s"]);
  await becomes(() => station.message(), "");
});

test("killed while many post: what was answered as kept is there, everything once after sending again", async (t) => {
  // Numbers that nobody has reached before, as many as an athlete's page shows.
  const speed = (/** @type {number} */ i) => (2 + i / 100).toFixed(2);
  const posts = Array.from({ length: 40 }, (_, i) => ({ id: crypto.randomUUID(), athlete: "A04", text: "", chosen: speed(i) }));
  const send = async (/** @type {typeof posts[number]} */ form) => {
    try {
      const answer = await fetch(`${program.address}/floor/4/rep`, {
        method: "POST", body: new URLSearchParams(form), headers: { Accept: "application/json" },
      });
      return (await answer.json()).kept === true;
    } catch { return false; }
  };
  const jerks = () => record(one, program.address, "A04", "Landmine split jerk");
  const sending = posts.map(send);
  await Promise.race(sending);
  await program.kill();
  const kept = await Promise.all(sending);
  await program.start();
  const there = await jerks();
  t.diagnostic(`${kept.filter(Boolean).length} of ${posts.length} were answered before the kill`);
  for (const [i, was] of kept.entries()) if (was) assert.ok(there.includes(`${speed(i)} m/s`), `${speed(i)} was answered as kept`);
  assert.deepEqual(await Promise.all(posts.map(send)), posts.map(() => true));
  assert.deepEqual((await jerks()).sort(), posts.map((_, i) => `${speed(i)} m/s`));
});

test("seven windows of one browser: those that nobody sees give their connection up", async () => {
  for (let i = 0; i < 7; i++) {
    const page = await one.newPage();
    await page.goto(`${program.address}/wall`);
    await page.evaluate(() => {
      Object.defineProperty(document, "visibilityState", { value: "hidden", configurable: true });
      document.dispatchEvent(new Event("visibilitychange"));
    });
  }
  const [first] = one.pages();
  assert.ok(first);
  const station = await Station.open(other, program.address, 1);
  await station.rep("31.9");
  await first.evaluate(() => {
    Object.defineProperty(document, "visibilityState", { value: "visible", configurable: true });
    document.dispatchEvent(new Event("visibilitychange"));
  });
  await becomes(() => first.locator('section[aria-label="Station 1"] .number').textContent(), "31.9cm", "a window seen again is live again");
});
