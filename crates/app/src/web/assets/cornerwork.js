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

/** @typedef {HTMLInputElement | HTMLSelectElement | HTMLButtonElement} Control */

/** @param {HTMLElement} into @returns {Control[]} */
const controls = (into) => [...into.querySelectorAll(/** @type {"input"} */ ("input:not([type=hidden]), select, button"))];

/** What a control is for: its form, what that form is about, and its place there. A choice made for
 *  one athlete or rep is never carried over to another.
 *  @param {Control} control */
function purpose(control) {
  const { form } = control;
  const hidden = [...form?.elements ?? []].filter((one) => one instanceof HTMLInputElement && one.type === "hidden");
  const about = hidden.map((one) => /** @type {HTMLInputElement} */ (one).value);
  const which = control instanceof HTMLSelectElement || control.type === "text" ? "" : control.value || control.textContent;
  return [form?.getAttribute("action"), ...about, control.name, which].join(" ");
}

/** Whether a person changed the control since it was sent. @param {Control} control */
function touched(control) {
  if (control instanceof HTMLButtonElement) return false;
  if (control instanceof HTMLSelectElement) return [...control.options].some((option) => option.selected !== option.defaultSelected);
  return control.checked !== control.defaultChecked || control.value !== control.defaultValue;
}

/** Puts new content in place without closing what the reader opened, taking back what they chose
 *  or typed, or losing the focus.
 *  @param {HTMLElement} into @param {string} html */
function replace(into, html) {
  const up = whoIsUp();
  const open = [...into.querySelectorAll("details[open]")].map((details) => details.id);
  const film = [...into.querySelector(".film")?.children ?? []];
  const kept = new Map(controls(into).filter((control) => touched(control) || control.matches("[data-stays]")).map((control) => [purpose(control), control]));
  const active = controls(into).find((control) => control === document.activeElement);
  const focused = active && purpose(active);
  into.innerHTML = html;
  into.querySelector(".film")?.replaceChildren(...film);
  for (const id of open) if (id) document.getElementById(id)?.setAttribute("open", "");
  for (const control of controls(into)) {
    const before = kept.get(purpose(control));
    if (before && !(control instanceof HTMLButtonElement)) control.value = before.value;
    if (before instanceof HTMLInputElement && control instanceof HTMLInputElement) control.checked = before.checked;
    if (focused !== undefined && purpose(control) === focused) control.focus();
  }
  tick();
  if (up === whoIsUp()) return;
  // Whoever steps up is read from the top: name and load must not stay scrolled away.
  scrollTo(0, 0);
  setAside((question) => question.page === location.pathname && question.up !== whoIsUp());
}

/** Who is up on this station's page. */
const whoIsUp = () => one("[data-up]")?.dataset.up;

// --- the entry form ------------------------------------------------------------------------------

const entry = one("#entry");

/** What a form is about: whose, and its hidden fields. @param {HTMLFormElement | null} form */
const drawnFor = (form) => [form?.dataset.whose, ...[...form?.querySelectorAll(/** @type {"input"} */ ("input[type=hidden]")) ?? []].map((field) => field.value)].join("\n");

/** The form follows who is up. What is half typed stays while it is for the same athlete, exercise
 *  and side; typed for another, it is taken out and said.
 *  @param {string} html */
function redrawEntry(html) {
  const template = Object.assign(document.createElement("template"), { innerHTML: html });
  const before = /** @type {HTMLFormElement | null} */ (one("#rep"));
  // A form for the same stays: a finger may be on its keys.
  if (!entry || drawnFor(before) === drawnFor(template.content.querySelector("form"))) return;
  const typed = new Map([...before?.querySelectorAll("input") ?? []].filter((field) => field.type !== "hidden").map((field) => [field.name, field.value]));
  const focused = document.activeElement instanceof HTMLInputElement && before?.contains(document.activeElement) ? document.activeElement.name : undefined;
  const same = before?.dataset.for === template.content.querySelector("form")?.dataset.for;
  // A hand chosen for one athlete is no choice for the next.
  if (!same) for (const control of before?.elements ?? []) if (control instanceof HTMLInputElement) control.checked = control.defaultChecked;
  entry.replaceChildren(template.content);
  const after = one("#rep");
  for (const field of after?.querySelectorAll("input") ?? []) {
    if (field.type === "hidden") continue;
    if (same) field.value = typed.get(field.name) ?? "";
    if (field.name === focused) field.focus({ preventScroll: true });
  }
  const left = same ? "" : [...typed.values()].filter(Boolean).join(", ");
  if (left) message(`“${left}” was for ${before?.dataset.whose ?? "nobody"}. Now up: ${after?.dataset.whose ?? "nobody"}.`, "refused");
  keysServe();
}

