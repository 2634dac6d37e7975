// What goes wrong, and how it is said: bad drawings and jobs, refused programs, long work, and
// whoever else asks the tool for something.

import assert from "node:assert/strict";
import { writeFileSync } from "node:fs";
import { request } from "node:http";
import { join } from "node:path";
import { after, test } from "node:test";
import { SAMPLES, changed, choose, close, folder, opened, planned, saved, served, spelch } from "./bench.mjs";

after(close);

test("a bad drawing is told as on the command line, its place marked, the last plan stays", async (t) => {
  const { page } = await opened(t);
  const before = await page.locator("#pictures svg").count();
  const bad = join(SAMPLES, "bad", "crossing.svg");
  await choose(page, bad);
  const told = await page.locator("#problems").innerText();
  const said = spelch("plan", bad, "--bit", "1/2in pattern", "--out", join(folder(t), "out")).stderr;
  const words = said.match(/\]: (.*)/)[1];
  assert.ok(told.toLowerCase().includes(words.toLowerCase()), `${told}\n\n${said}`);
  assert.equal(await page.locator("#problems svg").count(), 1, "the drawing stands there, marked");
  assert.equal(await page.locator("#pictures svg").count(), before, "the last plan stays");
  const job = (await saved(page, page.getByRole("button", { name: "Save the job as it is now" }))).toString();
  assert.match(job, /drawing = "crossing\.svg"/, "what is refused can be saved");
  assert.match(told, /The sheet is still that of trestle-foot \(plan [0-9a-f]+\)\./);
  assert.ok(
    await page.getByRole("button", { name: "Print the bench sheets" }).isDisabled(),
    "it is not that of the desk",
  );
  await page.reload();
  await planned(page);
  assert.ok(await page.locator("#problems").isVisible(), "what is wrong is not lost on reload");
  assert.equal(await page.locator("#pictures svg").count(), before, "nor is the last plan");
  await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
  assert.ok(await page.locator("#problems").isHidden());
});

test("a job asks for the file it names", async (t) => {
  const { page } = await opened(t);
  const dir = folder(t);
  const job = join(dir, "bracket.toml");
  writeFileSync(
    job,
    'units = "mm"\nthick = 19\nbits = ["1/2in pattern"]\n\n[outline]\ndrawing = "ogee-bracket.svg"\n',
  );
  await choose(page, job);
  assert.match(await page.locator("#problems").innerText(), /asks for ogee-bracket\.svg/);
  await choose(page, join(SAMPLES, "ogee-bracket.svg"));
  assert.ok(await page.locator("#problems").isHidden());
  assert.match(await page.title(), /bracket/);
});

test("a drawing is dropped on the page", async (t) => {
  const { page } = await opened(t);
  await changed(page, () =>
    page.evaluate(() => {
      const drawing =
        '<svg xmlns="http://www.w3.org/2000/svg" width="200mm" height="100mm" viewBox="0 0 200 100"><rect x="10" y="10" width="180" height="80"/></svg>';
      const dropped = new DataTransfer();
      dropped.items.add(new File([drawing], "board.svg"));
      document.body.dispatchEvent(
        new DragEvent("drop", { dataTransfer: dropped, bubbles: true, cancelable: true }),
      );
    }),
  );
  assert.match(await page.title(), /board/);
  assert.ok(await page.locator("#problems").isHidden());
});

test("a refused program says why, and is not given out", async (t) => {
  const { page } = await opened(t);
  await changed(page, () =>
    page
      .getByLabel("End mill of your machine")
      .fill("6mm")
      .then(() => page.keyboard.press("Enter")),
  );
  assert.ok(await page.locator('a[download$=".nc"]').count(), "it is given out while it is proved");
  await changed(page, () =>
    page
      .getByLabel("Blank", { exact: true })
      .fill("20x20mm")
      .then(() => page.keyboard.press("Enter")),
  );
  assert.match(await page.locator("#state").innerText(), /1 STOP(, \d+ cautions?)? of its own/);
  const first = page.locator("#cautions li").first();
  assert.match(await first.innerText(), /^STOP: The program is refused: /, "before all cautions");
  assert.ok(await first.evaluate((one) => one.classList.contains("stop")));
  assert.match(await page.locator("#program-list").innerText(), /STOP: .*not proved/s);
  assert.equal(await page.locator('a[download$=".nc"]').count(), 0);
});

