// The page as a whole: what is shown where, and what each handle asks for.

import * as ask from "./ask.js";
import { Begin } from "./begin.js";
import { Bits } from "./bits.js";
import { Desk } from "./desk.js";
import { Drawing } from "./drawing.js";
import * as keep from "./keep.js";
import { Leaves } from "./leaves.js";
import { at, make, refill, saved, svgOf } from "./make.js";
import { Notes, weighed, worded } from "./notes.js";
import { Programs } from "./steps.js";
import { TitleBlock } from "./title_block.js";

const FIRST_SAMPLE = "trestle-foot";
/** Work that is done sooner is not told of, in ms. */
const SHORT = 300;
/**
 * Changes that come sooner after each other are one go, and have no sheets in between, in ms (from
 * memory: keys are pressed about five times a second).
 */
const PAUSE = 250;
/** Keys pressed within this time turn the grain in one gesture, in ms. */
const ONE_GESTURE = 1500;
/** So much of a change is said on the buttons that undo and do it again, in letters. */
const LONGEST = 32;
const STAGES = {
  read: "reading the drawing",
  plan: "finding what each bit reaches, choosing set-ups and passes",
  program: "writing the program and proving it",
  sheet: "drawing the sheets",
};

/** The plan that is drawn, and whether its sheets, links and programs lie there too. */
let made = null;
let whole = true;
/** What stands against a plan of the desk as it is now, if anything does. */
let against = null;
let begun = null;
/** The sheets that are being read, and those that are asked for when the person pauses. */
let reading = null;
let pausing = null;
/** What was pressed to be taken away before the plan was whole. */
let pressed = null;

const WORKING = "Working";
const NO_PLAN = "No plan for this.";

const say = {
  /** A further change is put: what was pressed was meant for what was there before it. */
  further() {
    pressed = null;
  },
  begins() {
    document.body.dataset.busy = "yes";
    clearTimeout(begun);
    begun = setTimeout(() => {
      clock();
      at("stop").hidden = false;
      at("state").textContent ||= WORKING;
      at("board").setAttribute("aria-busy", "true");
      handOut();
    }, SHORT);
  },
  stage(name) {
    at("state").textContent = `${WORKING}: ${STAGES[name] ?? name}`;
  },
  ends() {
    clearTimeout(begun);
    clock(false);
    at("stop").hidden = true;
    at("board").setAttribute("aria-busy", "false");
    handles();
  },
  rests() {
    hold();
    pausing = setTimeout(complete, whole || pressed ? 0 : PAUSE);
  },
  forgets() {
    at("state").textContent = "This browser keeps nothing: save the job before you close the page.";
  },
  stopped() {
    asBefore();
    tell("Stopped. The sheet is as it was before.");
  },
  failed(error) {
    asBefore();
    failing(error);
  },
};

/** Asks for no sheets yet. */
function hold() {
  clearTimeout(pausing);
  pausing = null;
}

let ticking = null;

/** Counts the seconds of long work beside what is being done, or ends that. */
function clock(runs = true) {
  const since = performance.now();
  clearInterval(ticking);
  at("seconds").textContent = "";
  if (!runs) return;
  ticking = setInterval(() => {
    at("seconds").textContent = `for ${Math.round((performance.now() - since) / 1000)} s`;
  }, 1000);
}

const sitting = keep.sitting();
const desk = new Desk(sitting, { show, say, inSight: () => drawing.inSight });
const leaves = new Leaves();
const drawing = new Drawing({
  told: (key, pinned) => notes.told(key, pinned),
  turn: (change, gesture) => turn(change, gesture),
  print: (id) => leaves.print(id),
});
const notes = new Notes({
  role: (name, role, words) => desk.change({ role: [name, role] }, `edge ${words}: ${role}`),
  drawing,
});
const bits = new Bits({
  choose: (name, used) => desk.change({ bit: [name, used] }, `${name} ${used ? "used" : "not used"}`),
});
const block = new TitleBlock({ write: (change, words) => desk.change(change, words) });
const programs = new Programs();
const begin = new Begin({
  desk,
  tried,
  begun: () => bits.forget(),
  // A new job goes on in the units of the sheets that are shown.
  paper: () => made?.fields.find(({ key }) => key === "units")?.value,
});

let keys = { last: 0, gesture: null };

/** Turns the grain; keys pressed in a row are one gesture. */
function turn(change, gesture = "keys") {
  let one = gesture;
  if (gesture === "keys") {
    const now = performance.now();
    one = ONE_GESTURE < now - keys.last ? {} : keys.gesture;
    keys = { last: now, gesture: one };
  }
  desk.change(change, "the grain", one);
}