/** Says the last number to a screen reader, once. */
let lastSaid = one("[data-say]")?.dataset.say;
function say() {
  const words = one("[data-say]")?.dataset.say;
  const said = one("#said");
  if (said && words && words !== lastSaid) said.textContent = words;
  lastSaid = words;
}

/** @type {EventSource | undefined} */
let source;
const sign = () => { lastSign = Date.now(); };

/** A browser opens six connections to one computer and no more, for all its windows together: a
 *  page that nobody sees gives its own up, or the seventh would never load. */
function listen() {
  const live = region?.dataset.live;
  if (!region || !live) return;
  if (document.visibilityState === "hidden") return hangUp();
  if (source && source.readyState !== EventSource.CLOSED) return;
  source = new EventSource("/live?page=" + encodeURIComponent(live));
  source.addEventListener("open", () => { sign(); void sendWaiting(); });
  source.addEventListener("beat", sign);
  source.addEventListener("trouble", (event) => {
    const place = one("#trouble");
    if (!place) return;
    place.hidden = event.data === "";
    place.textContent = event.data && `Nothing can be kept at the moment. ${event.data}`;
  });
  source.addEventListener("entry", (event) => { sign(); redrawEntry(event.data); });
  source.addEventListener("region", (event) => {
    sign();
    if (region.innerHTML !== event.data) replace(region, event.data);
    say();
  });
}

function hangUp() {
  source?.close();
  source = undefined;
}

document.addEventListener("visibilitychange", () => { sign(); listen(); });
addEventListener("pagehide", hangUp);
addEventListener("pageshow", listen);

// --- sending -----------------------------------------------------------------------------------

/** A submission that the gym's computer has not yet answered.
 *  @typedef {{ path: string, fields: [string, string][], at: number }} Waiting */

/** What a page holds until it is settled, through reloads and restarts.
 *  @template T @param {() => Storage} storage @param {string} name */
const box = (storage, name) => ({
  /** @returns {T[]} */
  all() { try { return JSON.parse(storage().getItem(name) ?? "[]"); } catch { return []; } },
  /** @param {T[]} list */
  keep(list) { storage().setItem(name, JSON.stringify(list)); },
});

/** @type {ReturnType<typeof box<Waiting>>} */
const waiting = box(() => localStorage, "cornerwork-waiting");

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

/** @param {string} text @param {"waiting" | "refused"} [about] */
function message(text, about) {
  const place = one("#message");
  if (!place) return;
  place.textContent = text;
  place.dataset.about = about;
  place.hidden = text === "";
}

// What was read may be put away: it lies over the keys.
one("#message")?.addEventListener("click", () => message(""));

/** @param {Waiting} item */
async function post(item) {
  const body = new URLSearchParams(item.fields);
  body.append("age_ms", String(Date.now() - item.at));
  const response = await fetch(item.path, {
    method: "POST", body, headers: { Accept: "application/json" }, signal: AbortSignal.timeout(8000),
  });
  if (response.status >= 500) throw new Error("the gym's computer is in trouble");
  const json = response.headers.get("Content-Type")?.startsWith("application/json");
  return json ? response.json() : { refused: await response.text() };
}

/** The oldest first, one at a time, so that reps arrive in the order they were done. */
let sending = Promise.resolve();
const sendWaiting = () => (sending = sending.then(sendAll, sendAll));

async function sendAll() {
  for (let [item] = waiting.all(); item; [item] = waiting.all()) {
    const id = idOf(item);
    let answer;
    try {
      answer = await post(item);
    } catch {
      const count = waiting.all().length;
      message(`${count === 1 ? "Kept" : `${count} entries kept`} on this device. Sending when the gym's computer answers.`, "waiting");
      return;
    }
    waiting.keep(waiting.all().filter((one) => idOf(one) !== id));
    told(item, answer);
  }
}

