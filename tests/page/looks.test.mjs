// How the page is reached and read: phone and wide, light and dark, by keys alone, by a screen
// reader, printed.

import assert from "node:assert/strict";
import { readFileSync } from "node:fs";
import { createRequire } from "node:module";
import { after, test } from "node:test";
import { join } from "node:path";
import { SAMPLES, changed, close, opened, sample, seen } from "./bench.mjs";

after(close);

const AXE = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");
const RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"];
const PHONE = { viewport: { width: 360, height: 740 }, isMobile: true, hasTouch: true };

/** Nothing that axe-core knows keeps anybody out. */
async function reached(page, where) {
  await page.evaluate(AXE);
  const found = await page.evaluate((rules) => axe.run(document, { runOnly: rules }), RULES);
  const told = found.violations.map(
    ({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 160)).join(" | ")}`,
  );
  assert.deepEqual(told, [], where);
  assert.ok(20 < found.passes.length, `axe-core looked at ${found.passes.length} rules`);
}

for (const [name, view] of [
  ["wide and light", {}],
  ["wide and dark", { colorScheme: "dark" }],
  ["a phone", PHONE],
  ["a phone in the dark", { ...PHONE, colorScheme: "dark" }],
]) {
  test(`axe-core finds nothing: ${name}`, async (t) => {
    const { page } = await opened(t, view);
    await reached(page, "the first sight");
    await page.getByText("Begin with a joint or a sample").click();
    await reached(page, "joints and samples");
    await sample_open(page);
    await page.getByText("Read it line by line").first().click();
    await page.locator(".steps select").first().waitFor();
    await reached(page, "a program by line");
    await changed(page, () =>
      page
        .getByLabel("Thick", { exact: true })
        .fill("quite thick")
        .then(() => page.keyboard.press("Enter")),
    );
    await page.locator("#problems").waitFor();
    await reached(page, "what stands against a plan");
    const wide = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    assert.ok(wide <= 0, `the page is ${wide} px wider than the screen`);
  });
}

async function sample_open(page) {
  await changed(page, () => page.locator("#samples button").filter({ hasText: "house sign" }).click());
}

test("the paper stays white in the dark", async (t) => {
  const { page } = await opened(t, { colorScheme: "dark" });
  const colour = (place) =>
    page
      .locator(place)
      .first()
      .evaluate((element) => getComputedStyle(element).backgroundColor);
  assert.equal(await colour("#pictures .paper"), "rgb(255, 255, 255)");
  assert.equal(await colour("#set .sheet"), "rgb(255, 255, 255)");
  assert.notEqual(await colour("body"), "rgb(255, 255, 255)");
});

test("by keys alone", async (t) => {
  const { page } = await opened(t);
  const tab_to = async (is_there) => {
    for (let press = 0; press < 400; press += 1) {
      await page.keyboard.press("Tab");
      if (await page.evaluate(is_there)) return;
    }
    throw new Error(`no tab stop for ${is_there}`);
  };
  await tab_to(() => document.activeElement.id === "choose");
  await tab_to(() => document.activeElement.dataset.answer === "grain");
  await changed(page, () => page.keyboard.press("ArrowLeft"));
  assert.equal(await page.locator("#grain").inputValue(), "1");
  await tab_to(() => document.activeElement.dataset.answer?.startsWith("stretch"));
  assert.match(await page.locator("#answer-title").innerText(), /stretch/i);
  await tab_to(() => document.activeElement.matches("#rack button[aria-pressed=false]"));
  await changed(page, () => page.keyboard.press("Space"));
  assert.equal(await page.evaluate(() => document.activeElement.getAttribute("aria-pressed")), "true");
  await tab_to(() => document.activeElement.matches("#edges select"));
  await tab_to(() => document.activeElement.id === "cell-thick");
  await tab_to(() => document.activeElement.matches("#files a"));
  await tab_to(() => document.activeElement.matches("#set button"));
});

test("the keyboard keeps its place where edges and answers are laid anew", async (t) => {
  const { page } = await opened(t);
  const held = () =>
    page.evaluate(() => [
      document.activeElement.closest("#edges, #answer-lines")?.id,
      document.activeElement.dataset.edge,
    ]);
  const changes = async (select) => {
    await select.focus();
    const before = await held();
    const other = await select.evaluate(
      (one) => [...one.options].find(({ value, selected }) => value && !selected).value,
    );
    await changed(page, () => select.selectOption(other));
    assert.deepEqual(await held(), before);
    assert.ok(before[1], "an edge");
  };
  await changes(page.locator("#edges select").last());
  await page.locator('#pictures [data-answer^="stretch"][tabindex]').first().focus();
  await changes(page.locator("#answer-lines select"));
});

test("the grain turns under a finger and under the mouse", async (t) => {
  for (const view of [{}, PHONE]) {
    const { page } = await opened(t, view);
    await turned_up_right(page, { answer: "grain", finger: view === PHONE });
    assert.equal(Number(await page.locator("#grain").inputValue()), 45);
    await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
    assert.equal(Number(await page.locator("#grain").inputValue()), 0, "one drag is one change");
  }
});

test("the arrow of a mirror image turns, and the one grain with it", async (t) => {
  const input = [join(SAMPLES, "wall-hook.toml")];
  for (const view of [{}, PHONE]) {
    const { page } = await opened(t, { input, ...view });
    assert.match(await page.locator("#pictures svg").first().textContent(), /FACE A UP/);
    const drawn = () => page.locator("#grain").inputValue().then(Number);
    const arrow = page.locator('#pictures [data-answer="mirrored-grain"]').first();
    const mirrored = () => arrow.getAttribute("aria-valuenow").then(Number);
    assert.deepEqual([await drawn(), await mirrored()], [30, 150]);
    await turned_up_right(page, { answer: "mirrored-grain", finger: view === PHONE });
    assert.deepEqual([await drawn(), await mirrored()], [135, 45]);
    await arrow.focus();
    await changed(page, () => page.keyboard.press("ArrowUp"));
    assert.deepEqual([await drawn(), await mirrored()], [134, 46], "by keys");
    assert.match(await page.locator("#answer-title").innerText(), /mirror image/);
    assert.match(await page.locator("#answer-lines").innerText(), /^46\.0°/);
  }
});

/** Takes an arrow of the grain by its middle and turns it till it points up and right. */
async function turned_up_right(page, { answer, finger }) {
  const arrow = page.locator(`#pictures [data-answer="${answer}"]`).first();
  await arrow.scrollIntoViewIfNeeded();
  const [x, y] = (await arrow.getAttribute("data-middle")).split(" ").map(Number);
  const on_screen = (...place) =>
    page
      .locator("#pictures svg")
      .first()
      .evaluate((svg, at) => {
        const point = new DOMPoint(...at).matrixTransform(svg.getScreenCTM());
        return { x: point.x, y: point.y };
      }, place);
  const from = await on_screen(x, y);
  const to = await on_screen(x + 12, y - 12);
  await changed(page, async () => {
    if (finger) return dragged(page, from, to);
    await page.mouse.move(from.x, from.y);
    await page.mouse.down();
    await page.mouse.move(to.x, to.y, { steps: 6 });
    await page.mouse.up();
  });
  await page.waitForFunction(() => !document.body.dataset.busy);
}

