// The other sheets, side by side like the leaves of a drawing set, and how they come to the printer.

import { at, make } from "./make.js";

/** Here a sheet's tables are wider than the screen: each is moved about under its own hand. */
const NARROW = "(max-width: 60rem)";

export class Leaves {
  #name = "";

  constructor() {
    addEventListener("beforeprint", () => this.#gather());
    addEventListener("afterprint", () => this.#spread());
    addEventListener("afterprint", () => only(null));
  }

  show({ sheets, name }) {
    this.#name = name;
    const room = at("set");
    const kept = room.scrollLeft;
    room.replaceChildren(...sheets.map((sheet) => this.#leaf(sheet)));
    room.scrollLeft = kept;
    const links = sheets.map(({ key, title }) =>
      make("li", {}, make("a", { href: `#leaf-${key}` }, title)),
    );
    at("leaf-index").replaceChildren(...links);
  }

  #leaf({ key, title, html }) {
    const sheet = make("div", { className: "sheet", role: "group", aria: { "aria-label": title } });
    sheet.innerHTML = html;
    for (const heading of sheet.querySelectorAll("h1, h2")) {
      heading.setAttribute("aria-level", heading.localName === "h1" ? "3" : "4");
    }
    if (matchMedia(NARROW).matches) sheet.querySelectorAll("table").forEach(aside);
    const print = make(
      "button",
      { type: "button", data: { takes: key }, onclick: () => this.print(`leaf-${key}`) },
      "Print this sheet",
    );
    const save = make(
      "button",
      { type: "button", data: { takes: key }, onclick: () => this.#save({ key, title, html }) },
      "Save this sheet",
    );
    const head = make("div", { className: "leaf-head" }, print, save);
    return make("article", { className: "leaf", id: `leaf-${key}`, data: { key } }, head, sheet);
  }

  /** Saves one sheet as a page of its own. */
  async #save({ key, title, html }) {
    const style = await (await fetch("sheet.css")).text();
    const named = make("title", {}, title).outerHTML;
    const page = `<!DOCTYPE html><html lang="en"><meta charset="utf-8">${named}<style>${style}</style><div class="sheet">${html}</div>`;
    const address = URL.createObjectURL(new Blob([page], { type: "text/html" }));
    make("a", { href: address, download: `${this.#name}-${key}.html` }).click();
    setTimeout(() => URL.revokeObjectURL(address), 1000);
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