/** @param {Waiting} item */
const idOf = (item) => item.fields.find(([name]) => name === "id")?.[1];
/** @param {Waiting} item */
const typedIn = (item) => item.fields.find(([name]) => name === "text")?.[1];

/** @param {Waiting} item @param {any} answer */
function told(item, answer) {
  document.dispatchEvent(new CustomEvent("told", { detail: { item, answer } }));
  // What was refused stays to be read, whatever is sent after it.
  const refused = one("#message[data-about=refused]")?.textContent ?? "";
  if (answer.kept) {
    if (!refused) message("");
    if (answer.go) location.assign(answer.go);
    else if (!region?.dataset.live && !paper) location.reload();
  } else if (answer.ask) {
    const waited = Date.now() - item.at > SEEN_MS;
    questions.keep([...questions.all(), { item, ask: answer.ask, offers: answer.offers, page: location.pathname, up: whoIsUp(), waited }]);
    askNext();
  } else {
    const typed = typedIn(item);
    message(`${refused} ${typed ? `“${typed}”: ` : ""}${answer.refused || "Not taken."}`.trim(), "refused");
  }
}

document.addEventListener("submit", (event) => {
  const form = /** @type {HTMLFormElement} */ (event.target);
  if (!form.matches("[data-send]")) return;
  event.preventDefault();
  const data = new FormData(form, event.submitter);
  /** @type {[string, string][]} */
  const fields = [["id", newId()], ...[...data].map(([name, value]) => /** @type {[string, string]} */ ([name, String(value)]))];
  const path = new URL(form.action).pathname;
  waiting.keep([...waiting.all(), { path, fields, at: Date.now() }]);
  message("");
  setAside((question) => placeOfAct(question.item.path) === placeOfAct(path));
  sent(form);
  void sendWaiting();
});

/** Numbers are cleared for the next ones; what was chosen is no longer a choice to be kept.
 *  @param {HTMLFormElement} form */
function sent(form) {
  for (const control of form.elements) {
    if (control instanceof HTMLSelectElement) for (const option of control.options) option.defaultSelected = option.selected;
    if (!(control instanceof HTMLInputElement)) continue;
    control.defaultChecked = control.checked;
    if (["text", "contact"].includes(control.name)) control.value = control.defaultValue = "";
  }
}

// --- which was meant? --------------------------------------------------------------------------

/** An entry that cannot be taken without a word, with the answers there are; on which page it was
 *  asked, who was up there, and whether it had waited for the network.
 *  @typedef {{ item: Waiting, ask: string, offers: { sentence: string, fields: [string, string][] }[], page: string, up: string | undefined, waited: boolean }} Question */

/** One at a time, in the order they came, each until it is answered or the coach goes on.
 *  @type {ReturnType<typeof box<Question>>} */
const questions = box(() => sessionStorage, "cornerwork-questions");

/** Asked later than this after it was typed, nobody may have seen the question yet. */
const SEEN_MS = 5000;

/** Everything at one station is about the same number; elsewhere a form is about its own.
 *  @param {string} path */
const placeOfAct = (path) => /^\/floor\/\d+/.exec(path)?.[0] ?? path;

/** Whoever goes on has answered: the number in question is not taken, and that is said. What had
 *  waited for the network stays, for nobody saw it; so do the blanks of a sheet, which keep theirs.
 *  @param {(question: Question) => boolean} over */
function setAside(over) {
  if (paper) return;
  const gone = questions.all().filter((question) => !question.waited && over(question));
  if (gone.length === 0) return;
  const first = questions.all()[0];
  questions.keep(questions.all().filter((question) => question.waited || !over(question)));
  message(gone.map(({ item, ask }) => `Not taken: ${ask.split("?")[0]?.split(". ").pop() ?? typedIn(item)}.`).join(" "), "refused");
  if (first && idOf(first.item) !== idOf(questions.all()[0]?.item ?? { path: "", fields: [], at: 0 })) one("#ask")?.remove();
  askNext();
}

function askNext() {
  const [question] = questions.all();
  if (!question || one("#ask")) return;
  document.body.append(dialog(question));
  // Whoever types sheet after sheet looks at the paper: the next digit must not press an answer.
  if (!paper) one("#ask button")?.focus();
}