/** A finger, by the browser's own protocol: playwright's touch only taps. */
async function dragged(page, from, to) {
  const browser = await page.context().newCDPSession(page);
  const touch = (type, points) =>
    browser.send("Input.dispatchTouchEvent", { type, touchPoints: points });
  await touch("touchStart", [from]);
  for (let step = 1; step <= 4; step += 1) {
    const part = (a, b) => a + ((b - a) * step) / 4;
    await touch("touchMove", [{ x: part(from.x, to.x), y: part(from.y, to.y) }]);
  }
  await touch("touchEnd", []);
}

test("every mark of the drawing answers, with figures and a reason", async (t) => {
  const { page } = await opened(t);
  await sample(page, "trestle-foot");
  const marks = await page.locator("#pictures .answer[tabindex]").all();
  assert.ok(10 < marks.length, `${marks.length} marks answer`);
  for (const mark of marks) {
    await mark.focus();
    const title = await page.locator("#answer-title").innerText();
    assert.notEqual(title, "What is that?", await mark.getAttribute("id"));
    assert.ok((await page.locator("#answer-lines").innerText()).length > 10, title);
    assert.ok(await mark.getAttribute("aria-label"), title);
  }
});

test("on a phone the answer to a tap is brought into sight", async (t) => {
  const { page } = await opened(t, PHONE);
  const mark = page.locator('#pictures [data-answer^="stretch"][tabindex]').first();
  await mark.scrollIntoViewIfNeeded();
  await mark.dispatchEvent("click");
  await page.waitForFunction(() => {
    const { top, bottom } = document.querySelector("#answer-lines").getBoundingClientRect();
    return 0 <= top && bottom <= innerHeight;
  });
  assert.match(await page.locator("#answer-title").innerText(), /stretch/i);
});