/** Shows what came of a change, and says how long it took till it was on the screen. */
async function show(came, { since, change }) {
  if (came.shown) shown(came.shown);
  else {
    if (came.fields) block.show({ name: came.name ?? made?.name ?? "", fields: came.fields });
    else asBefore();
    refused(came);
    if (change.bit) bits.mark(...change.bit);
    if (came.fields) block.against(cellOf(change), came.problems);
  }
  await painted();
  performance.measure("change to screen", { start: since });
}

/** The cell of the title block that a change has written into. */
function cellOf(change) {
  const [kind] = Object.keys(change);
  return kind === "set" ? change.set[0] : kind;
}

function shown(plan) {
  made = plan;
  whole = false;
  leaves.wait();
  at("programs").classList.add("waits");
  document.title = `${plan.name}: spelch`;
  against = null;
  begin.wanted = null;
  problems();
  const refocus = drawing.show(plan, save);
  notes.show(plan);
  bits.show(plan);
  block.show(plan);
  block.against(null, []);
  degrees();
  tell(outcome(plan));
  refocus();
}

/**
 * Lays the rest beside the drawing: the other pictures, sheets, links and programs, all of the one
 * plan. Till they lie there nothing is handed out.
 */
async function complete() {
  hold();
  const plan = made;
  if (desk.rests && plan && !whole) await read(plan);
  if (!desk.rests || made !== plan) return;
  delete document.body.dataset.busy;
  handOut();
  takePressed();
}

/** Takes away what was pressed on the way here, now that it is there. */
function takePressed() {
  const thing = pressed;
  pressed = null;
  if (!thing || !fits()) return;
  const alike = (one) => one.dataset.takes === thing.dataset.takes && one.textContent === thing.textContent;
  [...document.querySelectorAll("[data-takes]")].find(alike)?.click();
}

/** Reads the sheets of a plan and lays them there, if it is still the plan that is shown. */
async function read(plan) {
  const long = setTimeout(() => {
    say.stage("sheet");
    clock();
    at("stop").hidden = false;
    handOut();
  }, SHORT);
  reading = new AbortController();
  try {
    const { sheets, pictures } = await ask.sheets(plan.id, reading);
    if (made !== plan) return;
    drawing.rest(pictures, save);
    // What is drawn on those alone can be shown from now on.
    plan.pictures = plan.pictures.map((one) => pictures.find(({ key }) => key === one.key) ?? one);
    notes.show(plan);
    leaves.show(sheets, plan);
    links(plan);
    programs.show(plan, save);
    at("programs").classList.remove("waits");
    whole = true;
    if (at("state").textContent.startsWith(WORKING)) tell(against ? NO_PLAN : outcome(plan));
  } catch (error) {
    if (error.name === "AbortError") tell("Stopped. The sheets are drawn after the next change.");
    else if (made === plan) failing(error);
  } finally {
    clearTimeout(long);
    if (!desk.rests) return;
    clock(false);
    at("stop").hidden = true;
  }
}

/** What was asked for has not come: the handles say again what the plan says. */
function asBefore() {
  pressed = null;
  block.back();
  if (!made) return;
  notes.show(made);
  degrees();
}

/** The grain as planned; not over what is being typed. */
function degrees() {
  const field = at("grain");
  const isTyped = desk.waits || field.value !== field.dataset.asked;
  if (field !== document.activeElement || !isTyped) field.value = made.grain.degrees;
}

/** Whether what is shown is the plan of what lies on the desk, all of it. */
const fits = () => Boolean(made) && whole && !against && !document.body.dataset.busy;

/** What takes the plan away from the page, on paper or as a file, is off unless it fits. */
function handOut() {
  const off = !fits();
  document.body.toggleAttribute("data-stale", off);
  for (const one of document.querySelectorAll("[data-takes]")) {
    if (one.localName === "button") one.disabled = off;
    else one.inert = off;
  }
}

/** How the plan stands, in a line: the stops among its notes are counted apart. */
function outcome(plan) {
  const { stops, cautioned } = weighed(plan);
  const counted = (all, word) => `${all.length} ${word}${all.length === 1 ? "" : "s"}`;
  const heavy = [
    ...(stops.length ? [counted(stops, "STOP")] : []),
    ...(cautioned.length ? [counted(cautioned, "caution")] : []),
  ];
  const own = heavy.length ? ` ${heavy.join(", ")} of its own.` : "";
  const proved = plan.programs.length ? " The program is proved." : "";
  return `Planned.${own}${plan.refused ? " The program is refused." : proved}`;
}

const painted = () => new Promise((done) => requestAnimationFrame(() => setTimeout(done)));

