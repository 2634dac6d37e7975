// What stands on the page belongs to one plan, whatever is stopped, waits or is refused.

import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, test } from "node:test";
import { SAMPLES, changed, choose, close, folder, opened, seen, served } from "./bench.mjs";

after(close);

const print = (page) => page.getByRole("button", { name: "Print the bench sheets" });
const written = (page, label, value) =>
  page
    .getByLabel(label, { exact: true })
    .fill(value)
    .then(() => page.keyboard.press("Enter"));

/** The plans whose files are linked to: those of the drawing, and those to take along. */
const linked = (page, where) =>
  page
    .locator(`${where} a[href*="made/"]`)
    .evaluateAll((links) => [...new Set(links.map(({ href }) => href.match(/made\/([^/]+)/)[1]))]);

/** Lets so many plans through to the tool, slowly; what comes after waits till it is stopped. */
async function plans_only(page, count) {
  let asked = 0;
  await page.route("**/plan", async (route) => {
    asked += 1;
    if (count < asked) return;
    await new Promise((done) => setTimeout(done, 500));
    await route.continue();
  });
  return () => asked;
}

test("one change stopped while another waited: drawing, sheets and files are of one plan", async (t) => {
  const { page } = await opened(t);
  const before = await linked(page, "#files");
  const asked = await plans_only(page, 1);
  await changed_to_waiting(page, asked);
  assert.ok(await print(page).isDisabled(), "nothing is printed on the way");
  const follows = await page
    .locator("#files a")
    .first()
    .evaluate((link) => link.dispatchEvent(new MouseEvent("click", { bubbles: true, cancelable: true })));
  assert.equal(follows, false, "nor is a file of another plan saved");
  await page.getByRole("button", { name: "Stop" }).click();
  await page.getByText("Stopped.").waitFor();
  await page.waitForFunction(() => !document.body.dataset.busy);
  const drawn = await linked(page, "#pictures");
  assert.equal(drawn.length, 1);
  assert.notDeepEqual(drawn, before, "the first change has come");
  assert.deepEqual(await linked(page, "#files"), drawn);
  assert.equal(await page.locator("#grain").inputValue(), "5");
  assert.notEqual(await page.getByLabel("Thick", { exact: true }).inputValue(), "33mm");
  assert.ok(await print(page).isEnabled());
});

/** What the browser's own print would lay on paper. */
async function on_paper(page) {
  await page.emulateMedia({ media: "print" });
  const shown = await page.evaluate(() => {
    dispatchEvent(new Event("beforeprint"));
    const seen = (one) => one.getClientRects().length > 0;
    const all = {
      sheets: [...document.querySelectorAll("#set > .leaf")].filter(seen).length,
      said: seen(document.querySelector("#not-printed")),
    };
    dispatchEvent(new Event("afterprint"));
    return all;
  });
  await page.emulateMedia({ media: null });
  return shown;
}

test("the browser's own print lays one line on paper while the plan is not that of the job", async (t) => {
  const { page } = await opened(t);
  const whole = await on_paper(page);
  assert.ok(5 < whole.sheets && !whole.said, JSON.stringify(whole));
  await changed(page, () => written(page, "Thick", "quite thick"));
  assert.deepEqual(await on_paper(page), { sheets: 0, said: true }, "refused");
  await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
  assert.deepEqual(await on_paper(page), whole);
  await plans_only(page, 0);
  await page.locator('[data-turn="5"]').click();
  assert.deepEqual(await on_paper(page), { sheets: 0, said: true }, "at work");
  await page.getByRole("button", { name: "Stop" }).click();
  await page.waitForFunction(() => !document.body.dataset.busy);
  assert.deepEqual(await on_paper(page), whole, "as before");
});

test("sheets that are not those of the drawing yet are neither seen nor taken", async (t) => {
  const { page } = await opened(t);
  let held;
  await page.route("**/sheets", (route) => (held = route));
  await page.locator('[data-turn="5"]').click();
  await page.waitForFunction(() => document.querySelector("#grain").value === "5");
  await page.waitForFunction(() => !document.querySelector("#stop").hidden);
  assert.ok(held, "the drawing has come, the sheets have not");
  assert.equal(await page.locator("#set .sheet:visible").count(), 0);
  assert.deepEqual(await on_paper(page), { sheets: 0, said: true });
  assert.ok(await print(page).isDisabled());
  await held.continue();
  await page.waitForFunction(() => !document.body.dataset.busy);
  assert.ok(5 < (await page.locator("#set .sheet:visible").count()));
  assert.ok(await print(page).isEnabled());
  assert.match(await page.locator("#state").innerText(), /^Planned/);
  held = null;
  await page.locator('[data-turn="5"]').click();
  await page.waitForFunction(() => !document.querySelector("#stop").hidden);
  await page.getByRole("button", { name: "Stop" }).click();
  await page.getByText("Stopped.").waitFor();
  assert.ok(await print(page).isDisabled(), "without its sheets no plan is given out");
  await page.unroute("**/sheets");
  await changed(page, () => page.locator('[data-turn="-5"]').click());
  assert.ok(await print(page).isEnabled());
});

