// @ts-check
// Recordings: files handed in one by one with what became of each, and a trace that is looked at
// closer and put right by hand. Without this script forms and links do the same.

/** @template {Element} T @param {string} selector @param {new () => T} kind @param {ParentNode} [within] @returns {T | undefined} */
function find(selector, kind, within = document) {
  const found = within.querySelector(selector);
  return found instanceof kind ? found : undefined;
}

// --- handing in --------------------------------------------------------------------------------

/** Files on their way at once: reading one must not wait for the sending of the next. */
const AT_ONCE = 2;

/** A file that was chosen, with its row in the table. @typedef {{ file: File, row: HTMLTableRowElement, state: HTMLElement }} Chosen */

const handIn = find("#hand-in", HTMLFormElement);
if (handIn) prepareHandIn(handIn);

/** @param {HTMLFormElement} form */
function prepareHandIn(form) {
  const input = /** @type {HTMLInputElement} */ (form.querySelector("input[type=file]"));
  const table = /** @type {HTMLElement} */ (document.querySelector("#handed"));
  const body = /** @type {HTMLTableSectionElement} */ (table.querySelector("tbody"));
  const drop = /** @type {HTMLElement} */ (form.querySelector("#drop"));
  /** @type {Chosen[]} */
  let chosen = [];

  /** @param {Iterable<File>} files */
  function list(files) {
    for (const file of files) {
      const row = body.insertRow();
      row.insertCell().textContent = file.name;
      for (const name of ["athlete", "kind"]) row.insertCell().append(ownChoice(form, name, file.name));
      for (const name of ["load", "day"]) row.insertCell().append(ownField(form, name, file.name));
      const state = row.insertCell();
      state.textContent = "ready";
      chosen.push({ file, row, state });
    }
    table.hidden = chosen.length === 0;
    input.required = chosen.length === 0;
  }

  input.addEventListener("change", () => { list(input.files ?? []); input.value = ""; });
  drop.hidden = false;
  for (const type of ["dragenter", "dragover"]) {
    form.addEventListener(type, (event) => { event.preventDefault(); form.classList.add("over"); });
  }
  form.addEventListener("dragleave", () => form.classList.remove("over"));
  form.addEventListener("drop", (event) => {
    event.preventDefault();
    form.classList.remove("over");
    list(event.dataTransfer?.files ?? []);
  });
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const going = chosen;
    chosen = [];
    await sendAll(form, going);
    input.required = true;
  });
}

/** The choice of the batch, for one file of it. @param {HTMLFormElement} form @param {string} name @param {string} file */
function ownChoice(form, name, file) {
  const batch = find(`select[name=${name}]`, HTMLSelectElement, form);
  const own = document.createElement("select");
  if (!batch) return own;
  own.append(...[...batch.options].map((option) => new Option(option.text, option.value)));
  own.value = batch.value;
  own.name = name;
  own.setAttribute("aria-label", `${name} of ${file}`);
  batch.addEventListener("change", () => { if (!own.disabled) own.value = batch.value; });
  return own;
}

/** What is typed for the batch, for one file of it, until it is typed for that file itself.
 *  @param {HTMLFormElement} form @param {string} name @param {string} file */
function ownField(form, name, file) {
  const own = document.createElement("input");
  const batch = find(`input[name=${name}]`, HTMLInputElement, form);
  if (!batch) return own;
  own.name = name;
  own.type = batch.type;
  own.value = batch.value;
  own.placeholder = batch.placeholder;
  own.inputMode = batch.inputMode;
  own.autocomplete = "off";
  if (batch.type === "text") own.size = batch.size;
  own.setAttribute("aria-label", `${name} of ${file}`);
  let touched = false;
  own.addEventListener("input", () => { touched = true; });
  batch.addEventListener("input", () => { if (!own.disabled && !touched) own.value = batch.value; });
  return own;
}

/** @param {HTMLFormElement} form @param {Chosen[]} going */
async function sendAll(form, going) {
  const progress = find("#progress", HTMLElement);
  /** @type {Map<string, number>} */
  const counts = new Map();
  let done = 0;
  const waiting = [...going];
  const worker = async () => {
    for (let one = waiting.shift(); one; one = waiting.shift()) {
      const state = await send(form, one);
      counts.set(state, (counts.get(state) ?? 0) + 1);
      done += 1;
      if (progress) progress.textContent = `${done} of ${going.length} files`;
    }
  };
  await Promise.all(Array.from({ length: AT_ONCE }, worker));
  if (progress) progress.replaceChildren(...summary(counts, going.length));
}

/** @type {[string, string][]} */
const STATES = [
  ["filed", "filed with numbers"], ["confirm", "waiting for their columns"], ["without", "filed without numbers"],
  ["here", "here already"], ["refused", "not taken"],
];

