// The column of notes: what stops the work, the answer to what is pointed at, cautions, hints, and
// what is done to the edges.

import { at, forget, isNew, make, refill } from "./make.js";

export class Notes {
  #answers = {};
  #edges = [];
  #pinned = null;

  /** `role` hears what is to be done to an edge; `drawing` shows which place is meant. */
  constructor({ role, drawing }) {
    this.role = role;
    this.drawing = drawing;
    this.resting = [...at("answer-lines").childNodes];
    this.rest = at("answer-title").textContent;
  }

  show(plan) {
    const { answers, edges } = plan;
    this.#pinned = goesOn(this.#pinned, this.#answers, answers);
    this.#answers = answers;
    this.#edges = edges;
    this.#lists(plan);
    const listed = edges.filter((edge) => edge.listed);
    if (isNew(at("edges"), listed)) refill(at("edges"), "edge", ...listed.map((edge) => this.#edge(edge)));
    at("edges-room").hidden = !edges.length;
    this.tell(this.#pinned);
  }

  #lists(plan) {
    const { notes, refused, cautions, pictures } = plan;
    const { stops, cautioned, hints } = weighed(plan);
    const isDrawn = ({ answer }) => pictures.some(({ svg }) => svg?.includes(`data-answer="${answer}"`));
    const note = (one) => this.#note(one, isDrawn(one));
    if (!isNew(at("cautions"), [notes, refused, cautions, notes.map(isDrawn)])) return;
    const standing = cautions.map((words) => make("li", {}, words));
    at("cautions").replaceChildren(...[...stops, ...cautioned].map(note), ...standing);
    at("hints").replaceChildren(...hints.map(note));
    at("hints-room").hidden = !hints.length;
  }

  /** Answers what is pointed at; what was tapped or has the focus goes on standing. */
  told(key, pinned) {
    if (pinned) this.#pinned = key;
    this.tell(key ?? this.#pinned);
  }

  tell(key) {
    const answer = this.#answers[key];
    this.drawing.light(answer && key);
    const title = answer?.title ?? this.rest;
    const lines = answer ? answer.lines.map((line) => make("p", {}, line)) : this.resting;
    const edge = this.#edges.find(({ name }) => name === answer?.edge);
    const same =
      at("answer-title").textContent === title && at("answer-lines").dataset.told === told(lines);
    if (same && !edge) return;
    at("answer-title").textContent = title;
    refill(at("answer-lines"), "edge", ...lines, ...(edge ? [this.#roles(edge)] : []));
    at("answer-lines").dataset.told = told(lines);
  }

  #note(note, isDrawn) {
    const point = () => this.drawing.point(note.answer);
    const place = isDrawn && make("button", { type: "button", onclick: point }, "Show where");
    return make("li", { className: note.weight }, ...worded(note), ...(place ? [" ", place] : []));
  }

  #edge(edge) {
    return make(
      "tr",
      {},
      make("th", { scope: "row" }, edge.words ?? edge.name),
      make("td", {}, this.#select(edge)),
    );
  }

  #select({ name, words, role, roles }) {
    const options = roles.map((one) => make("option", { value: one, selected: one === role }, one));
    if (!roles.includes(role)) options.unshift(make("option", { value: "", selected: true }, role));
    return make(
      "select",
      {
        data: { edge: name },
        onchange: ({ target }) => {
          forget(at("edges"));
          if (target.value) this.role(name, target.value, words ?? name);
        },
        aria: { "aria-label": `${words ?? name}: what is done to it` },
      },
      ...options,
    );
  }

  #roles(edge) {
    const label = `Edge ${edge.words ?? edge.name}: `;
    return make("p", { className: "roles" }, label, this.#select(edge));
  }
}

const told = (lines) => lines.map((line) => line.textContent).join("\n");

/** The answer that goes on standing: the same, or another of its edge, whose role may have changed. */
function goesOn(key, before, answers) {
  if (key in answers) return key;
  const edge = before[key]?.edge;
  return (edge && Object.keys(answers).find((one) => answers[one].edge === edge)) ?? null;
}

/** The notes of a plan by their weight; a program that is refused is a stop among them. */
export function weighed({ notes, refused }) {
  const of = (weight) => notes.filter((note) => note.weight === weight);
  const program = refused ? [{ ...refused, text: `the program is refused: ${refused.text}` }] : [];
  return { stops: [...program, ...of("stop")], cautioned: of("caution"), hints: of("hint") };
}

/** A note in the words of the tool: what, where, what to do. */
export function worded({ weight, text, hint, place }) {
  const where = typeof place === "string" ? place : place?.words;
  return [
    make("b", {}, `${weight.toUpperCase()}: `),
    sentence(`${text}${where ? `, ${where}` : ""}`),
    ...(hint ? [" ", make("span", { className: "help" }, sentence(hint))] : []),
  ];
}

/** Words of the tool with a capital and a full stop. */
export function sentence(words) {
  const said = words.charAt(0).toUpperCase() + words.slice(1);
  return /[.!?]$/.test(said) ? said : `${said}.`;
}