test("the drawing stays where it is while it is turned, whatever is said of it", async (t) => {
  for (const view of [{ viewport: { width: 1280, height: 800 } }, PHONE]) {
    const { page } = await opened(t, view);
    const top = () => page.locator("#pictures").evaluate((one) => one.getBoundingClientRect().top);
    const before = await top();
    await changed(page, () => page.locator('[data-turn="5"]').evaluate((button) => button.click()));
    assert.match(await page.locator("#undo").innerText(), /: the grain/);
    assert.equal(await top(), before);
  }
});

test("closer, true to scale", async (t) => {
  const { page } = await opened(t);
  const width = () =>
    page
      .locator("#pictures svg")
      .first()
      .evaluate((svg) => svg.getBoundingClientRect().width);
  const whole = await width();
  await page.getByRole("button", { name: "Closer" }).click();
  assert.ok(Math.abs((await width()) / whole - 2) < 0.02);
  await page.getByRole("button", { name: "Whole sheet" }).click();
  assert.ok(Math.abs((await width()) / whole - 1) < 0.02);
});

test("one sheet is printed alone, the set whole", async (t) => {
  const { page } = await opened(t);
  await page.evaluate(() => {
    // As in a browser that goes on before the paper is made.
    globalThis.print = () => {
      dispatchEvent(new Event("beforeprint"));
      setTimeout(() => {
        const shown = [...document.querySelectorAll("#set > .leaf")].filter(
          (leaf) => getComputedStyle(leaf).display !== "none",
        );
        globalThis.printed = shown.map((leaf) => leaf.dataset.key);
        dispatchEvent(new Event("afterprint"));
      }, 50);
    };
  });
  await page.emulateMedia({ media: "print" });
  const printed = async (name) => {
    await page.evaluate((words) => {
      delete globalThis.printed;
      [...document.querySelectorAll("button")].find((one) => one.textContent === words).click();
    }, name);
    return (await page.waitForFunction(() => globalThis.printed)).jsonValue();
  };
  assert.deepEqual(await printed("Print this drawing"), ["setup-1"]);
  const all = await printed("Print the bench sheets");
  assert.ok(5 < all.length && all.includes("setup-1"), all.join());
  assert.equal(all.indexOf("setup-1"), all.indexOf("rout-1") + 1, "the drawing lies behind its sheet");
  assert.ok(await page.locator("#pictures .drawing-leaf").count(), "and is back in its place");
});