test("a refusal stands under the cell it came from, and in the line of how it stands", async (t) => {
  const { page } = await opened(t);
  const thick = page.getByLabel("Thick", { exact: true });
  await changed(page, () => thick.fill("quite thick").then(() => page.keyboard.press("Enter")));
  const told = async (cell) => [
    await cell.getAttribute("aria-invalid"),
    await cell.evaluate((one) => one.parentElement.querySelector(".wrong")?.textContent ?? ""),
  ];
  const [invalid, said] = await told(thick);
  assert.equal(invalid, "true");
  assert.match(said, /^STOP: .*quite/);
  const described = await thick.getAttribute("aria-describedby");
  const spoken = await page.locator(`#${described.split(" ")[0]}`).innerText();
  assert.equal(spoken, said, "the reason is read out with the cell");
  assert.match(await page.locator("#state").innerText(), /^No plan for this/);
  await changed(page, () => page.locator('[data-turn="5"]').click());
  assert.deepEqual(await told(thick), ["true", said], "another change leaves it there");
  await page.reload();
  await planned(page);
  await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
  assert.deepEqual(await told(thick), ["true", said], "the change that led there is kept");
  await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
  assert.deepEqual(await told(thick), [null, ""]);
});

test("a file that is too large is told so, and leaves all as it was", async (t) => {
  const { page } = await opened(t);
  const large = join(folder(t), "large.svg");
  writeFileSync(large, Buffer.alloc(20_000_001, " "));
  await page.locator("#choose").setInputFiles(large);
  await page.locator("#problems").waitFor();
  const told = () => page.locator("#problems").innerText();
  assert.match(await told(), /too large: a file may have 20 MB/);
  const print = page.getByRole("button", { name: "Print the bench sheets" });
  assert.ok(await print.isEnabled(), "the plan is still that of the job");
  await changed(page, () =>
    page
      .getByLabel("Thick", { exact: true })
      .fill("quite thick")
      .then(() => page.keyboard.press("Enter")),
  );
  assert.doesNotMatch(await told(), /too large/);
  await page.locator("#choose").setInputFiles(large);
  await page.getByText("too large").waitFor();
  assert.match(await told(), /No plan for this.*no length/s, "what stands against the job goes on standing");
  assert.ok(await print.isDisabled());
});

test("a tool that was started anew says where it is", async (t) => {
  const { page } = await opened(t, { faults: ["404"] });
  await page.route("**/plan", (route) => route.fulfill({ status: 404, body: "" }));
  await page.locator('[data-turn="5"]').click();
  await page.getByText("The tool was started anew: open the address it says now.").waitFor();
  assert.equal(await page.locator("#grain").inputValue(), "0");
});

test("the last bit laid down is told as not used, and a long change is said short", async (t) => {
  const { page } = await opened(t);
  const used = page.locator('#rack [aria-pressed="true"]');
  const undo = page.getByRole("button", { name: /^Undo/ });
  const count = await used.count();
  assert.ok(count);
  for (let left = count - 1; 0 <= left; left -= 1) {
    await changed(page, () => used.first().click());
    assert.equal(await used.count(), left);
  }
  assert.ok(await page.locator("#problems").isVisible(), "no plan without a bit");
  await page.reload();
  await planned(page);
  assert.equal(await used.count(), 0, "nor after a reload");
  await changed(page, () => undo.click());
  assert.equal(await used.count(), 1);
  const name = `trestle ${"long ".repeat(12)}foot`;
  await changed(page, () =>
    page
      .getByLabel("Name", { exact: true })
      .fill(name)
      .then(() => page.keyboard.press("Enter")),
  );
  assert.match(await undo.innerText(), /^Undo: name trestle .*…$/);
  assert.ok((await undo.innerText()).length < 45);
  assert.equal(await undo.getAttribute("title"), `name ${name}`);
});