test("sheets are asked for when the person pauses, not at each key", async (t) => {
  const { page } = await opened(t);
  let asked = 0;
  page.on("request", (one) => (asked += Number(one.url().endsWith("/sheets"))));
  await page.locator('#pictures [data-answer="grain"]').first().focus();
  const drawn = (degrees) =>
    page.waitForFunction((one) => document.querySelector("#grain").value === one, String(degrees));
  for (let turn = 1; turn <= 10; turn += 1) {
    await page.keyboard.press("ArrowUp");
    await drawn(turn);
  }
  assert.equal(asked, 0, "none is read while the grain turns");
  await page.waitForFunction(() => !document.body.dataset.busy);
  assert.equal(asked, 1);
});

test("what is pressed right after a change is taken as soon as it is there", async (t) => {
  const { page } = await opened(t);
  await page.evaluate(() => {
    globalThis.print = () => (globalThis.printed = document.querySelector("#set").textContent);
  });
  await page.getByLabel("Thick", { exact: true }).fill("33mm");
  await print(page).click();
  const printed = await (await page.waitForFunction(() => globalThis.printed)).jsonValue();
  assert.match(printed, /33 mm/, "with the change in it");
  await page.evaluate(() => delete globalThis.printed);
  await page.getByLabel("Thick", { exact: true }).fill("quite thick");
  await changed(page, () => print(page).click());
  assert.equal(await page.evaluate(() => globalThis.printed), undefined, "not where it is refused");
});

test("what is pressed is forgotten with the next change, whose sheets nobody has seen", async (t) => {
  const { page } = await opened(t);
  await page.evaluate(() => (globalThis.print = () => (globalThis.printed = true)));
  // All at once: the button is not yet off when it is pressed, and the first change not yet drawn.
  const press = () => {
    const turn = document.querySelector('[data-turn="5"]');
    for (const one of [turn, document.querySelector("#print-all"), turn]) one.click();
  };
  await page.evaluate(press);
  await page.waitForFunction(() => document.querySelector("#grain").value === "10");
  await page.waitForFunction(() => !document.body.dataset.busy);
  assert.equal(await page.evaluate(() => globalThis.printed), undefined, "not the print of another plan");
  await print(page).click();
  assert.equal(await page.evaluate(() => globalThis.printed), true, "but when it is pressed again");
});

test("sheets do not wait till the browser has stored the desk", async (t) => {
  const { address } = await served(t);
  const page = await seen(t, address, {
    // A browser whose storage never answers.
    before: () => (IDBObjectStore.prototype.put = () => ({})),
  });
  await changed(page, () => page.locator('[data-turn="5"]').click());
  assert.ok(await print(page).isEnabled());
  await choose(page, ...laid(t, { "board.svg": SQUARE }));
  assert.match(await page.title(), /board/);
  assert.ok(await print(page).isEnabled());
});

test("programs of an older drawing are not seen", async (t) => {
  const { page } = await opened(t, { input: [join(SAMPLES, "house-sign.toml")] });
  const seen_now = page.locator("#program-list h3:visible");
  assert.ok(await seen_now.count());
  let held;
  await page.route("**/sheets", (route) => (held = route));
  await page.locator('[data-turn="5"]').click();
  await page.waitForFunction(() => !document.querySelector("#stop").hidden);
  assert.equal(await seen_now.count(), 0, "the drawing is newer");
  await held.continue();
  await page.waitForFunction(() => !document.body.dataset.busy);
  assert.ok(await seen_now.count());
});

test("what an older plan's sheets met with is not told over a newer plan", async (t) => {
  const { page } = await opened(t, { faults: ["500"] });
  const held = [];
  await page.route("**/sheets", (route) => (held.length ? route.continue() : held.push(route)));
  await page.locator('[data-turn="5"]').click();
  await page.waitForFunction(() => !document.querySelector("#stop").hidden);
  await changed(page, () => page.locator('[data-turn="5"]').click());
  const failed = page.waitForResponse((answer) => answer.status() === 500);
  await held[0].fulfill({ status: 500, body: "no sheets" });
  await (await failed).finished();
  await page.waitForTimeout(100);
  assert.ok(await page.locator("#problems").isHidden());
  assert.match(await page.locator("#state").innerText(), /^Planned/);
  assert.ok(await print(page).isEnabled());
});

test("a program that the tool keeps no more says so where it would stand", async (t) => {
  const { page } = await opened(t, {
    input: [join(SAMPLES, "house-sign.toml")],
    faults: ["404"],
  });
  await page.route("**/steps/*", (route) => route.fulfill({ status: 404, body: "" }));
  await page.getByText("Read it line by line").first().click();
  await page.locator(".steps").getByText("load this page again").waitFor();
  assert.ok(await page.locator("#problems").isHidden());
});

