// Each sample on the page: it opens, its grain turns, its edges and bits change, its files are those
// of the command line; how long a change takes till it is on the screen.

import assert from "node:assert/strict";
import { mkdirSync, readFileSync, readdirSync, writeFileSync } from "node:fs";
import { availableParallelism, loadavg } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import {
  SAMPLES,
  changed,
  choose,
  close,
  folder,
  job,
  job_link,
  opened,
  p95,
  sample,
  saved,
  spelch,
  times,
  worked,
} from "./bench.mjs";

after(close);

/** What a change may take till it is on the screen, in ms, on a machine that does nothing else. */
const MEANT = 50;
const MEANT_OF_MANY = 150;
/** Beyond so many times that the page has become slow; judged only where nothing else runs. */
const ROOM = 3;
const TURNS = 20;
/** Jobs among the samples that the page offers under other names, or not at all. */
const RACK = "rack.toml";
const NAMES = readdirSync(SAMPLES)
  .filter((name) => /\.(toml|svg|dxf)$/.test(name) && name !== RACK)
  .map((name) => ({ name, file: join(SAMPLES, name) }));

/** A drawing alone says neither grain nor bits: the page begins a job for it. */
const drawn = ({ name }) => !name.endsWith(".toml");

for (const one of NAMES) {
  test(`sample ${one.name}`, async (t) => {
    const { page } = await opened(t, { input: drawn(one) ? [] : [one.file] });
    if (drawn(one)) {
      const dialog = page.waitForEvent("filechooser");
      await page.getByText("Choose a drawing or a job").click();
      await changed(page, async () => (await dialog).setFiles([one.file]));
    }
    await turns(t, page, one.name);
    await same_files(t, page, one.name);
  });
}

/** The grain is turned with the arrow keys on its arrow. */
async function turns(t, page, name) {
  const arrow = page.locator('#pictures [data-answer="grain"]').first();
  const before = await page.locator("#grain").inputValue();
  await arrow.focus();
  const before_turns = worked();
  for (let turn = 0; turn < TURNS; turn += 1) {
    await changed(page, () => page.keyboard.press(turn < TURNS / 2 ? "ArrowUp" : "ArrowDown"));
  }
  const spent = worked();
  assert.equal(
    Number(await page.locator("#grain").inputValue()),
    Number(before),
    "turned there and back",
  );
  assert.equal(
    await page.evaluate(() => document.activeElement.dataset.answer),
    "grain",
    "the arrow keeps the focus",
  );
  await judged(t, page, { name, meant: MEANT, work: [before_turns, spent] });
}

/** How long the last turns took, and how long the processor worked for each. */
async function judged(t, page, { name, meant, work: [before, after] }) {
  const took = p95((await times(page)).slice(-TURNS));
  const load = loadavg()[0];
  t.diagnostic(
    `${name}: 95 of 100 turns of the grain on the screen within ${took.toFixed(0)} ms (meant: ${meant}), load ${load.toFixed(1)}`,
  );
  const spent = Object.entries(after).map(([part, ms]) => [part, (ms - before[part]) / TURNS]);
  const words = spent.map(([part, ms]) => `${part} ${ms.toFixed(1)}`).join(", ");
  t.diagnostic(`${name}: the processor's time a turn, sheets included, in ms: ${words}`);
  if (load < availableParallelism()) assert.ok(took < meant * ROOM, `${name}: ${took} ms`);
}

/** All that is downloaded is what the command line makes of the job as downloaded. */
async function same_files(t, page, name) {
  const dir = folder(t);
  const toml = await job(page);
  const path = join(dir, await job_link(page).getAttribute("download"));
  writeFileSync(path, toml);
  for (const beside of readdirSync(SAMPLES).filter(
    (file) => file.includes(".") && toml.includes(`"${file}"`),
  )) {
    writeFileSync(join(dir, beside), readFileSync(join(SAMPLES, beside)));
  }
  mkdirSync(join(dir, "out"));
  const planned = spelch("plan", path, "--force", "--out", join(dir, "out"));
  assert.equal(planned.status, 0, planned.stderr);
  const made = readdirSync(join(dir, "out"));
  const links = await page.locator("#files a").all();
  const offered = new Map();
  for (const link of links) offered.set(await link.getAttribute("download"), link);
  for (const file of made) {
    assert.ok(offered.has(file), `${name}: ${file} is not offered`);
    const bytes = await saved(page, offered.get(file));
    assert.ok(bytes.equals(readFileSync(join(dir, "out", file))), `${name}: ${file} differs`);
  }
  t.diagnostic(`${name}: ${made.length} files alike, byte for byte`);
}

