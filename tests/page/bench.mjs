// What the tests stand on: the tool serving its page, a browser before it, and ways to read and
// touch the page as a person does.

import assert from "node:assert/strict";
import { spawn, spawnSync } from "node:child_process";
import { mkdtempSync, readFileSync, readdirSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath } from "node:url";
import { chromium } from "playwright-core";

export const ROOT = fileURLToPath(new URL("../../", import.meta.url));
export const SAMPLES = join(ROOT, "samples");
const TOOL = process.env.SPELCH;
/** The page's own files from a folder, while they are worked on; else those built in. */
const ASSETS = process.env.SPELCH_ASSETS ? ["--assets", process.env.SPELCH_ASSETS] : [];
/** The longest anything may take on a machine that does much else. */
export const PATIENCE = 60_000;

/** Runs the command line. */
export function spelch(...words) {
  return spawnSync(TOOL, words, { encoding: "utf8", cwd: ROOT });
}

/** A folder that goes away with the test. */
export function folder(t) {
  const made = mkdtempSync(join(tmpdir(), "page-"));
  t.after(() => rmSync(made, { recursive: true, force: true }));
  return made;
}

/** Starts the tool; gives the address it says. */
export async function served(t, ...words) {
  const tool = spawn(TOOL, ["open", ...words, "--port", "0", ...ASSETS], {
    stdio: ["ignore", "ignore", "pipe"],
  });
  t.after(() => tool.kill("SIGINT"));
  let said = "";
  for await (const bytes of tool.stderr) {
    said += bytes;
    const address = said.match(/http:\/\/127\.0\.0\.1:\d+\/[0-9a-f]+\//);
    if (address) {
      tool.stderr.resume();
      return { address: address[0], tool };
    }
  }
  throw new Error(`the tool says no address: ${said}`);
}

let browser;

/**
 * A browser window on an address. What the page complains of in its console fails the test; what
 * is to be done `before` it is loaded is done in its window.
 */
export async function seen(t, address, { faults = [], before = null, ...view } = {}) {
  browser ??= await chromium.launch({ executablePath: process.env.CHROMIUM, args: ["--no-sandbox"] });
  const window = await browser.newContext({
    viewport: { width: 1440, height: 900 },
    acceptDownloads: true,
    // What is scrolled to is there at once.
    reducedMotion: "reduce",
    ...view,
  });
  const page = await window.newPage();
  page.setDefaultTimeout(PATIENCE);
  if (before) await page.addInitScript(before);
  const complaints = [];
  page.on("pageerror", (error) => complaints.push(error.stack));
  page.on("console", (said) => {
    const isFault = said.type() === "error" && !faults.some((fault) => said.text().includes(fault));
    if (isFault) complaints.push(`${said.text()} ${said.location().url}`);
  });
  t.after(async () => {
    await window.close();
    assert.deepEqual(complaints, []);
  });
  await page.goto(address);
  await planned(page);
  return page;
}

/** The tool with a page before it. */
export async function opened(t, { input = [], ...view } = {}) {
  const { address } = await served(t, ...input);
  const page = await seen(t, address, view);
  return { page, address };
}

export async function close() {
  await browser?.close();
  browser = undefined;
}

const count = (page) => page.evaluate(() => performance.getEntriesByName("change to screen").length);

/** How often the page is asked how far it is, in ms: asked at every frame it would have to make some. */
const ASKED = 50;

/** Waits until a plan, or what stands against it, is on the page, with its sheets. */
export const planned = (page) => moreThan(page, 0);

/** Waits until more than so many changes have come to the screen, with the sheets of the last. */
async function moreThan(page, count) {
  const done = (n) =>
    performance.getEntriesByName("change to screen").length > n && !document.body.dataset.busy;
  await page.waitForFunction(done, count, { timeout: PATIENCE, polling: ASKED });
}

/** Does something that changes the plan, and waits until that is on the screen. */
export async function changed(page, act) {
  const before = await count(page);
  await act();
  await moreThan(page, before);
}

/** How long each change took till it was on the screen, in ms, the last `n` of them. */
export async function times(page) {
  return page.evaluate(() =>
    performance.getEntriesByName("change to screen").map((entry) => entry.duration),
  );
}

/**
 * How long the processor has worked so far for each part, in ms: the worker that plans, the server,
 * the page's own process in the browser. Nothing where the system does not say it.
 */
export function worked() {
  const all = { worker: 0, server: 0, page: 0 };
  for (const pid of below(process.pid)) {
    const words = read(`/proc/${pid}/cmdline`);
    const part = words.includes("--type=renderer")
      ? "page"
      : words.startsWith(TOOL) && (words.includes("\0open\0") ? "server" : "worker");
    const threads = part ? listed(`/proc/${pid}/task`) : [];
    for (const thread of threads) {
      all[part] += Number(read(`/proc/${pid}/task/${thread}/schedstat`).split(" ")[0]) / 1e6;
    }
  }
  return all;
}

/** The processes that this one has started, and those that they have. */
function below(pid) {
  const own = read(`/proc/${pid}/task/${pid}/children`).split(" ").filter(Boolean);
  return own.flatMap((child) => [child, ...below(child)]);
}

/** What a file of the system says; nothing where it is gone. */
function read(path) {
  try {
    return readFileSync(path, "utf8");
  } catch {
    return "";
  }
}

function listed(path) {
  try {
    return readdirSync(path);
  } catch {
    return [];
  }
}

/** Of times, the one that 95 of 100 do not go beyond. */
export function p95(all) {
  const sorted = [...all].sort((a, b) => a - b);
  return sorted[Math.ceil(sorted.length * 0.95) - 1];
}

/** Begins with a sample, by its words on the page. */
export async function sample(page, name) {
  await page.getByText("Begin with a joint or a sample").click();
  await changed(page, () =>
    page
      .locator("#samples")
      .getByRole("button")
      .filter({ has: page.getByText(name.replaceAll("-", " "), { exact: true }) })
      .click(),
  );
}

/** Chooses files as the browser's own dialog would. */
export async function choose(page, ...files) {
  const dialog = page.waitForEvent("filechooser");
  await page.getByText("Choose a drawing or a job").click();
  const chooser = await dialog;
  await changed(page, () => chooser.setFiles(files));
}

/** What a link saves. */
export async function saved(page, link) {
  const download = page.waitForEvent("download");
  await link.click();
  return readFileSync(await (await download).path());
}

/** The text of the job on the desk. */
export const job = async (page) => (await saved(page, job_link(page))).toString();

/** The link that saves the job. */
export const job_link = (page) => page.locator("#files").getByRole("link", { name: /^The job/ });

/** The plan's short id, as it stands in the title block of the drawing. */
export const id = (page) =>
  page
    .locator("#files a")
    .first()
    .evaluate((link) => link.href.match(/made\/([^/]+)\//)[1]);