/** What stops the work: the last plan that held goes on standing under it. */
function refused({ problems: all, drawing = null, wants = null, job_file: file = "job.toml" }) {
  begin.wanted = wants;
  const drawn = drawing ? [make("div", { className: "paper" }, svgOf(drawing))] : [];
  const ask = wants
    ? [make("p", {}, `The job asks for ${wants}: choose it, or drop it on this page.`)]
    : [];
  const whose = made && `The sheet is still that of ${made.name} (plan ${made.id}).`;
  const stands = made ? [make("p", {}, whose)] : [];
  const onclick = () => saved(new Blob([desk.desk.job], { type: "text/plain" }), file);
  const job = make("button", { type: "button", onclick }, "Save the job as it is now");
  against = [make("h2", {}, "No plan for this"), told(all), ...drawn, ...ask, ...stands, make("p", {}, job)];
  problems(...against);
  handOut();
  tell(NO_PLAN);
}

/** What could not be asked of the tool: the desk is as it was, and so is what stands against it. */
function failing({ message }) {
  const stands = made && !against ? [make("p", {}, "Job and sheets are as they were before.")] : [];
  const failed = told([{ weight: "stop", text: message }]);
  problems(make("h2", {}, "That was not done"), failed, ...stands, ...(against ?? []));
  handOut();
  tell("That was not done.");
}

const told = (all) =>
  make(
    "ul",
    { className: "told" },
    ...all.map((note) => make("li", { className: note.weight }, ...worded(note))),
  );

/** Fills the room for what went wrong; without anything it is away. */
function problems(...holds) {
  at("problems").hidden = !holds.length;
  at("problems").replaceChildren(...holds);
}

/** Says how it stands, and once which of the files that were chosen are not used. */
function tell(words) {
  at("state").textContent = [words, begin.leftOut].filter(Boolean).join(" ");
  begin.leftOut = "";
}

/** A link that saves a file of the plan. */
function save(name, words) {
  const file = made.files.find((one) => one.name === name || one.key === name);
  if (!file) return make("a", { hidden: true });
  return make(
    "a",
    {
      href: `made/${made.id}/${encodeURIComponent(file.name)}`,
      download: file.name,
      data: { takes: file.name },
    },
    words,
  );
}

function links(plan) {
  const items = plan.files.map((file) => make("li", {}, save(file.name, file.label)));
  refill(at("files"), "takes", ...items);
}

function handles() {
  for (const [id, words] of [
    ["undo", desk.undoes],
    ["redo", desk.redoes],
  ]) {
    const label = id === "undo" ? "Undo" : "Redo";
    at(id).disabled = !words;
    at(id).textContent = words ? `${label}: ${shortened(words)}` : label;
    at(id).title = words ?? "";
  }
}

function shortened(words) {
  return words.length <= LONGEST ? words : `${words.slice(0, LONGEST - 1).trimEnd()}…`;
}

async function tried(work) {
  try {
    await work();
  } catch (error) {
    say.failed(error);
  }
}

function listen() {
  at("undo").onclick = () => desk.undo();
  at("redo").onclick = () => desk.redo();
  at("stop").onclick = () => {
    reading?.abort();
    desk.stop();
  };
  at("print-all").onclick = () => leaves.print();
  at("grain").onchange = ({ target }) => {
    target.dataset.asked = target.value;
    if (target.value) turn({ grain: Number(target.value) }, {});
  };
  const later = (event) => {
    const thing = event.target.closest?.("[data-takes]");
    if (!thing || fits()) return;
    event.preventDefault();
    event.stopPropagation();
    pressed = thing;
    if (pausing) say.rests();
  };
  // Work that is soon done turns nothing off on the screen; till then nothing is taken away.
  addEventListener("click", later, { capture: true });
  // The browser's own print comes at any time: the sheets must be those of the drawing, or none.
  addEventListener("beforeprint", handOut, { capture: true });
  for (const button of document.querySelectorAll("[data-turn]")) {
    button.onclick = () => turn({ grain_by: Number(button.dataset.turn) });
  }
  addEventListener("keydown", (event) => {
    if (!(event.ctrlKey || event.metaKey) || event.target.matches("input, select")) return;
    const key = event.key.toLowerCase();
    const back = key === "z" && !event.shiftKey;
    if (!back && key !== "y" && key !== "z") return;
    event.preventDefault();
    if (back) desk.undo();
    else desk.redo();
  });
}

async function open() {
  listen();
  const own = await keep.desksOf(sitting).catch(() => null);
  // A browser that keeps nothing says so when the desk is kept.
  await keep.tidy().catch(() => {});
  const all = await ask.offers();
  begin.offer(all);
  if (desk.restore(own)) return;
  if (all.given) desk.lay(all.given, "the job given at start");
  else if (!desk.restore(await keep.lastDesks().catch(() => null)))
    await begin.with({ sample: FIRST_SAMPLE }, `sample ${FIRST_SAMPLE}`);
}

tried(open);
