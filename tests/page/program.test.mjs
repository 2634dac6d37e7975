// The program on the page: read line by line, its place marked with it.

import assert from "node:assert/strict";
import { after, test } from "node:test";
import { SAMPLES, close, opened, saved } from "./bench.mjs";
import { join } from "node:path";

after(close);

test("each line and its place are marked together", async (t) => {
  const { page } = await opened(t, { input: [join(SAMPLES, "house-sign.toml")] });
  const text = (
    await saved(page, page.getByRole("link", { name: "Save the program" }).first())
  ).toString();
  await page.getByText("Read it line by line").first().click();
  const lines = page.locator(".steps select").first();
  await lines.waitFor();
  const listed = (await lines.locator("option").allInnerTexts()).map((line) =>
    line.replace(/^\d+\s+/, ""),
  );
  assert.deepEqual(
    listed,
    text
      .trimEnd()
      .split("\n")
      .map((line) => line.trim()),
  );
  const place = () => page.locator(".steps path.place").first().getAttribute("d");
  const cut = listed.findIndex((line) => /^G1 X/.test(line));
  await lines.selectOption(String(cut));
  const first = await place();
  assert.ok(first, listed[cut]);
  await page.getByRole("button", { name: "Next line" }).first().click();
  assert.notEqual(await place(), first);
  await lines.focus();
  await page.keyboard.press("ArrowUp");
  assert.equal(await place(), first, "by keys too");
  assert.match(await page.locator(".steps .words").first().innerText(), new RegExp(`Line ${cut + 1}`));
  const long = listed.reduce((a, b) => (a.length < b.length ? b : a));
  await lines.selectOption(String(listed.indexOf(long)));
  assert.equal(await page.locator(".steps .words code").first().innerText(), long, "in full");
});
