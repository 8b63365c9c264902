// @ts-check
// One station, two athletes, two exercises: the form follows who is up, at phone and tablet size.
import assert from "node:assert/strict";
import { after, afterEach, before, test } from "node:test";
import { becomes, browser as launch, device, record, Station, until } from "./device.js";
import { Program } from "./program.js";

/** @type {Program} */ let program;
/** @type {import("playwright-core").Browser} */ let browser;
/** @type {import("playwright-core").BrowserContext} */ let tablet;
/** @type {import("playwright-core").BrowserContext} */ let phone;

before(async () => {
  program = await Program.start();
  browser = await launch();
  tablet = await device(browser);
  phone = await device(browser, { viewport: { width: 390, height: 844 }, hasTouch: true });
});
after(async () => { await browser?.close(); await program?.end(); });
afterEach(() => Promise.all([tablet, phone].flatMap((one) => one.pages()).map((page) => page.close())));

/** @param {Station} station */
const label = (station) => station.page.locator('#rep label[for="typed"]').innerText();
/** @param {string} athlete */
const callUp = (athlete) => tablet.request.post(`${program.address}/floor/1/turn`, { form: { athlete } });

for (const [name, at] of /** @type {const} */ ([["tablet", () => tablet], ["phone", () => phone]])) {
  test(`${name}: the form follows who is up, and the page is back at the top`, async () => {
    await callUp("A01");
    const station = await Station.open(at(), program.address, 1);
    await becomes(() => station.up(), "Oriel");
    assert.match(await label(station), /^Oriel/);
    await station.page.evaluate(() => scrollTo(0, document.documentElement.scrollHeight));
    await callUp("N02");
    await becomes(() => station.up(), "Yevka");
    await until(async () => (await label(station)).startsWith("Yevka"), "the form is Yevka's");
    assert.equal(await station.page.inputValue('#rep [name="athlete"]'), "N02");
    await becomes(() => station.page.evaluate(() => scrollY), 0);
  });

  test(`${name}: what is half typed stays for the same athlete and goes with another`, async () => {
    await callUp("A01");
    const station = await Station.open(at(), program.address, 1);
    await becomes(() => station.up(), "Oriel");
    await station.page.fill("#typed", "31.");
    await tablet.request.post(`${program.address}/floor/1/box`, { form: { athlete: "A01", cm: name === "phone" ? "30" : "40" } });
    await becomes(() => station.load(), name === "phone" ? "box 30 cm" : "box 40 cm");
    await until(async () => (await station.page.inputValue('#rep [name="box"]')) === (name === "phone" ? "30.0" : "40.0"), "the form knows the box");
    assert.equal(await station.page.inputValue("#typed"), "31.");
    await callUp("N02");
    await until(async () => (await label(station)).startsWith("Yevka"), "the form is Yevka's");
    assert.equal(await station.page.inputValue("#typed"), "");
    assert.equal(await station.message(), "“31.” was for Oriel. Now up: Yevka.");
  });
}

test("a form that missed the changeover asks for whom the number is", async () => {
  await callUp("A01");
  const station = await Station.open(tablet, program.address, 1);
  await becomes(() => station.up(), "Oriel");
  const before = await record(tablet, program.address, "A01", "Depth jump");
  await tablet.setOffline(true);
  await station.type("32.4");
  await until(async () => /^Kept on this device/.test(await station.message()), "it waits");
  // The phone is not offline.
  await phone.request.post(`${program.address}/floor/1/turn`, { form: { athlete: "N02" } });
  await tablet.setOffline(false);
  await until(async () => (await station.question()).includes("For whom is 32.4?"), "the question");
  assert.match(await station.question(), /^This was open for Oriel, depth jump.+\. Now up: Yevka, depth jump/);
  await station.press(/^Oriel, /);
  await until(async () => (await record(tablet, program.address, "A01", "Depth jump")).length === before.length + 1, "Oriel's");
  assert.equal((await record(tablet, program.address, "A01", "Depth jump"))[0], "32.4 cm");
});

for (const [name, at] of /** @type {const} */ ([["tablet", () => tablet], ["phone", () => phone]])) {
  test(`${name}: two hands: number, hand and best belong together`, async () => {
    const station = await Station.open(at(), program.address, 2);
    await tablet.request.post(`${program.address}/floor/2/turn`, { form: { athlete: "A02" } });
    await becomes(() => station.up(), "Zofka");
    const marks = async () => (await station.page.locator(".strip svg:visible").first().textContent()) ?? "";
    for (const speed of ["2.71", "2.75", "2.68"]) await station.rep(speed, `${speed}m/s`);
    await becomes(() => station.whose(), "Zofka, rear hand");
    const rear = /best to beat\s*([\d.]+)/.exec(await marks())?.[1];
    await until(async () => (await station.page.inputValue('#rep [name="drawn_side"]')) === "lead", "the form is for the lead hand");
    await station.rep("2.61", "2.61m/s");
    await becomes(() => station.whose(), "Zofka, lead hand");
    const lead = /best to beat\s*([\d.]+)/.exec(await marks())?.[1];
    assert.notEqual(lead, rear, "the best of the hand that did the rep");
    await station.press("Close set");
    await until(async () => (await station.up()) !== "Zofka", "the next is up");
    assert.match(await station.before(), /^Zofka, lead hand 2\.61 m\/s, /);
    assert.equal(await station.shown(), "·");
  });
}

test("fast taps on one key all count", async () => {
  await callUp("A01");
  const station = await Station.open(phone, program.address, 1);
  await becomes(() => station.up(), "Oriel");
  await station.page.evaluate(() => {
    const key = /** @type {HTMLElement} */ (document.querySelector('#rep [data-key="5"]'));
    for (let i = 0; i < 3; i++) key.click();
  });
  assert.equal(await station.page.inputValue("#typed"), "555");
});
