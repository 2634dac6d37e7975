// What a job begins with: files that are chosen or dropped, a joint, a sample.

import * as ask from "./ask.js";
import * as keep from "./keep.js";
import { at, make, svgOf } from "./make.js";

export class Begin {
  /** The name of the file that the job asks for, if it asks for one. */
  wanted = null;

  /**
   * `desk` takes the new job, `begun` hears of it, `paper` says in which units it is to go on, and
   * what is `tried` tells what goes wrong.
   */
  constructor({ desk, tried, begun, paper }) {
    Object.assign(this, { desk, tried, begun, paper });
    this.#listen();
  }

  /** Lays what can be begun with into the list. */
  offer({ joints, samples }) {
    const joint = (one) => this.#choice(() => ({ joint: one.name, units: this.paper() }), one);
    const sample = (one) => this.#choice(() => ({ sample: one.name }), one);
    at("joints").replaceChildren(...joints.map(joint));
    at("samples").replaceChildren(...samples.map(sample));
  }

  /** Begins a job. */
  async with(wish, words) {
    this.#list(false);
    this.begun();
    await this.tried(async () => this.desk.lay(await ask.start(wish), words));
  }

  /** Takes files in: a job or a drawing begins anew, what a job asks for is put beside it. */
  async #take(files) {
    const taken = await Promise.all(files.map(handedOver));
    const isNew = ({ name }) => isJob(name) && name !== this.wanted;
    const job = taken.find(isNew);
    const others = taken.filter((file) => !isNew(file));
    const beside = Object.fromEntries(others.map(({ name, digest }) => [name, digest]));
    if (job) {
      const text = new TextDecoder().decode(job.bytes);
      await this.with({ job: text, file: job.name, files: beside }, job.name);
    } else if (this.wanted in beside) {
      const { job: text, files: there } = this.desk.desk;
      this.desk.lay({ job: text, files: { ...there, ...beside } }, this.wanted);
    } else if (others.length) {
      const [{ name, digest }] = others;
      await this.with({ drawing: name, digest, units: this.paper() }, name);
    }
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

const isJob = (name) => name.toLowerCase().endsWith(".toml");

/** A file, handed over to the tool and kept here. */
async function handedOver(file) {
  const bytes = await file.arrayBuffer();
  const digest = await ask.post(bytes);
  // A browser that keeps nothing says so when the desk is kept.
  await keep.keepFile(digest, bytes).catch(() => {});
  return { name: file.name, bytes, digest };
}
