// Somebody who has never seen the page: from a drawing on disk to printed bench sheets and a proved
// program, by what is written on the page alone.

import assert from "node:assert/strict";
import { spawnSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { join } from "node:path";
import { after, test } from "node:test";
import { SAMPLES, changed, choose, close, folder, job, opened, saved, spelch } from "./bench.mjs";

after(close);

const MOST_CLICKS = 8;
const TWO_MINUTES = 120_000;

test("from a drawing to bench sheets and a proved program in at most 8 clicks", async (t) => {
  const begun = Date.now();
  const { page } = await opened(t);
  let clicks = 0;
  const click = async (thing) => {
    clicks += 1;
    await thing.click();
  };

  clicks += 1;
  await choose(page, join(SAMPLES, "ogee-bracket.svg"));
  await click(page.getByLabel("Thick", { exact: true }));
  await page.keyboard.type("19mm");
  await changed(page, () => page.keyboard.press("Enter"));
  await click(page.getByLabel("Grain, degrees"));
  await page.keyboard.press("ControlOrMeta+A");
  await page.keyboard.type("45");
  await changed(page, () => page.keyboard.press("Enter"));
  await page.evaluate(() =>
    addEventListener("beforeprint", () => (document.body.dataset.printed = "yes")),
  );
  await click(page.getByRole("button", { name: "Print the bench sheets" }));
  const dir = folder(t);
  const paper = join(dir, "sheets.pdf");
  writeFileSync(paper, await page.pdf({ preferCSSPageSize: true }));
  await click(page.getByLabel("End mill of your machine"));
  await page.keyboard.type("3mm");
  await changed(page, () => page.keyboard.press("Enter"));
  clicks += 1;
  const program = join(dir, "template.nc");
  writeFileSync(program, await saved(page, page.getByRole("link", { name: "Save the program" })));
  const took = Date.now() - begun;
  t.diagnostic(`${clicks} clicks, ${(took / 1000).toFixed(1)} s`);
  assert.ok(clicks <= MOST_CLICKS, `${clicks} clicks`);
  assert.ok(took < TWO_MINUTES, `${took} ms`);

  const read = spawnSync("pdftotext", ["-layout", paper, "-"], { encoding: "utf8" });
  if (read.status === 0) {
    for (const words of ["Stock and mark", "ogee-bracket", "By hand the wood is on the"]) {
      assert.ok(read.stdout.includes(words), `no "${words}" is printed`);
    }
  } else {
    t.diagnostic("what was printed was not read: there is no pdftotext");
  }
  const toml = join(dir, "ogee-bracket.toml");
  writeFileSync(toml, await job(page));
  const drawing = spawnSync("cp", [join(SAMPLES, "ogee-bracket.svg"), dir]);
  assert.equal(drawing.status, 0);
  const proof = spelch("prove", program, "--job", toml);
  assert.equal(proof.status, 0, proof.stderr);
});
