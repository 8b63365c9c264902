// @ts-check
// Everything a page does in the browser: keep its region live, send forms so that nothing typed is
// lost, drive the pad, count rest. Without this script the forms still work.

/** @param {string} selector @returns {HTMLElement | null} */
const one = (selector) => document.querySelector(selector);

// --- live region -------------------------------------------------------------------------------

const region = one("#region");
const stale = one("#stale");
/** No sign of life for this long means that what is shown may be old. */
const STALE_MS = 25_000;
let lastSign = Date.now();

/** Puts new content in place without closing what the reader opened or losing the focus.
 *  @param {HTMLElement} into @param {string} html */
function replace(into, html) {
  const open = [...into.querySelectorAll("details[open]")].map((details) => details.id);
  const typed = [...into.querySelectorAll("input:not([type=hidden]):not([type=radio])")].map((input) => {
    const field = /** @type {HTMLInputElement} */ (input);
    return { form: field.form?.getAttribute("action"), name: field.name, value: field.value };
  });
  const focus = document.activeElement;
  const focused = focus instanceof HTMLInputElement && into.contains(focus)
    ? { form: focus.form?.getAttribute("action"), name: focus.name } : null;
  into.innerHTML = html;
  for (const id of open) if (id) document.getElementById(id)?.setAttribute("open", "");
  for (const field of into.querySelectorAll("input:not([type=hidden]):not([type=radio])")) {
    const input = /** @type {HTMLInputElement} */ (field);
    const before = typed.find((one) => one.name === input.name && one.form === input.form?.getAttribute("action"));
    if (before && input.type !== "checkbox") input.value = before.value;
    if (focused && input.name === focused.name && input.form?.getAttribute("action") === focused.form) input.focus();
  }
  tick();
}

/** Says the last number to a screen reader, once. */
let lastSaid = one("[data-say]")?.dataset.say;
function say() {
  const words = one("[data-say]")?.dataset.say;
  const said = one("#said");
  if (said && words && words !== lastSaid) said.textContent = words;
  lastSaid = words;
}

if (region?.dataset.live) {
  const source = new EventSource("/live?page=" + encodeURIComponent(region.dataset.live));
  const sign = () => { lastSign = Date.now(); };
  source.addEventListener("open", () => { sign(); void sendWaiting(); });
  source.addEventListener("beat", sign);
  source.addEventListener("region", (event) => {
    sign();
    if (region.innerHTML !== event.data) replace(region, event.data);
    say();
  });
  addEventListener("pagehide", () => source.close());
}

// --- sending -----------------------------------------------------------------------------------

/** A submission that the gym's computer has not yet answered.
 *  @typedef {{ path: string, fields: [string, string][], at: number }} Waiting */

const BOX = "cornerwork-waiting";
/** @returns {Waiting[]} */
const waiting = () => {
  try { return JSON.parse(localStorage.getItem(BOX) ?? "[]"); } catch { return []; }
};
/** @param {Waiting[]} list */
const keep = (list) => localStorage.setItem(BOX, JSON.stringify(list));

/** Sixteen random bytes with the time in front: a UUID of version 7. Plain HTTP on a gym's network
 *  has no crypto.randomUUID. */