/** @param {Question} question */
function dialog({ item, ask, offers }) {
  const place = Object.assign(document.createElement("div"), { id: "ask", role: "dialog" });
  place.setAttribute("aria-labelledby", "ask-title");
  const title = Object.assign(document.createElement("p"), { id: "ask-title", textContent: ask });
  const choices = Object.assign(document.createElement("div"), { className: "choices" });
  choices.append(
    ...offers.map(({ sentence, fields }) => choice(sentence, () => {
      const answered = new Set(fields.map(([name]) => name));
      waiting.keep([...waiting.all(), { ...item, fields: [...item.fields.filter(([name]) => !answered.has(name)), ...fields] }]);
      void sendWaiting();
    })),
    choice("Retype", () => retype(item)),
  );
  place.append(title, choices);
  return place;
}

/** The field it was typed into is ready for it again. @param {Waiting} item */
function retype({ path }) {
  const form = [...document.forms].find((form) => new URL(form.action).pathname === path);
  form?.querySelector(/** @type {"input"} */ ("input:not([type=hidden])"))?.focus({ preventScroll: true });
}

/** @param {string} words @param {() => void} settle */
function choice(words, settle) {
  const button = Object.assign(document.createElement("button"), { textContent: words });
  button.addEventListener("click", () => {
    questions.keep(questions.all().slice(1));
    one("#ask")?.remove();
    document.dispatchEvent(new CustomEvent("settled"));
    settle();
    askNext();
  });
  return button;
}

// --- sheets typed in from paper ----------------------------------------------------------------

/** Drafts of blanks by their place, kept until the gym's computer has them.
 *  @type {ReturnType<typeof box<[string, string]>>} */
const drafts = box(() => localStorage, "cornerwork-drafts");
const paper = one("[data-paper]");
/** @type {HTMLInputElement[]} */
const blanks = [...paper?.querySelectorAll(/** @type {"input"} */ ("input.blank")) ?? []];

/** @param {HTMLInputElement} blank */
const placeOf = (blank) => `${location.pathname} ${blank.form?.id} ${blank.name}`;

/** @param {HTMLInputElement} blank @param {string | undefined} text */
function draft(blank, text) {
  const others = drafts.all().filter(([place]) => place !== placeOf(blank));
  drafts.keep(text === undefined ? others : [...others, [placeOf(blank), text]]);
}

/** @param {HTMLInputElement} blank @param {string} [state] */
function shows(blank, state) {
  if (state) blank.dataset.state = state;
  else delete blank.dataset.state;
  const done = one("#done");
  if (done) done.textContent = String(paper?.querySelectorAll(".at-the-rack, .blank[data-state=kept]").length);
}

/** One number goes on its way, with what its row is about. @param {HTMLInputElement} blank */
function sendBlank(blank) {
  const { form } = blank;
  if (!form) return;
  /** @type {[string, string][]} */
  const about = [...new FormData(form)].filter(([name]) => !name.startsWith("blank-")).map(([name, value]) => [name, String(value)]);
  const fields = /** @type {[string, string][]} */ ([["id", newId()], ...about, [blank.name, blank.value]]);
  waiting.keep([...waiting.all(), { path: new URL(form.action).pathname, fields, at: Date.now() }]);
  shows(blank, "waiting");
  void sendWaiting();
}

/** @param {Waiting} item */
function blankOf({ path, fields }) {
  const value = (/** @type {string} */ name) => fields.find(([field]) => field === name)?.[1];
  const name = fields.find(([field]) => field.startsWith("blank-"))?.[0];
  return blanks.find((blank) => blank.name === name && new URL(blank.form?.action ?? "", location.href).pathname === path
    && ["station", "athlete", "side"].every((field) => new FormData(blank.form ?? undefined).get(field) === (value(field) ?? null)));
}

/** @param {HTMLInputElement} from */
function goOn(from) {
  const next = blanks[blanks.indexOf(from) + 1];
  if (next) next.focus();
  else from.blur();
  next?.select();
}

