// The other sheets, side by side like the leaves of a drawing set, and how they come to the printer.

import { at, isNew, make, saved } from "./make.js";

/** Here a sheet's tables are wider than the screen: each is moved about under its own hand. */
const NARROW = "(max-width: 60rem)";

export class Leaves {
  #name = "";
  #sheets = new Map();

  constructor() {
    addEventListener("beforeprint", () => this.#gather());
    addEventListener("afterprint", () => this.#spread());
    addEventListener("afterprint", () => only(null));
  }

  /** The sheets are not those of the drawing yet: they are not seen. */
  wait() {
    at("set").classList.add("waits");
  }

  /** Lays the sheets of a plan there, each in the place it had. */
  show(sheets, { name }) {
    this.#name = name;
    const room = at("set");
    room.classList.remove("waits");
    const leaves = new Map([...room.children].map((leaf) => [leaf.dataset.key, leaf]));
    const shown = sheets.map((sheet) => this.#shown(sheet, leaves.get(sheet.key)));
    for (const leaf of leaves.values()) if (!shown.includes(leaf)) leaf.remove();
    shown.forEach((leaf, place) => {
      if (room.children[place] !== leaf) room.insertBefore(leaf, room.children[place] ?? null);
    });
    const titles = sheets.map(({ key, title }) => [key, title]);
    if (!isNew(at("leaf-index"), titles)) return;
    const links = titles.map(([key, title]) => make("li", {}, make("a", { href: `#leaf-${key}` }, title)));
    at("leaf-index").replaceChildren(...links);
  }

  #shown(sheet, leaf) {
    this.#sheets.set(sheet.key, sheet);
    if (!leaf) return this.#leaf(sheet);
    if (isNew(leaf, sheet)) leaf.querySelector(".sheet").replaceWith(sheetOf(sheet));
    return leaf;
  }

  #leaf(sheet) {
    const { key } = sheet;
    const print = make(
      "button",
      { type: "button", data: { takes: key }, onclick: () => this.print(`leaf-${key}`) },
      "Print this sheet",
    );
    const save = make(
      "button",
      { type: "button", data: { takes: key }, onclick: () => this.#save(this.#sheets.get(key)) },
      "Save this sheet",
    );
    const head = make("div", { className: "leaf-head" }, print, save);
    const leaf = make("article", { className: "leaf", id: `leaf-${key}`, data: { key } }, head);
    leaf.append(sheetOf(sheet));
    isNew(leaf, sheet);
    return leaf;
  }

  /** Saves one sheet as a page of its own. */
  async #save({ key, title, html }) {
    const style = await (await fetch("sheet.css")).text();
    const named = make("title", {}, title).outerHTML;
    const page = `<!DOCTYPE html><html lang="en"><meta charset="utf-8">${named}<style>${style}</style><div class="sheet">${html}</div>`;
    saved(new Blob([page], { type: "text/html" }), `${this.#name}-${key}.html`);
  }

  /** Prints one leaf, or the whole set. */
  print(id = null) {
    only(id);
    print();
  }

  /** For the printer the drawings stand among the sheets, each behind its own. */
  #gather() {
    for (const drawing of [...at("pictures").children]) {
      const own = at("set").querySelector(
        `[data-key="${drawing.dataset.key.replace("setup", "rout")}"]`,
      );
      if (own) own.after(drawing);
      else at("set").append(drawing);
    }
  }

  #spread() {
    at("pictures").append(...at("set").querySelectorAll(".drawing-leaf"));
  }
}

/** A sheet as it lies on the page. */
function sheetOf({ title, html }) {
  const sheet = make("div", { className: "sheet", role: "group", aria: { "aria-label": title } });
  sheet.innerHTML = html;
  for (const heading of sheet.querySelectorAll("h1, h2")) {
    heading.setAttribute("aria-level", heading.localName === "h1" ? "3" : "4");
  }
  if (matchMedia(NARROW).matches) sheet.querySelectorAll("table").forEach(aside);
  return sheet;
}

/**
 * Marks the one leaf that is to be printed, or none. It stays marked till the paper is made: some
 * browsers go on before that.
 */
function only(id) {
  for (const leaf of document.querySelectorAll(".printed")) leaf.classList.remove("printed");
  document.body.classList.toggle("one", Boolean(id));
  if (id) at(id).classList.add("printed");
}

/** Puts a table into a frame in which it is moved sideways. */
function aside(table) {
  const frame = make("div", {
    className: "aside",
    tabIndex: 0,
    role: "group",
    aria: { "aria-label": "Table" },
  });
  table.replaceWith(frame);
  frame.append(table);
}
