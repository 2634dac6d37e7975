// What a job begins with: files that are chosen or dropped, a joint, a sample.

import * as ask from "./ask.js";
import * as keep from "./keep.js";
import { at, make, svgOf } from "./make.js";

export class Begin {
  /** The name of the file that the job asks for, if it asks for one. */
  wanted = null;
  /** What is to be said of files that were chosen and are not used; nothing where all are. */
  leftOut = "";
  /** What a rack is called that no job needs to name. */
  rack = null;

  /**
   * `desk` takes the new job, `begun` hears of it, `paper` says in which units it is to go on, and
   * what is `tried` tells what goes wrong.
   */
  constructor({ desk, tried, begun, paper }) {
    Object.assign(this, { desk, tried, begun, paper });
    this.#listen();
  }

  /** Lays what can be begun with into the list. */
  offer({ joints, samples, rack }) {
    this.rack = rack;
    const joint = (one) => this.#choice(() => ({ joint: one.name, units: this.paper() }), one);
    const sample = (one) => this.#choice(() => ({ sample: one.name }), one);
    at("joints").replaceChildren(...joints.map(joint));
    at("samples").replaceChildren(...samples.map(sample));
  }

  /** Begins a job, with these files beside what it begins with. */
  async with(wish, words, beside = {}) {
    this.#list(false);
    this.begun();
    await this.tried(async () => {
      const { job, files } = await ask.start(wish);
      this.desk.lay({ job, files: { ...files, ...beside } }, words);
    });
  }

  /** Takes files in: a job or a drawing begins anew, what a job asks for is put beside it. */
  async #take(files) {
    const taken = await Promise.all(files.map(handedOver));
    const wanted = taken.find(({ name }) => this.wanted && name === lastPart(this.wanted));
    const jobs = taken.filter((file) => file !== wanted && isJob(file));
    const drawings = taken.filter(({ name }) => !isToml(name));
    // Without a drawing any text is taken for a job: the tool says what it lacks.
    const [job] = jobs.length || wanted || drawings.length ? jobs : taken;
    if (job) await this.#job(job, { taken, jobs });
    else if (wanted) {
      const { job: text, files: there } = this.desk.desk;
      const beside = { ...byName(taken), [this.wanted]: wanted.digest };
      this.desk.lay({ job: text, files: { ...there, ...beside } }, this.wanted);
    } else if (drawings.length) await this.#drawing(drawings, taken);
  }

  async #job(job, { taken, jobs }) {
    this.#leaves(jobs.filter((other) => other !== job));
    const others = taken.filter((file) => file !== job && !jobs.includes(file));
    const beside = byName(others, job.text);
    await this.with({ job: job.text, file: job.name, files: beside }, job.name);
  }

  async #drawing([drawing], taken) {
    const rack = taken.filter(({ name }) => name === this.rack);
    this.#leaves(taken.filter((file) => file !== drawing && !rack.includes(file)));
    const { name, digest } = drawing;
    await this.with({ drawing: name, digest, units: this.paper() }, name, byName(rack));
  }

  /** Says which files are left out. */
  #leaves(others) {
    const names = others.map(({ name }) => name).join(", ");
    const why = "A plan begins with one job or one drawing; a job names what else it needs.";
    this.leftOut = names && `Left out: ${names}. ${why}`;
  }

  #choice(wish, { title, words, svg }) {
    const picture = svg ? [svgOf(svg)] : [];
    for (const one of picture) one.setAttribute("aria-hidden", "true");
    const onclick = () => this.with(wish(), title);
    const button = make("button", { type: "button", onclick }, ...picture, make("b", {}, title));
    button.append(make("span", {}, words));
    return make("li", {}, button);
  }

  /** Shows the list, or puts it away. */
  #list(visible) {
    at("begin").setAttribute("aria-expanded", String(visible));
    at("begin-with").hidden = !visible;
  }

  #listen() {
    at("begin").onclick = () => this.#list(at("begin-with").hidden);
    at("choose").onchange = async (event) => {
      await this.tried(() => this.#take([...event.target.files]));
      event.target.value = "";
    };
    addEventListener("dragover", (event) => {
      event.preventDefault();
      document.body.classList.add("dropping");
    });
    for (const end of ["dragleave", "drop"]) {
      addEventListener(end, () => document.body.classList.remove("dropping"));
    }
    addEventListener("drop", (event) => {
      event.preventDefault();
      this.tried(() => this.#take([...event.dataTransfer.files]));
    });
  }
}

const isToml = (name) => name.toLowerCase().endsWith(".toml");
const lastPart = (path) => path.split(/[\\/]/).at(-1);

/** Whether a file is a job and no rack: it says what is to be made. */
const isJob = ({ name, text }) =>
  isToml(name) && /^\s*\[*\s*(outline|joint|board|mate)\s*[\].=]/m.test(text);

/** The digests of files by their names, or by the paths at which a job names them. */
function byName(files, job = "") {
  const paths = [...job.matchAll(/["']([^"'\n]+)["']/g)].map(([, path]) => path);
  const named = (name) => paths.find((path) => lastPart(path) === name) ?? name;
  return Object.fromEntries(files.map(({ name, digest }) => [named(name), digest]));
}

/** A file, handed over to the tool and kept here. */
async function handedOver(file) {
  const bytes = await file.arrayBuffer();
  const digest = await ask.post(bytes);
  // A browser that keeps nothing says so when the desk is kept.
  keep.keepFile(digest, bytes).catch(() => {});
  const text = isToml(file.name) ? new TextDecoder().decode(bytes) : "";
  return { name: file.name, text, digest };
}
