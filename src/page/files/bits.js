// The bits as a row of plain outlines: those of the rack and those the job has, each with what it
// can do here. Pressed ones are used.

import { at, make, refill, svgOf } from "./make.js";

export class Bits {
  #seen = new Map();
  #row = [];
  #shown = "";

  /** `choose` hears which bit is taken up or laid down. */
  constructor({ choose }) {
    this.choose = choose;
    at("more-bits").onsubmit = (event) => {
      event.preventDefault();
      const words = at("bit-words").value.trim();
      if (words) choose(words, true);
      event.target.reset();
    };
  }

  /** Another job: what was seen before is of no use to it. */
  forget() {
    this.#seen.clear();
  }

  /** A bit that was laid down stays in the row, to be taken up again. */
  #all(bits) {
    const names = new Set(bits.map(({ name }) => name));
    const laid = [...this.#seen.values()].filter(({ name }) => !names.has(name));
    for (const bit of bits) this.#seen.set(bit.name, bit);
    return [...bits, ...laid.map((bit) => ({ ...bit, chosen: false, fits: "", leaves: "" }))];
  }

  show({ bits }) {
    this.#lay(this.#all(bits));
  }

  /** Says of a bit whether it is used where there is no plan to say so. */
  mark(name, chosen) {
    const marked = (bit) => ({ ...bit, chosen, fits: "", leaves: "" });
    this.#lay(this.#row.map((bit) => (bit.name === name ? marked(bit) : bit)));
  }

  #lay(all) {
    this.#row = all;
    if (JSON.stringify(all) === this.#shown) return;
    this.#shown = JSON.stringify(all);
    refill(at("rack"), "bit", ...all.map((bit) => make("li", {}, this.#bit(bit))));
  }

  #bit({ name, words, svg, chosen, fits, leaves }) {
    const picture = svgOf(svg);
    picture.setAttribute("aria-hidden", "true");
    const lines = [fits, leaves].filter((line) => line).map((line) => make("span", {}, line));
    return make(
      "button",
      {
        type: "button",
        data: { bit: name },
        aria: { "aria-pressed": String(chosen) },
        onclick: () => this.choose(name, !chosen),
      },
      picture,
      make("b", {}, words ?? name),
      make("span", { className: "used" }, chosen ? "used" : "not used"),
      ...lines,
    );
  }
}