test("what is done to an edge, and which bits are used, changes the plan", async (t) => {
  const { page } = await opened(t);
  await sample(page, "shelf-end");
  const before = await job(page);
  const edge = page.locator("#edges select").first();
  const name = await page.locator("#edges th").first().innerText();
  await changed(page, () => edge.selectOption("true already"));
  assert.equal(await page.locator("#edges select").first().inputValue(), "true already", name);
  const bit = page.locator('#rack button[aria-pressed="true"]').first();
  const words = await bit.getAttribute("data-bit");
  await changed(page, () => bit.click());
  const same = page.locator(`#rack button[data-bit="${CSS_escape(words)}"]`);
  assert.equal(await same.getAttribute("aria-pressed"), "false");
  assert.notEqual(await job(page), before);
  await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
  await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
  assert.equal(await job(page), before, "undone to the letter");
  await changed(page, () => page.getByRole("button", { name: /^Redo/ }).click());
  assert.equal(await page.locator("#edges select").first().inputValue(), "true already");
});

const PLATE =
  '<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="200mm" viewBox="0 0 300 200"><rect x="20" y="20" width="260" height="160"/><rect x="100" y="70" width="100" height="60"/></svg>';

test("an edge with neither name nor side is told what is done to it where it is tapped", async (t) => {
  const path = join(folder(t), "plate.svg");
  writeFileSync(path, PLATE);
  const { page } = await opened(t);
  await choose(page, path);
  const before = await job(page);
  const of_opening = page.locator("#answer select");
  const stretches = await page.locator('#pictures [data-answer^="stretch-"][tabindex]').all();
  let words = "";
  for (const stretch of stretches) {
    await stretch.focus();
    words = await page.locator("#answer .roles").innerText();
    if (words.includes("at X")) break;
  }
  assert.match(words, /Edge at X [\d.]+ mm, Y [\d.]+ mm/);
  await changed(page, () => of_opening.selectOption("true already"));
  const after = await job(page);
  assert.match(after, /\[edges\]\ntrue = \[\{ at = \["[\d.]+mm", "[\d.]+mm"\] \}\]/);
  await page.locator('#pictures [data-answer^="edge-at "]').first().focus();
  assert.equal(await of_opening.inputValue(), "true already");
  await changed(page, () => of_opening.selectOption("goes on"));
  assert.equal((await job(page)).match(/at = /g).length, 1, "it is called once");
  await changed(page, () => page.locator("#edges select").last().selectOption("rout"));
  assert.match(await job(page), /rout = \[\{ at/);
  for (let step = 0; step < 3; step += 1) {
    await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
  }
  assert.equal(await job(page), before, "undone to the letter");
});

const CSS_escape = (text) => text.replaceAll("\\", "\\\\").replaceAll('"', '\\"');

test("inches and millimetres", async (t) => {
  const { page } = await opened(t);
  await sample(page, "trestle-foot");
  await changed(page, () => page.getByLabel("Lengths in").selectOption("in"));
  const sheets = await page.locator("#set").textContent();
  assert.match(sheets, /27 9\/16 in/);
  assert.doesNotMatch(sheets, /\d mm\b/);
});

test("a bit in its own words is put on the rack", async (t) => {
  const { page } = await opened(t);
  await page.getByLabel("Another bit you own").fill("3/8in flush-trim, 2in long");
  await changed(page, () => page.getByRole("button", { name: "Put it on the rack" }).click());
  const bit = page.locator("#rack button", { hasText: "3/8in flush-trim, 2in long" });
  assert.equal(await bit.getAttribute("aria-pressed"), "true");
});

test("a joint by its name", async (t) => {
  const { page } = await opened(t);
  await page.getByText("Begin with a joint or a sample").click();
  const joints = page.locator("#joints button");
  assert.equal(await joints.count(), 7);
  await changed(page, () =>
    joints
      .filter({ hasText: /half lap/i })
      .first()
      .click(),
  );
  assert.match(await page.locator("#set").textContent(), /Joint/);
});

test("an outline of 100,000 chords", async (t) => {
  const dir = folder(t);
  const path = join(dir, "many.svg");
  writeFileSync(path, many_chords(100_000));
  const { page } = await opened(t);
  const dialog = page.waitForEvent("filechooser");
  await page.getByText("Choose a drawing or a job").click();
  await changed(page, async () => (await dialog).setFiles([path]));
  await page.locator('#pictures [data-answer="grain"]').first().focus();
  const before = worked();
  for (let turn = 0; turn < TURNS; turn += 1) {
    await changed(page, () => page.keyboard.press("ArrowUp"));
  }
  await judged(t, page, { name: "100,000 chords", meant: MEANT_OF_MANY, work: [before, worked()] });
});

/**
 * A smooth outline of so many chords: a circle that swells and shrinks five times on its way. Each
 * chord is 8 µm long: with fewer figures behind the point it would be noise, not smooth.
 */
function many_chords(count) {
  const points = Array.from({ length: count }, (_, index) => {
    const angle = (2 * Math.PI * index) / count;
    const radius = 120 + 12 * Math.cos(5 * angle);
    return `${(150 + radius * Math.cos(angle)).toFixed(7)},${(150 + radius * Math.sin(angle)).toFixed(7)}`;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300"><polygon id="rim" points="${points.join(" ")}"/></svg>`;
}