/** @param {Map<string, number>} counts @param {number} all */
function summary(counts, all) {
  const said = STATES.filter(([state]) => counts.has(state)).map(([state, words]) => `${counts.get(state)} ${words}`);
  const link = document.createElement("a");
  link.href = "/traces";
  link.textContent = counts.has("confirm") ? "Confirm the columns" : "Show them";
  return [`${said.join(", ")} of ${all}. `, link];
}

/** @param {HTMLFormElement} form @param {Chosen} one */
async function send(form, one) {
  const data = new FormData();
  for (const [name, value] of new FormData(form)) if (typeof value === "string") data.append(name, value);
  for (const own of one.row.querySelectorAll("select, input")) {
    if (!(own instanceof HTMLSelectElement || own instanceof HTMLInputElement)) continue;
    data.set(own.name, own.value);
    own.disabled = true;
  }
  // The file comes last: by then it is known what is said of it.
  data.append("file", one.file);
  one.state.textContent = "on its way";
  try {
    const response = await fetch(form.action, { method: "POST", body: data, headers: { Accept: "application/json" } });
    if (!response.ok) throw new Error(await response.text());
    const [told] = (await response.json()).files;
    one.state.textContent = told.words;
    if (told.trace) {
      const link = document.createElement("a");
      link.href = told.trace;
      link.textContent = one.file.name;
      one.row.cells[0].replaceChildren(link);
    }
    return /** @type {string} */ (told.state);
  } catch {
    one.state.textContent = "✕ not taken. It did not arrive: is the gym's computer on? Hand it in again.";
    return "refused";
  }
}

// --- what is asked of a kind of trial -----------------------------------------------------------

for (const label of document.querySelectorAll("[data-kinds]")) {
  if (label instanceof HTMLLabelElement) showWhereAsked(label);
}

/** Shows a field while a kind that it means something for is picked, for the batch or for a file of
 *  it, and while the files' names are to say. @param {HTMLLabelElement} label */
function showWhereAsked(label) {
  const kinds = label.dataset.kinds?.split(" ") ?? [];
  const choices = () => [...(label.closest("section, details") ?? document).querySelectorAll("select[name=kind]")];
  const look = () => {
    const picked = choices().map((choice) => choice instanceof HTMLSelectElement ? choice.value : "");
    label.hidden = !picked.some((kind) => kind === "by-name" || kinds.includes(kind));
  };
  document.addEventListener("change", look);
  look();
}

// --- the picture -------------------------------------------------------------------------------

/** Less than this across is a click, not a stretch. */
const LEAST_PX = 8;

/** The drawing that is shown, and how time lies on it. */
class Picture {
  /** @param {HTMLElement} figure */
  constructor(figure) {
    this.figure = figure;
    const shown = [...figure.querySelectorAll("svg")].find((svg) => svg.getClientRects().length > 0);
    this.svg = /** @type {SVGSVGElement} */ (shown);
    /** @param {string} name */
    const told = (name) => Number(this.svg.dataset[name]);
    this.left = told("left");
    this.right = told("right");
    this.top = told("top");
    this.bottom = told("bottom");
    this.from = told("from");
    this.to = told("to");
    const box = this.svg.getBoundingClientRect();
    const around = figure.getBoundingClientRect();
    this.scale = box.width / this.svg.viewBox.baseVal.width;
    this.offset = { x: box.left - around.left, y: box.top - around.top };
    this.edge = box.left;
  }
  /** Pixels from the left of the figure. @param {number} time */
  x(time) {
    const share = (time - this.from) / (this.to - this.from);
    return this.offset.x + this.scale * (this.left + share * (this.right - this.left));
  }
  /** Time under a pointer. @param {number} clientX */
  time(clientX) {
    const across = (clientX - this.edge) / this.scale;
    const share = (across - this.left) / (this.right - this.left);
    return this.from + Math.min(1, Math.max(0, share)) * (this.to - this.from);
  }
}

const figure = find("#trace-figure", HTMLElement);
if (figure) preparePicture(figure);

/** @param {HTMLElement} figure */
function preparePicture(figure) {
  find(".by-hand", HTMLElement)?.removeAttribute("hidden");
  place(figure);
  addEventListener("resize", () => place(figure));
  document.addEventListener("click", (event) => {
    const link = event.target instanceof Element ? event.target.closest(".zoom a") : null;
    if (!(link instanceof HTMLAnchorElement)) return;
    event.preventDefault();
    void show(figure, link.href);
  });
  figure.addEventListener("pointerdown", (event) => {
    if (event.button === 0 && event.target instanceof Element && event.target.closest("svg")) stretch(figure, event);
  });
}

