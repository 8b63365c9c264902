// @ts-check
// How fast the floor is: node benches/live.mjs, against a release build (see docs/floor-speed.md).
//
// Devices are plain HTTP clients, each with a connection of its own, so that what is timed is the
// program and not a browser. A rep is seen on a second page when the stream of that page has
// brought the number, judged and drawn.
import { Agent, get, request } from "node:http";
import { Program } from "../tests/browser/program.js";

/** Who stands where when the demo begins. */
const STATIONS = [
  { number: 1, side: "", athletes: ["A01", "N02"], decimals: 1, from: 32, step: 0.1, si: 0.01 },
  { number: 2, side: "rear", athletes: ["A02", "A06"], decimals: 2, from: 2.5, step: 0.01, si: 1 },
  { number: 3, side: "", athletes: ["A03", "A05"], decimals: 1, from: 25, step: 0.1, si: 0.01 },
  { number: 4, side: "left", athletes: ["A04", "A07"], decimals: 2, from: 1.6, step: 0.01, si: 1 },
];
const SETS = 40;
const REPS_A_SET = 3;
const PAUSE_MS = 200;
const DEVICES = [1, 4, 16, 64];
const LOAD_MS = 5000;
const STARTS = 9;
const PAGES = ["/", "/floor", "/floor/1", "/floor/3", "/wall", "/athlete/A04", "/kit", "/join"];

/** @param {number[]} times @param {number} share */
const quantile = (times, share) => [...times].sort((a, b) => a - b)[Math.min(times.length - 1, Math.floor(times.length * share))] ?? NaN;
/** @param {number[]} times */
const summary = (times) => `median ${quantile(times, 0.5).toFixed(1)} ms, p99 ${quantile(times, 0.99).toFixed(1)} ms`;
const pause = (/** @type {number} */ ms) => new Promise((resolve) => setTimeout(resolve, ms));

/** @param {string} address @param {import("node:http").RequestOptions} [options]
 *  @returns {Promise<{ bytes: number, text: string, status: number | undefined }>} */
const fetched = (address, options = {}) => new Promise((resolve, reject) => {
  get(address, options, (response) => {
    /** @type {Buffer[]} */ const parts = [];
    response.on("data", (part) => parts.push(part));
    response.on("end", () => {
      const all = Buffer.concat(parts);
      resolve({ bytes: all.length, text: all.toString(), status: response.statusCode });
    });
  }).on("error", reject);
});

/** A device with one connection, kept open. */
class Device {
  #agent = new Agent({ keepAlive: true, maxSockets: 1 });
  /** @param {string} address */
  constructor(address) { this.address = address; }

  /** @param {string} path @param {Record<string, string>} fields @returns {Promise<void>} */
  post(path, fields) {
    return new Promise((resolve, reject) => {
      const body = new URLSearchParams({ id: crypto.randomUUID(), ...fields }).toString();
      const headers = { "Content-Type": "application/x-www-form-urlencoded", "Content-Length": body.length, Accept: "application/json" };
      const sent = request(this.address + path, { method: "POST", agent: this.#agent, headers }, (response) => {
        let text = "";
        response.on("data", (part) => { text += part; });
        response.on("end", () => (JSON.parse(text).kept ? resolve() : reject(new Error(`${path}: ${text}`))));
      });
      sent.on("error", reject);
      sent.end(body);
    });
  }
}

/** The stream of a page; tells each region as it arrives.
 *  @param {string} address @param {string} page @param {(region: string) => void} told */
const follow = (address, page, told) => new Promise((resolve) => {
  get(`${address}/live?page=${encodeURIComponent(page)}`, (response) => {
    let rest = "";
    response.setEncoding("utf8");
    response.on("data", (part) => {
      rest += part;
      const events = rest.split("\n\n");
      rest = events.pop() ?? "";
      for (const event of events) if (event.includes("event: region")) { told(event); resolve(undefined); }
    });
    response.on("error", () => {});
  }).on("error", () => {});
});