paper?.addEventListener("keydown", (event) => {
  const blank = event.target;
  if (event.key !== "Enter" || !(blank instanceof HTMLInputElement) || !blank.matches(".blank")) return;
  event.preventDefault();
  goOn(blank);
});
paper?.addEventListener("input", ({ target: blank }) => {
  if (blank instanceof HTMLInputElement && blank.matches(".blank")) { draft(blank, blank.value); shows(blank, "typed"); }
});
// Leaving a blank keeps it: by Enter, by Tab, by a touch elsewhere.
paper?.addEventListener("focusout", ({ target: blank }) => {
  if (blank instanceof HTMLInputElement && blank.dataset.state === "typed") sendBlank(blank);
});
paper?.addEventListener("submit", (event) => {
  event.preventDefault();
  for (const blank of blanks) if (blank.form === event.target && blank.dataset.state === "typed") sendBlank(blank);
});
document.addEventListener("told", (event) => {
  const { item, answer } = /** @type {CustomEvent} */ (event).detail;
  const blank = blankOf(item);
  if (!blank) return;
  const sent = item.fields.find((/** @type {[string, string]} */ [name]) => name === blank.name)?.[1];
  if (blank.value !== sent && !answer.kept) return;
  if (answer.kept && blank.value === sent) draft(blank, undefined);
  shows(blank, answer.kept ? (blank.value === "" ? undefined : "kept") : answer.ask ? "asked" : "refused");
  // What was chosen is not what was typed: the page shows what is on record.
  if (answer.kept && item.fields.some((/** @type {[string, string]} */ [name]) => name === "chosen")) location.reload();
});
/** After an answer the hand is back where it was. */
let lastBlank = blanks[0];
paper?.addEventListener("focusin", ({ target }) => { if (target instanceof HTMLInputElement && target.matches(".blank")) lastBlank = target; });
document.addEventListener("settled", () => lastBlank?.focus());
if (paper) {
  for (const [place, text] of drafts.all()) {
    const blank = blanks.find((one) => placeOf(one) === place);
    if (!blank) continue;
    blank.value = text;
    const isOnItsWay = waiting.all().some((item) => blankOf(item) === blank);
    blank.dataset.state = isOnItsWay ? "waiting" : "typed";
  }
  (blanks.find((blank) => blank.value === "") ?? blanks[0])?.focus();
}

// --- the pad -----------------------------------------------------------------------------------

document.addEventListener("click", (event) => {
  const key = event.target instanceof Element ? event.target.closest("[data-key]") : null;
  if (!(key instanceof HTMLElement) || !key.dataset.key) return;
  const form = key.closest("form");
  const focused = document.activeElement;
  const field = focused instanceof HTMLInputElement && form?.contains(focused) ? focused : form?.querySelector(/** @type {"input"} */ ("input:not([type=hidden])"));
  if (!field) return;
  if (key.dataset.key === "back") field.value = field.value.slice(0, -1);
  else field.value += key.dataset.key;
});

/** Where fingers type, our own keys serve: the device's keyboard would cover half the page. */
function keysServe() {
  if (!matchMedia("(pointer: coarse)").matches) return;
  for (const field of document.querySelectorAll("[data-pad] input[inputmode]")) field.setAttribute("inputmode", "none");
}
keysServe();

// The keys must not take the focus from the field they type into.
document.addEventListener("pointerdown", (event) => {
  if (event.target instanceof Element && event.target.closest("[data-key]")) event.preventDefault();
});

// --- a set filmed to look at together ------------------------------------------------------------

document.addEventListener("change", ({ target }) => {
  if (!(target instanceof HTMLInputElement) || !target.matches("[data-film]")) return;
  const [file] = target.files ?? [];
  const place = target.closest("details")?.querySelector(".film");
  if (!file || !place) return;
  const picture = document.createElement(file.type.startsWith("video/") ? "video" : "img");
  if (picture instanceof HTMLVideoElement) Object.assign(picture, { controls: true, muted: true });
  else picture.alt = "the set just filmed";
  // The address lives as long as the page, and only here.
  picture.src = URL.createObjectURL(file);
  place.replaceChildren(picture);
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

/** The wall has nothing to press, so nothing could be asked there. */
const sends = !document.documentElement.classList.contains("wall");

tick();
listen();
setInterval(tick, 1000);
setInterval(() => {
  listen();
  if (sends && waiting.all().length > 0) void sendWaiting();
}, 3000);
if (sends) {
  setAside((question) => question.page !== location.pathname);
  askNext();
  void sendWaiting();
}