/** Turns the grain and writes a thickness; the turn has come, the thickness is being worked out. */
async function changed_to_waiting(page, asked) {
  await page.locator('[data-turn="5"]').click();
  await written(page, "Thick", "33mm");
  const deadline = Date.now() + 60_000;
  while (asked() < 2 && Date.now() < deadline) await page.waitForTimeout(50);
  assert.equal(asked(), 2);
  await page.waitForFunction(() => !document.querySelector("#stop").hidden);
  await page.waitForFunction(() => document.querySelector("#print-all").disabled);
}

test("what is refused is neither printed nor saved; what is stopped is not written", async (t) => {
  const { page } = await opened(t);
  await changed(page, () => written(page, "Thick", "quite thick"));
  const off = "#files a, #pictures a, #set [data-takes], #pictures [data-takes]";
  const takes = () =>
    page.locator(off).evaluateAll((all) => all.filter((one) => !one.inert && !one.disabled).length);
  assert.equal(await takes(), 0);
  await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
  assert.ok(5 < (await takes()));
  const before = await page.getByLabel("Thick", { exact: true }).inputValue();
  await plans_only(page, 0);
  await written(page, "Thick", "33mm");
  await page.getByRole("button", { name: "Stop" }).click();
  await page.getByText("Stopped.").waitFor();
  assert.equal(await page.getByLabel("Thick", { exact: true }).inputValue(), before);
});

test("the field of the grain says what is planned", async (t) => {
  const { page } = await opened(t);
  await changed(page, () =>
    page
      .locator("#grain")
      .fill("217.5")
      .then(() => page.keyboard.press("Enter")),
  );
  const planned = await page.locator('#pictures [role="slider"]').first().getAttribute("aria-valuenow");
  assert.equal(await page.locator("#grain").inputValue(), planned);
  assert.ok(Number(planned) < 180, "an axis has no more than half a turn");
});

const SQUARE =
  '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100"><rect x="10" y="10" width="180" height="80"/></svg>';
const JOB = 'thick = 19\nunits = "mm"\nbits = ["1/2in pattern"]\n\n[outline]\ndrawing = "sub/part.svg"\n';
const RACK =
  'units = "in"\n\n[half]\ncutter = "1/2"\nbearing-at = "shank"\nbearings = ["1/2"]\ncut-length = "1 1/4"\nshank = "1/2"\nreach = "2 1/4"\n';

/** Files in a folder of the test, by name. */
function laid(t, files) {
  const dir = folder(t);
  return Object.entries(files).map(([name, text]) => {
    writeFileSync(join(dir, name), text);
    return join(dir, name);
  });
}

test("of files chosen together the job is found, whatever they are called", async (t) => {
  const { page } = await opened(t);
  await choose(page, ...laid(t, { "bits.toml": RACK, "foot.toml": JOB, "part.svg": SQUARE }));
  assert.ok(await page.locator("#problems").isHidden(), await page.locator("#problems").innerText());
  assert.match(await page.title(), /foot/);
});

test("a file that the job names with its folder is put beside it", async (t) => {
  const { page } = await opened(t);
  const [job, part] = laid(t, { "foot.toml": JOB, "part.svg": SQUARE });
  await choose(page, job);
  assert.match(await page.locator("#problems").innerText(), /asks for sub\/part\.svg/);
  await choose(page, part);
  assert.ok(await page.locator("#problems").isHidden());
  assert.match(await page.title(), /foot/);
});

test("what is chosen and not used is named", async (t) => {
  const { page } = await opened(t);
  await choose(page, ...laid(t, { "one.svg": SQUARE, "two.svg": SQUARE }));
  assert.match(await page.title(), /one/);
  assert.match(await page.locator("#state").innerText(), /Left out: two\.svg/);
});

test("what is being typed is not lost where the cells are laid anew", async (t) => {
  const { page } = await opened(t);
  const mill = page.getByLabel("End mill of your machine");
  const thick = page.getByLabel("Thick", { exact: true });
  await plans_only(page, 1);
  await mill.fill("6mm");
  await page.keyboard.press("Enter");
  await thick.fill("20.5");
  await thick.evaluate((cell) => cell.setSelectionRange(2, 3));
  await page.waitForFunction(() => !document.body.dataset.busy);
  assert.ok(await page.getByLabel("Blank", { exact: true }).count(), "the cells of the machine are there");
  const cell = await thick.evaluate((one) => [
    one === document.activeElement,
    one.value,
    one.selectionStart,
    one.selectionEnd,
  ]);
  assert.deepEqual(cell, [true, "20.5", 2, 3]);
  await page.unroute("**/plan");
  await changed(page, () => page.keyboard.press("Enter"));
  assert.match(await thick.inputValue(), /^20\.5/);
  assert.match(await page.getByRole("button", { name: /^Undo/ }).innerText(), /thick 20\.5/);
});

test("a cell can be written back before the answer has come", async (t) => {
  const { page } = await opened(t);
  const before = await page.getByLabel("Thick", { exact: true }).inputValue();
  await plans_only(page, 2);
  await written(page, "Thick", "33mm");
  await changed(page, () => written(page, "Thick", before));
  assert.equal(await page.getByLabel("Thick", { exact: true }).inputValue(), before);
});
