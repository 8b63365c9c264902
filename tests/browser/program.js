// @ts-check
// The program under test: started in a folder of its own, killed without warning, started again.
import { spawn } from "node:child_process";
import { once } from "node:events";
import { mkdtempSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";

const target = process.env.CARGO_TARGET_DIR ?? fileURLToPath(new URL("../../target", import.meta.url));
const binary = process.env.CORNERWORK ?? join(target, "debug", "cornerwork");

/** Longest wait for a program that starts on a busy machine. */
const START_MS = 60_000;

export class Program {
  /** @type {import("node:child_process").ChildProcess | undefined} */
  #child;
  #folder = mkdtempSync(join(tmpdir(), "cornerwork-browser-"));
  #listen = "127.0.0.1:0";
  address = "";

  /** @param {"demo" | "serve"} command */
  constructor(command) { this.command = command; }

  /** Starts the program and waits until it answers: on a free port first, on the same ever after.
   *  @param {"demo" | "serve"} command */
  static async start(command = "demo") {
    const program = new Program(command);
    await program.start();
    return program;
  }

  async start() {
    const still = this.command === "demo" ? ["--no-open"] : [];
    const child = spawn(binary, [this.command, "--data", this.#folder, "--listen", this.#listen, ...still], {
      stdio: ["ignore", "ignore", "pipe"],
    });
    this.#child = child;
    child.on("exit", (code, signal) => { if (signal !== "SIGKILL") console.error(`the program ended: ${code ?? signal}`); });
    this.address = await announced(child);
    this.#listen = new URL(this.address).host;
  }

  /** Ends the program as a power cut would: it gets no chance to tidy up. */
  async kill() {
    if (!this.#child || this.#child.exitCode !== null || this.#child.signalCode !== null) return;
    const gone = once(this.#child, "exit");
    this.#child.kill("SIGKILL");
    await gone;
  }

  async end() {
    await this.kill();
    rmSync(this.#folder, { recursive: true, force: true });
  }
}

/** The address that a starting program says it answers at.
 *  @param {import("node:child_process").ChildProcess} child @returns {Promise<string>} */
function announced(child) {
  return new Promise((resolve, reject) => {
    let said = "";
    const fail = (/** @type {string} */ why) => { child.kill("SIGKILL"); reject(new Error(why)); };
    const late = setTimeout(() => fail(`no answer within ${START_MS} ms; it said: ${said}`), START_MS);
    child.on("error", reject);
    child.on("exit", (code) => fail(`ended with ${code} before it answered; it said: ${said}`));
    child.stderr?.on("data", (text) => {
      said += text;
      const address = /http:\/\/([\d.]+:\d+)\//.exec(said)?.[1];
      if (!address) return;
      clearTimeout(late);
      resolve(`http://${address}`);
    });
  });
}
