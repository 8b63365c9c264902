// @ts-check
// Browsers and what a coach does in them.
import assert from "node:assert/strict";
import { chromium } from "playwright-core";

/** Generous: the machine that runs the tests may be busy. What is timed is timed elsewhere. */
const PATIENCE_MS = 10_000;

/** @returns {Promise<import("playwright-core").Browser>} */
export const browser = () => chromium.launch({
  executablePath: process.env.CHROMIUM ?? "/usr/bin/chromium",
  args: ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking"],
});

/** A device of its own: a tablet with its own storage and network.
 *  @param {import("playwright-core").Browser} browser
 *  @param {import("playwright-core").BrowserContextOptions} [options] */
export async function device(browser, options) {
  const context = await browser.newContext({ viewport: { width: 810, height: 1080 }, ...options });
  context.setDefaultTimeout(PATIENCE_MS);
  return context;
}

/** Waits until what is read equals what is expected; the failure shows both.
 *  @template T @param {() => Promise<T>} read @param {T} expected @param {string} [what] */
export async function becomes(read, expected, what) {
  const end = Date.now() + PATIENCE_MS;
  let last;
  do {
    last = await read();
    try { assert.deepEqual(last, expected); return; } catch { /* not yet */ }
    await new Promise((resolve) => setTimeout(resolve, 30));
  } while (Date.now() < end);
  assert.deepEqual(last, expected, what);
}

/** Waits until a condition holds.
 *  @param {() => Promise<boolean>} holds @param {string} what */
export const until = (holds, what) => becomes(holds, true, `never: ${what}`);

/** The page of one station, as a thumb and an eye use it. */
export class Station {
  /** @param {import("playwright-core").Page} page @param {number} number */
  constructor(page, number) { this.page = page; this.number = number; }

  /** @param {import("playwright-core").BrowserContext} context @param {string} address @param {number} number */
  static async open(context, address, number) {
    const page = await context.newPage();
    const answer = await page.goto(`${address}/floor/${number}`);
    assert.equal(answer?.status(), 200, `station ${number}`);
    return new Station(page, number);
  }

  /** @param {string} selector */
  async #text(selector) {
    const found = await this.page.locator(selector).allTextContents();
    return found.map((text) => text.replace(/\s+/g, " ").trim()).join(" | ");
  }

  /** Who is up. */
  async up() { return (await this.#text(".who h1")).replace(/[A-Z]\d\d$/, "").trim(); }
  /** The big number with its unit, "31.2cm". */
  shown() { return this.#text(".result > .number"); }
  judgement() { return this.#text(".result > .judgement"); }
  action() { return this.#text(".station > .action"); }
  load() { return this.#text(".what .load"); }
  /** Whose the big number is. */
  whose() { return this.#text(".result > .whose"); }
  /** The result before, small and named. */
  before() { return this.#text(".result > .before"); }
  cue() { return this.#text(".cue"); }
  message() { return this.#text("#message:not([hidden])"); }
  question() { return this.#text("#ask:not([hidden]) p"); }
  offers() { return this.page.locator("#ask:not([hidden]) .choices button").allTextContents(); }

  /** Types into the pad's field and presses Enter. @param {string} text */
  async type(text) {
    await this.page.fill("#typed", text);
    await this.page.press("#typed", "Enter");
  }

  /** Types with the thumb on the pad's own keys. @param {string} text */
  async tap(text) {
    for (const key of text) await this.page.click(`#rep [data-key="${key}"]`);
    await this.page.click('#rep [type="submit"]');
  }

  /** Types a rep and waits until it stands there as the last one.
   *  @param {string} text @param {string} [shown] */
  async rep(text, shown) {
    await this.type(text);
    await becomes(() => this.shown(), shown ?? `${text}cm`, `rep ${text}`);
  }

  /** Presses a button by its words; opens the fold it lies in first. @param {string | RegExp} words @param {string} [fold] */
  async press(words, fold) {
    if (fold) await this.unfold(fold);
    const within = fold ? this.page.locator(`#${fold}`) : this.page;
    await within.getByRole("button", { name: words, exact: typeof words === "string" }).first().click();
  }

  /** @param {string} id */
  async unfold(id) {
    const fold = this.page.locator(`#${id}`);
    if ((await fold.getAttribute("open")) === null) await fold.locator("summary").click();
  }

  /** Reps of the set in progress, from "Rep 3 of 6": the one to come is the third. */
  async done() {
    const next = /Rep (\d+) of/.exec(await this.action())?.[1];
    return next === undefined ? undefined : Number(next) - 1;
  }
}

/** The latest reps of an athlete, newest first, as the record shows them: ["31.2 cm", …].
 *  @param {import("playwright-core").BrowserContext} context @param {string} address @param {string} code
 *  @param {string} exercise */
export async function record(context, address, code, exercise) {
  const page = await context.newPage();
  await page.goto(`${address}/athlete/${code}`);
  const rows = await page.locator('[aria-label="Latest reps"] tbody tr').evaluateAll((rows) =>
    rows.map((row) => [...row.querySelectorAll("td")].map((cell) => cell.textContent?.trim() ?? "")));
  await page.close();
  return rows.filter((row) => row[1]?.startsWith(exercise)).map((row) => row[3] ?? "");
}
