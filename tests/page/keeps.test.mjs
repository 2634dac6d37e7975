// What the page keeps, and what it does when the tool breaks off or has others to serve.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { after, test } from "node:test";
import { SAMPLES, changed, close, opened, planned, seen, served } from "./bench.mjs";

after(close);

const grain = (page) => page.locator("#grain").inputValue();
const turn = (page) => changed(page, () => page.locator('[data-turn="5"]').click());

/** Ends the processes that the tool has started: its worker. */
function end_worker(tool) {
  const workers = readFileSync(`/proc/${tool.pid}/task/${tool.pid}/children`, "utf8").trim();
  assert.ok(workers, "there is a worker");
  for (const pid of workers.split(" ")) process.kill(Number(pid), "SIGKILL");
}

test("a worker that dies costs no more than the change it was at", async (t) => {
  const { address, tool } = await served(t);
  const page = await seen(t, address);
  await turn(page);
  end_worker(tool);
  await turn(page);
  assert.match(await page.locator("#problems").innerText(), /fault of the tool/);
  await turn(page);
  assert.ok(await page.locator("#problems").isHidden(), "the desk is there still");
  assert.equal(await grain(page), "10", "5 before, 5 lost, 5 after");
  end_worker(tool);
  await turn(page);
  assert.ok(await page.locator("#problems").isVisible());
  await page.reload();
  await planned(page);
  assert.ok(await page.locator("#problems").isHidden(), "after a reload too");
  assert.equal(await grain(page), "10");
});

test("a change that is passed over is asked for again", async (t) => {
  const { page } = await opened(t);
  let asked = 0;
  await page.route("**/plan", (route) => {
    asked += 1;
    return asked === 1
      ? route.fulfill({ contentType: "application/x-ndjson", body: '{"passed_over":true}\n' })
      : route.continue();
  });
  await turn(page);
  assert.equal(await grain(page), "5");
  asked = 0;
  await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
  assert.equal(await grain(page), "0", "one step, not two");
  assert.equal(asked, 2);
});

test("a reload in the middle of work loses neither the change nor a new drawing", async (t) => {
  const { page } = await opened(t);
  await turn(page);
  const cut_off = async (act) => {
    const asked = page.waitForRequest("**/plan");
    await page.route("**/plan", () => {});
    await act();
    await asked;
    await page.waitForTimeout(100);
    await page.unroute("**/plan");
    await page.reload();
    await planned(page);
  };
  await cut_off(() => page.locator('[data-turn="5"]').click());
  assert.equal(await grain(page), "10");
  await cut_off(() =>
    page.locator("#choose").setInputFiles(join(SAMPLES, "ogee-bracket.svg")),
  );
  assert.match(await page.title(), /ogee-bracket/);
  await page.reload();
  await planned(page);
  assert.equal(await page.getByRole("button", { name: /^Undo/ }).getAttribute("title"), "ogee-bracket.svg");
  await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
  assert.equal(await grain(page), "10", "it is done once");
});

test("two windows keep what is theirs", async (t) => {
  const { page, address } = await opened(t);
  await turn(page);
  const other = await page.context().newPage();
  await other.goto(address);
  await planned(other);
  await turn(other);
  await turn(other);
  assert.equal(await grain(other), "15", "it began where the first had come to");
  await page.reload();
  await planned(page);
  assert.equal(await grain(page), "5");
  await other.reload();
  await planned(other);
  assert.equal(await grain(other), "15");
});

test("old sittings are dropped, and files that no desk has", async (t) => {
  const { page } = await opened(t);
  const left = await page.evaluate(async () => {
    const keep = await import(new URL("keep.js", location.href).href);
    const desk = (digest) => ({ entries: [{ desk: { job: "", files: { "a.svg": digest } } }], at: 0 });
    const numbers = Array.from({ length: 30 }, (_, index) => index);
    for (const number of numbers) {
      await keep.keepDesks(`sitting ${number}`, desk(`digest ${number}`));
      await keep.keepFile(`digest ${number}`, new ArrayBuffer(1));
      await new Promise((done) => setTimeout(done, 2));
    }
    await keep.keepFile("nobody's", new ArrayBuffer(1));
    await keep.tidy();
    const has = async (number) => [
      Boolean(await keep.desksOf(`sitting ${number}`)),
      Boolean(await keep.fileOf(`digest ${number}`)),
    ];
    return {
      kept: (await Promise.all(numbers.map(has))).filter(([desks]) => desks).length,
      oldest: await has(0),
      newest: await has(29),
      nobodys: Boolean(await keep.fileOf("nobody's")),
    };
  });
  assert.deepEqual(left, { kept: 12, oldest: [false, false], newest: [true, true], nobodys: false });
});