/** Shows another stretch of the recording in place. @param {HTMLElement} figure @param {string} address */
async function show(figure, address) {
  const response = await fetch(address);
  if (!response.ok) return;
  const page = new DOMParser().parseFromString(await response.text(), "text/html");
  for (const selector of ["#trace-figure", ".zoom"]) {
    const [here, there] = [document.querySelector(selector), page.querySelector(selector)];
    if (here && there) here.innerHTML = there.innerHTML;
  }
  find(".by-hand", HTMLElement)?.removeAttribute("hidden");
  history.replaceState(null, "", address);
  place(figure);
}

/** A drag across the picture: that stretch is shown. @param {HTMLElement} figure @param {PointerEvent} down */
function stretch(figure, down) {
  const picture = new Picture(figure);
  const mark = document.createElement("div");
  mark.className = "stretch";
  mark.style.top = `${picture.offset.y + picture.scale * picture.top}px`;
  mark.style.height = `${picture.scale * (picture.bottom - picture.top)}px`;
  figure.append(mark);
  const start = picture.time(down.clientX);
  /** @param {PointerEvent} move */
  const follow = (move) => {
    const [low, high] = [start, picture.time(move.clientX)].sort((one, other) => one - other);
    mark.style.left = `${picture.x(low)}px`;
    mark.style.width = `${picture.x(high) - picture.x(low)}px`;
  };
  const end = new AbortController();
  addEventListener("pointermove", follow, { signal: end.signal });
  addEventListener("pointercancel", () => { mark.remove(); end.abort(); }, { signal: end.signal });
  addEventListener("pointerup", (up) => {
    mark.remove();
    end.abort();
    const [low, high] = [start, picture.time(up.clientX)].sort((one, other) => one - other);
    if (Math.abs(up.clientX - down.clientX) < LEAST_PX) return;
    void show(figure, `${figure.dataset.at}from=${low.toFixed(3)}&to=${high.toFixed(3)}#picture`);
  }, { signal: end.signal });
}

// --- events ------------------------------------------------------------------------------------

/** Puts a handle over the picture for every event that can be moved. @param {HTMLElement} figure */
function place(figure) {
  for (const old of figure.querySelectorAll(".handle")) old.remove();
  const picture = new Picture(figure);
  for (const form of document.querySelectorAll("form[data-event]")) {
    const at = form instanceof HTMLFormElement ? Number(form.dataset.at ?? NaN) : NaN;
    if (form instanceof HTMLFormElement && picture.from <= at && at <= picture.to) figure.append(handle(picture, form, at));
  }
}

/** @param {Picture} picture @param {HTMLFormElement} form @param {number} at */
function handle(picture, form, at) {
  const field = find("input[name=seconds]", HTMLInputElement, form);
  const grip = document.createElement("button");
  grip.type = "button";
  grip.className = "handle";
  grip.setAttribute("role", "slider");
  grip.setAttribute("aria-label", `${form.dataset.event}: drag, or arrow keys and Enter`);
  grip.setAttribute("aria-valuemin", String(picture.from));
  grip.setAttribute("aria-valuemax", String(picture.to));
  grip.style.top = `${picture.offset.y + picture.scale * picture.top}px`;
  grip.style.height = `${picture.scale * (picture.bottom - picture.top)}px`;
  let time = at;

  /** @param {number} to */
  const put = (to) => {
    time = Math.min(picture.to, Math.max(picture.from, to));
    grip.style.left = `${picture.x(time)}px`;
    grip.setAttribute("aria-valuenow", time.toFixed(3));
    grip.setAttribute("aria-valuetext", `${time.toFixed(3)} seconds`);
    grip.dataset.time = `${form.dataset.event} ${time.toFixed(3)} s`;
    if (field) field.value = time.toFixed(3);
  };
  const settle = () => { if (Math.abs(time - at) >= 0.0005) form.requestSubmit(); };
  put(at);
  grip.addEventListener("pointerdown", (down) => {
    down.preventDefault();
    grip.focus();
    grip.setPointerCapture(down.pointerId);
    grip.classList.add("held");
  });
  grip.addEventListener("pointermove", (move) => { if (grip.hasPointerCapture(move.pointerId)) put(picture.time(move.clientX)); });
  grip.addEventListener("pointerup", () => { grip.classList.remove("held"); settle(); });
  grip.addEventListener("keydown", (key) => {
    const step = key.shiftKey ? 0.01 : 0.001;
    if (key.key === "ArrowLeft") put(time - step);
    else if (key.key === "ArrowRight") put(time + step);
    else if (key.key === "Enter" || key.key === " ") settle();
    else if (key.key === "Escape") put(at);
    else return;
    key.preventDefault();
  });
  return grip;
}