/** Four stations type at their own pace, each with its page open; the wall is watched. */
async function live() {
  const program = await Program.start();
  /** @type {Map<number, string>} */ const shown = new Map();
  /** @type {Map<number, { number: string, seen: (at: number) => void }>} */ const awaited = new Map();
  await follow(program.address, "/wall", (region) => {
    const at = performance.now();
    for (const [, station, number] of region.matchAll(/aria-label="Station (\d+)".*?class="number[^>]*>([\d.]+)/gs)) {
      shown.set(Number(station), number ?? "");
      const wanted = awaited.get(Number(station));
      if (wanted?.number === number) wanted.seen(at);
    }
  });
  for (const { number } of STATIONS) await follow(program.address, `/floor/${number}`, () => {});
  /** @type {number[]} */ const kept = [];
  /** @type {number[]} */ const seenAfterKept = [];
  /** @type {number[]} */ const seen = [];
  await Promise.all(STATIONS.map(async (station, place) => {
    const device = new Device(program.address);
    await pause((PAUSE_MS / STATIONS.length) * place);
    for (let set = 0; set < SETS; set++) {
      const athlete = station.athletes[set % station.athletes.length] ?? "";
      for (let rep = 0; rep < REPS_A_SET; rep++) {
        const value = station.from + station.step * ((set * REPS_A_SET + rep) % 40);
        const number = value.toFixed(station.decimals);
        /** @type {Promise<number>} */
        const arrived = new Promise((resolve) => awaited.set(station.number, { number, seen: resolve }));
        const start = performance.now();
        await device.post(`/floor/${station.number}/rep`, { athlete, text: number, chosen: String(Number(number) * station.si), side: station.side });
        const durable = performance.now();
        const onWall = await arrived;
        kept.push(durable - start);
        seen.push(onWall - start);
        seenAfterKept.push(onWall - durable);
        await pause(PAUSE_MS);
      }
      await device.post(`/floor/${station.number}/close`, { athlete });
    }
  }));
  await program.end();
  console.log(`${seen.length} reps, 4 stations, one each ${PAUSE_MS} ms, five pages open`);
  console.log(`  sent to accepted and durable     ${summary(kept)}`);
  console.log(`  accepted to seen on the wall     ${summary(seenAfterKept)}`);
  console.log(`  sent to seen on the wall         ${summary(seen)}`);
}

/** As many reps as so many devices can post, each waiting for its answer; the same pages open. */
async function load() {
  for (const devices of DEVICES) {
    const program = await Program.start();
    await follow(program.address, "/wall", () => {});
    for (const { number } of STATIONS) await follow(program.address, `/floor/${number}`, () => {});
    const end = performance.now() + LOAD_MS;
    /** @type {number[]} */ const times = [];
    await Promise.all(Array.from({ length: devices }, async (_, i) => {
      const device = new Device(program.address);
      const station = STATIONS[i % STATIONS.length];
      if (!station) return;
      for (let rep = 0; performance.now() < end; rep++) {
        const athlete = station.athletes[rep % 2] ?? "";
        const start = performance.now();
        await device.post(`/floor/${station.number}/rep`, { athlete, text: "", chosen: String(station.from * station.si), side: station.side });
        times.push(performance.now() - start);
        // A set is three reps: an endless one is nobody's evening.
        if (rep % 6 > 3) await device.post(`/floor/${station.number}/close`, { athlete });
      }
    }));
    await program.end();
    console.log(`  ${String(devices).padStart(2)} devices  ${(times.length / (LOAD_MS / 1000)).toFixed(0).padStart(5)} reps/s, ${summary(times)}`);
  }
}

async function starts() {
  /** @type {number[]} */ const first = [];
  /** @type {number[]} */ const again = [];
  for (let i = 0; i < STARTS; i++) {
    const program = new Program("demo");
    for (const times of [first, again]) {
      const start = performance.now();
      await program.start();
      const page = await fetched(program.address);
      if (page.status !== 200) throw new Error(`the first page answered ${page.status}`);
      times.push(performance.now() - start);
      await program.kill();
    }
    await program.end();
  }
  const words = (/** @type {number[]} */ times) => `median ${quantile(times, 0.5).toFixed(0)} ms, slowest of ${STARTS} ${Math.max(...times).toFixed(0)} ms`;
  console.log(`  to the first page, the demo invented anew  ${words(first)}`);
  console.log(`  to the first page, after a kill            ${words(again)}`);
}

async function sizes() {
  const program = await Program.start();
  const { text } = await fetched(program.address);
  const assets = [...text.matchAll(/"(\/assets\/[^"]+)"/g)].map(([, path]) => path ?? "");
  console.log(`  ${"".padEnd(40)}${"plain".padStart(9)}${"gzip".padStart(9)}`);
  for (const path of [...PAGES, ...assets]) {
    const plain = await fetched(program.address + path);
    const small = await fetched(program.address + path, { headers: { "Accept-Encoding": "gzip" } });
    console.log(`  ${path.padEnd(40)}${kilobytes(plain.bytes)}${kilobytes(small.bytes)}`);
  }
  await program.end();
}

/** @param {number} bytes */
const kilobytes = (bytes) => `${(bytes / 1000).toFixed(1)} kB`.padStart(9);

console.log("Seen on a second page");
await live();
console.log("Reps a second, durable, five pages open");
await load();
console.log("Start");
await starts();
console.log("Sizes over the wire");
await sizes();
process.exit(0);