test("a printed drawing fills its sheet, however close it was seen", async (t) => {
  const { page } = await opened(t, { input: [join(SAMPLES, "house-sign.toml")] });
  await page.getByRole("button", { name: "Closer" }).click();
  await page.emulateMedia({ media: "print" });
  const sizes = await page.evaluate(() => {
    dispatchEvent(new Event("beforeprint"));
    const drawing = document.querySelector("#set .drawing-leaf .paper");
    const [paper, drawn] = [drawing, drawing.firstElementChild].map((one) => one.getBoundingClientRect());
    const { overflow, maxHeight } = getComputedStyle(drawing);
    return { paper: paper.width, drawn: drawn.width, high: drawn.height, overflow, maxHeight };
  });
  assert.ok(Math.abs(sizes.drawn - sizes.paper) < 1, JSON.stringify(sizes));
  const page_high = (190 / 25.4) * 96;
  assert.ok(sizes.high <= page_high + 1, `it stays on its page: ${sizes.high} px of ${page_high}`);
  assert.deepEqual([sizes.overflow, sizes.maxHeight], ["visible", "none"], "nothing is cut off");
});

test("what a note is about can be shown where its picture was out of sight", async (t) => {
  const { page } = await opened(t);
  const shows = page.getByRole("button", { name: "Show where" });
  assert.ok(await shows.count(), "a note with a place");
  // What is drawn first bears no notes, as where all of them are on a picture out of sight.
  await page.route("**/plan", async (route) => {
    const answer = await route.fetch();
    const body = (await answer.text()).replaceAll('data-answer=\\"note-', 'data-answer=\\"was-');
    await route.fulfill({ response: answer, body });
  });
  let held;
  await page.route("**/sheets", (route) => (held = route));
  await page.locator('[data-turn="5"]').click();
  await page.waitForFunction(() => !document.querySelector("#stop").hidden);
  assert.equal(await shows.count(), 0, "not yet");
  await held.continue();
  await page.waitForFunction(() => !document.body.dataset.busy);
  assert.ok(await shows.count(), "now");
  await shows.first().click();
  assert.match(await page.evaluate(() => document.activeElement.dataset.answer), /^note-/);
});

test("set-ups and sheets are a set, side by side", async (t) => {
  const { page } = await opened(t);
  await sample(page, "trestle-foot");
  const links = page.locator("#set-ups a");
  assert.equal(await links.count(), 2);
  await links.nth(1).click();
  const second = page.locator("#pictures .leaf").nth(1);
  await page.waitForFunction(() => {
    const leaf = document.querySelectorAll("#pictures .leaf")[1].getBoundingClientRect();
    return leaf.left < innerWidth / 2;
  });
  assert.match(await second.locator("h3").innerText(), /2/);
  const titles = await page.locator("#leaf-index").innerText();
  for (const title of ["Stock and mark", "Layout", "Template", "Saw", "Rout", "Hand list", "Checks"]) {
    assert.ok(titles.includes(title), `no sheet ${title}`);
  }
});

test("nothing is lost on reload, nor in another window", async (t) => {
  const { page, address } = await opened(t);
  await changed(page, () => page.getByRole("button", { name: "Turn 5° left" }).click());
  await page.reload();
  await page.waitForFunction(() => document.querySelector("#grain").value === "5");
  await changed(page, () => page.getByRole("button", { name: /^Undo/ }).click());
  assert.equal(await page.locator("#grain").inputValue(), "0");
  const other = await seen(t, address);
  assert.equal(await other.locator("#grain").inputValue(), "0", "another browser begins anew");
});

test("a sheet is saved by itself", async (t) => {
  const { page } = await opened(t);
  const download = page.waitForEvent("download");
  await page.locator("#leaf-stock-and-mark").getByRole("button", { name: "Save this sheet" }).click();
  const file = await download;
  assert.match(file.suggestedFilename(), /^trestle-foot-stock-and-mark\.html$/);
  const text = readFileSync(await file.path(), "utf8");
  assert.match(text, /<h1>Stock and mark<\/h1>/);
  assert.match(text, /\.sheet table/);
});
