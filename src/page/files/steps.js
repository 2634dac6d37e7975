// A program, read line by line: the line and its place on the picture of what is left standing are
// marked together. Both come from the text as the tool reads it back.

import * as ask from "./ask.js";
import { at, make, svgOf } from "./make.js";
import { sentence } from "./notes.js";

const SVG = "http://www.w3.org/2000/svg";

export class Programs {
  #open = new Set();

  show({ programs, refused, id }, save) {
    at("programs").hidden = !programs.length && !refused;
    const shown = programs.map((program, index) => this.#program(program, { index, id, save }));
    at("program-list").replaceChildren(...shown, ...(refused ? [this.#refused(refused)] : []));
  }

  #refused({ text, hint, svg }) {
    const drawn = svg ? [svgOf(svg)] : [];
    const words = make(
      "p",
      {},
      make("b", {}, "STOP: "),
      `${sentence(text)} ${hint ? sentence(hint) : ""}`,
    );
    return make(
      "div",
      { className: "stop" },
      words,
      make("p", {}, "It is not proved, so it is not given out."),
      ...drawn,
    );
  }

  #program({ file, lines }, { index, id, save }) {
    const room = make("div", { className: "steps" });
    const more = make(
      "details",
      {},
      make("summary", { className: "button" }, "Read it line by line"),
      room,
    );
    const open = () => {
      this.#open[more.open ? "add" : "delete"](index);
      if (more.open && !room.childNodes.length) this.#read(room, { index, id, file });
    };
    more.addEventListener("toggle", open);
    more.open = this.#open.has(index);
    const words = `${lines} lines, read back and proved against the drawing.`;
    return make(
      "article",
      { className: "program" },
      make("h3", {}, file),
      make("p", {}, words, " ", save(file, "Save the program")),
      more,
    );
  }

  async #read(room, { index, id, file }) {
    try {
      const { svg, steps } = await ask.steps(id, index);
      room.replaceChildren(...this.#stepped(svgOf(svg), steps, file));
    } catch (error) {
      room.replaceChildren(make("p", {}, error.message));
    }
  }

  #stepped(drawn, steps, file) {
    const options = steps.map(({ line, text }, index) =>
      make("option", { value: index }, `${line}  ${text}`),
    );
    const list = make("select", { size: 14, aria: { "aria-label": `Lines of ${file}` } }, ...options);
    const words = make("p", { className: "words", aria: { "aria-live": "polite" } });
    const place = placed(drawn, file);
    const show = () => {
      const step = steps[list.selectedIndex];
      place.setAttribute("d", step?.path ?? "");
      words.replaceChildren(...(step ? worded(step) : []));
    };
    const go = (by) => {
      list.selectedIndex = Math.min(steps.length - 1, Math.max(0, list.selectedIndex + by));
      show();
    };
    list.onchange = show;
    go(1);
    const button = (by, label) => make("button", { type: "button", onclick: () => go(by) }, label);
    return [
      make(
        "div",
        { className: "lines" },
        list,
        make("p", {}, button(-1, "Line before"), " ", button(1, "Next line")),
        words,
      ),
      make(
        "div",
        {
          className: "paper",
          tabIndex: 0,
          role: "group",
          aria: { "aria-label": "What is left standing" },
        },
        drawn,
      ),
    ];
  }
}

/** A line in full, where the list may cut it off, and what it does. */
const worded = ({ line, text, words }) => [
  `Line ${line}, `,
  make("code", {}, text),
  `: ${words ?? "nothing moves"}`,
];

/** The line on which the place is drawn; a ring at its end finds the shortest move. */
function placed(drawn, file) {
  const shape = (name, inside, words) => {
    const made = inside.appendChild(document.createElementNS(SVG, name));
    for (const [key, value] of Object.entries(words)) made.setAttribute(key, value);
    return made;
  };
  const id = `place-${file}`;
  const size = {
    markerWidth: 12,
    markerHeight: 12,
    markerUnits: "userSpaceOnUse",
    viewBox: "-6 -6 12 12",
  };
  shape("circle", shape("marker", drawn, { id, ...size }), { r: 5, class: "place ring" });
  return shape("path", drawn, { class: "place", "marker-end": `url("#${CSS.escape(id)}")` });
}