test("long work shows where it is, and stops", async (t) => {
  const { page } = await opened(t);
  const noise = join(folder(t), "noise.svg");
  writeFileSync(noise, noisy(9_900));
  const dialog = page.waitForEvent("filechooser");
  await page.getByText("Choose a drawing or a job").click();
  await (await dialog).setFiles([noise]);
  await page.getByText(/^for \d+ s$/).waitFor();
  assert.match(await page.locator("#state").innerText(), /^Working: [a-z]/);
  await page.getByRole("button", { name: "Stop" }).click();
  await page.getByText("Stopped.").waitFor();
  assert.equal(await page.locator("#seconds").innerText(), "");
  await changed(page, () => page.getByRole("button", { name: "Turn 5° left" }).click());
  assert.equal(await page.locator("#grain").inputValue(), "5", "the sheet goes on from where it was");
});

test("a scan full of noise is refused at once, and says what to do", async (t) => {
  const { page } = await opened(t);
  const noise = join(folder(t), "scan.svg");
  writeFileSync(noise, noisy(100_000));
  const since = Date.now();
  await choose(page, noise);
  t.diagnostic(`100,000 chords of noise: refused after ${((Date.now() - since) / 1000).toFixed(1)} s`);
  const told = await page.locator("#problems").innerText();
  assert.match(told, /corners: more than a person can go through; mostly the noise of a scan.*make it simpler in the drawing program/is);
  assert.match(told, /The sheet is still that of trestle-foot/);
});

/** An outline with noise on it, which no arc can follow. */
function noisy(count) {
  let seed = 1;
  const random = () => (seed = (seed * 48271) % 2147483647) / 2147483647;
  const points = Array.from({ length: count }, (_, index) => {
    const angle = (2 * Math.PI * index) / count;
    const radius = 120 + 0.05 * random();
    return `${(150 + radius * Math.cos(angle)).toFixed(4)},${(150 + radius * Math.sin(angle)).toFixed(4)}`;
  });
  return `<svg xmlns="http://www.w3.org/2000/svg" width="300mm" height="300mm" viewBox="0 0 300 300"><polygon points="${points.join(" ")}"/></svg>`;
}

test("only this computer's own page is answered", async (t) => {
  const { address } = await served(t);
  const { port, pathname } = new URL(address);
  const asked = (path, headers) =>
    new Promise((done, failed) => {
      const options = { host: "127.0.0.1", port, path, headers };
      request(options, (answer) => done(answer.resume().statusCode))
        .on("error", failed)
        .end();
    });
  const own = `127.0.0.1:${port}`;
  assert.equal(await asked(pathname, { host: own }), 200);
  assert.equal(await asked(pathname, { host: `localhost:${port}` }), 200);
  assert.equal(await asked(pathname, { host: `example.org:${port}` }), 403);
  assert.equal(await asked(pathname, { host: own, origin: "http://example.org" }), 403);
  assert.equal(await asked(pathname, { host: own, origin: "null" }), 403);
  assert.equal(await asked("/", { host: own }), 404);
  assert.equal(await asked("/00000000000000000000000000000000/", { host: own }), 404);
});

test("nothing is asked of any other computer", async (t) => {
  const { page, address } = await opened(t);
  const asked = [];
  page.on("request", (one) => asked.push(one.url()));
  await page.reload();
  await page.waitForFunction(
    () => !document.body.dataset.busy && performance.getEntriesByName("change to screen").length,
  );
  assert.ok(5 < asked.length);
  assert.deepEqual(
    asked.filter(
      (url) => !url.startsWith(address) && !url.startsWith("data:") && !url.startsWith("blob:"),
    ),
    [],
  );
});

test("Ctrl-C ends it", async (t) => {
  const { tool, address } = await served(t);
  assert.equal((await fetch(address)).status, 200);
  const ended = new Promise((done) => tool.on("exit", done));
  tool.kill("SIGINT");
  assert.equal(await ended, 0);
});