function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  let time = Date.now();
  for (let i = 5; i >= 0; i--) { bytes[i] = time % 256; time = Math.floor(time / 256); }
  bytes[6] = (bytes[6] & 0x0f) | 0x70;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  return [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** @param {string} text @param {boolean} [lasting] */
function message(text, lasting = false) {
  const place = one("#message");
  if (!place) return;
  place.textContent = text;
  place.hidden = text === "";
  if (!lasting) setTimeout(() => { if (place.textContent === text) place.hidden = true; }, 6000);
}

/** @param {Waiting} item */
async function post(item) {
  const body = new URLSearchParams(item.fields);
  body.append("age_ms", String(Date.now() - item.at));
  const response = await fetch(item.path, {
    method: "POST", body, headers: { Accept: "application/json" }, signal: AbortSignal.timeout(8000),
  });
  if (response.status >= 500) throw new Error("the gym's computer is in trouble");
  return response.json();
}

/** The oldest first, one at a time, so that reps arrive in the order they were done. */
let sending = Promise.resolve();
const sendWaiting = () => (sending = sending.then(sendAll, sendAll));

async function sendAll() {
  for (let list = waiting(); list.length > 0; list = waiting()) {
    const item = list[0];
    let answer;
    try {
      answer = await post(item);
    } catch {
      message(list.length === 1 ? "Kept on this device. Sending when the gym's computer answers."
        : `${list.length} entries kept on this device. Sending when the gym's computer answers.`, true);
      return;
    }
    keep(waiting().filter((one) => one.fields[0][1] !== item.fields[0][1]));
    told(item, answer);
  }
}

/** @param {Waiting} item @param {any} answer */
function told(item, answer) {
  if (answer.kept) {
    message("");
    if (answer.go) location.assign(answer.go);
    else if (!region?.dataset.live) location.reload();
  } else if (answer.ask) ask(item, answer);
  else message(answer.refused ?? "Not taken.", true);
}

document.addEventListener("submit", (event) => {
  const form = /** @type {HTMLFormElement} */ (event.target);
  if (!form.matches("[data-send]")) return;
  event.preventDefault();
  const data = new FormData(form, event.submitter);
  /** @type {[string, string][]} */
  const fields = [["id", newId()], ...[...data].map(([name, value]) => /** @type {[string, string]} */ ([name, String(value)]))];
  keep([...waiting(), { path: new URL(form.action).pathname, fields, at: Date.now() }]);
  for (const input of form.querySelectorAll("input[name=text], input[name=contact]")) {
    /** @type {HTMLInputElement} */ (input).value = "";
  }
  void sendWaiting();
});

// --- which was meant? --------------------------------------------------------------------------

const dialog = one("#ask");

/** @param {Waiting} item @param {{ ask: string, offers: { chosen: number, sentence: string }[] }} question */
function ask(item, question) {
  const place = dialog ?? document.body.appendChild(Object.assign(document.createElement("div"), {
    id: "ask", innerHTML: '<p id="ask-title"></p><div class="choices"></div>',
  }));
  const title = place.querySelector("p");
  const choices = place.querySelector(".choices");
  if (!title || !choices) return;
  const typed = item.fields.find(([name]) => name === "text")?.[1];
  title.textContent = typed ? `“${typed}”: ${question.ask}` : question.ask;
  choices.replaceChildren(...question.offers.map(({ chosen, sentence }) => {
    const button = document.createElement("button");
    button.textContent = sentence;
    button.addEventListener("click", () => {
      place.hidden = true;
      keep([...waiting(), { ...item, fields: [...item.fields, ["chosen", String(chosen)]] }]);
      void sendWaiting();
    });
    return button;
  }), dropButton(place));
  place.hidden = false;
  choices.querySelector("button")?.focus();
}

/** @param {HTMLElement} place */
function dropButton(place) {
  const button = document.createElement("button");
  button.textContent = "Drop it";
  button.className = "quiet";
  button.addEventListener("click", () => { place.hidden = true; });
  return button;
}

// --- the pad -----------------------------------------------------------------------------------

/** Chalk and sweat make one touch into two: a key again within this time is the same touch. */
const BOUNCE_MS = 80;
let lastKey = "";
let lastKeyAt = 0;

document.addEventListener("click", (event) => {
  const key = event.target instanceof Element ? event.target.closest("[data-key]") : null;
  if (!(key instanceof HTMLElement) || !key.dataset.key) return;
  const now = performance.now();
  if (key.dataset.key === lastKey && now - lastKeyAt < BOUNCE_MS) return;
  lastKey = key.dataset.key;
  lastKeyAt = now;
  const form = key.closest("form");
  const focused = document.activeElement;
  const field = focused instanceof HTMLInputElement && form?.contains(focused) ? focused : form?.querySelector("input");
  if (!field) return;
  if (key.dataset.key === "back") field.value = field.value.slice(0, -1);
  else field.value += key.dataset.key;
});

// Where fingers type, our own keys serve: the device's keyboard would cover half the page.
if (matchMedia("(pointer: coarse)").matches) {
  for (const field of document.querySelectorAll("[data-pad] input[inputmode]")) field.setAttribute("inputmode", "none");
}

// The keys must not take the focus from the field they type into.
document.addEventListener("pointerdown", (event) => {
  if (event.target instanceof Element && event.target.closest("[data-key]")) event.preventDefault();
});

// --- clocks ------------------------------------------------------------------------------------

/** The gym's clock may differ from this device's (and in the demo does by weeks). */
const skew = Number(document.documentElement.dataset.now) - Date.now();

function tick() {
  for (const clock of document.querySelectorAll("[data-since]")) {
    const element = /** @type {HTMLElement} */ (clock);
    const rested = (Date.now() + skew - Number(element.dataset.since)) / 1000;
    const whole = Math.max(0, Math.floor(rested));
    element.textContent = `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, "0")}`;
    element.classList.toggle("rested", rested >= Number(element.dataset.rest));
  }
  if (stale) stale.hidden = Date.now() - lastSign < STALE_MS;
  document.documentElement.classList.toggle("old", Date.now() - lastSign >= STALE_MS && !!stale);
}

tick();
setInterval(tick, 1000);
setInterval(() => { if (waiting().length > 0) void sendWaiting(); }, 3000);
void sendWaiting();
