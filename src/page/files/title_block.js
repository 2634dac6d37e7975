// The title block of the job: what a person writes into it. Each cell bears its label and its
// value, as on a drawing.

import { at, make } from "./make.js";
import { worded } from "./notes.js";

export class TitleBlock {
  #cells = new Map();
  #shape = "";
  #wrong = { key: null, said: "" };

  /** `write` hears what is written into a cell. */
  constructor({ write }) {
    this.write = write;
    at("title-block").onsubmit = (event) => {
      event.preventDefault();
      document.activeElement?.blur?.();
    };
  }

  show({ name, fields }) {
    const all = [
      { key: "name", label: "Name", value: name, help: "what folder and sheets are called", group: "" },
      ...fields,
    ];
    const shape = JSON.stringify(all.map(({ key, choices }) => [key, choices]));
    if (shape !== this.#shape) this.#draw(all);
    this.#shape = shape;
    for (const { key, value } of all) lay(this.#cells.get(key), value);
  }

  /** Says again what it said before anything was written that has not come. */
  back() {
    for (const input of this.#cells.values()) lay(input, input.dataset.was);
  }

  /**
   * Says under the cell that was written last what stands against it. What is said already stays
   * under its own cell, whatever is changed since.
   */
  against(key, problems) {
    const said = problems.map(({ text }) => text).join("\n");
    const isOld = said === this.#wrong.said && this.#cells.has(this.#wrong.key);
    if (!isOld) this.#wrong = { key, said };
    for (const input of this.#cells.values()) unmarked(input);
    const cell = this.#cells.get(this.#wrong.key);
    if (cell && problems.length) marked(cell, problems[0]);
  }

  #draw(fields) {
    const written = document.activeElement?.closest?.("#title-block [data-key]");
    // A cell that is taken away says nothing any more: what is being typed goes on in the new one.
    for (const input of this.#cells.values()) input.onchange = input.onblur = null;
    this.#cells.clear();
    const groups = Map.groupBy ? Map.groupBy(fields, group) : grouped(fields);
    const drawn = [...groups].map(([words, cells]) => this.#group(words, cells));
    at("title-block").replaceChildren(...drawn);
    if (written) carryOver(written, this.#cells.get(written.dataset.key));
  }

  #group(words, fields) {
    const cells = fields.map((field) => this.#cell(field));
    if (!words) return make("div", { className: "cells" }, ...cells);
    return make(
      "fieldset",
      {},
      make("legend", {}, words),
      make("div", { className: "cells" }, ...cells),
    );
  }

  #cell({ key, label, help, choices }) {
    const id = `cell-${key.replaceAll(".", "-")}`;
    const input = choices
      ? make("select", {}, ...choices.map(([value, words]) => make("option", { value }, words)))
      : make("input", { type: "text", spellcheck: false });
    const told = () => this.#written(key, label, input);
    // A browser tells of no change where the figures were carried over from another cell.
    const onkeydown = (event) => {
      if (event.key === "Enter") told();
    };
    Object.assign(input, { id, onchange: told, onblur: told, ...(choices ? {} : { onkeydown }) });
    Object.assign(input.dataset, { key });
    this.#cells.set(key, input);
    const helps = help ? [make("small", { id: `${id}-help` }, help)] : [];
    if (help) input.setAttribute("aria-describedby", `${id}-help`);
    return make("div", { className: "cell" }, make("label", { htmlFor: id }, label), input, ...helps);
  }

  #written(key, label, input) {
    const value = input.value.trim();
    const { was, asked = was } = input.dataset;
    if (input.value === asked || value === asked) return;
    input.dataset.asked = input.value;
    const words = `${label.toLowerCase()} ${value || "left out"}`;
    if (key === "name") this.write({ name: value }, words);
    else if (key === "units") this.write({ units: value }, words);
    else this.write({ set: [key, value || null] }, words);
  }
}

/** Marks a cell as refused, with the reason under it; where it is, is where it is said. */
function marked(input, { weight, text, hint }) {
  const id = `${input.id}-wrong`;
  input.after(make("small", { id, className: "wrong" }, ...worded({ weight, text, hint })));
  input.setAttribute("aria-invalid", "true");
  const helps = input.getAttribute("aria-describedby");
  input.setAttribute("aria-describedby", [id, ...(helps ? [helps] : [])].join(" "));
}

function unmarked(input) {
  if (!input.hasAttribute("aria-invalid")) return;
  const wrong = at(`${input.id}-wrong`);
  const rest = input.getAttribute("aria-describedby").replace(wrong.id, "").trim();
  wrong.remove();
  input.removeAttribute("aria-invalid");
  if (rest) input.setAttribute("aria-describedby", rest);
  else input.removeAttribute("aria-describedby");
}

/** Goes on in a new cell with what was being typed into the old one. */
function carryOver(old, cell) {
  if (!cell) return;
  cell.value = old.value;
  Object.assign(cell.dataset, old.dataset);
  cell.focus({ preventScroll: true });
  if (old.selectionStart != null) cell.setSelectionRange?.(old.selectionStart, old.selectionEnd);
}

/** Lays a value into a cell, but for what is just being typed. */
function lay(input, value) {
  const { was = "", asked } = input.dataset;
  const isTyped = input === document.activeElement && ![was, asked].includes(input.value);
  if (!isTyped) input.value = value;
  input.dataset.was = value;
  delete input.dataset.asked;
}

const group = (field) => field.group ?? "";

function grouped(fields) {
  const groups = new Map();
  for (const field of fields) groups.set(group(field), [...(groups.get(group(field)) ?? []), field]);
  return groups;
}
