// The drawing: a picture a set-up, side by side. Its parts answer; its grain arrow turns. What is
// drawn comes from the tool, and so does every angle: the page only says where the pointer is.

import { at, become, isNew, make, svgOf } from "./make.js";

const CLOSEST = 8;
/** Here a whole sheet is too small to be read: it is seen closer from the first. */
const NARROW = "(max-width: 40rem)";
/** Here the answers stand below the drawing: they are brought into sight. */
const BELOW = "(max-width: 60rem)";
/** How far a key turns the grain, in degrees counter-clockwise on face A: to the left, as the buttons. */
const KEYS = { ArrowLeft: 1, ArrowUp: 1, ArrowRight: -1, ArrowDown: -1, PageUp: 15, PageDown: -15 };

export class Drawing {
  #shown = new Map();
  #seen = new Set();
  #closer = 1;
  #lit = null;
  #held = null;
  #grain = { degrees: 0, mirrored: 0 };

  /** `told` hears which answer is asked for, `turn` hears how the grain is turned. */
  constructor({ told, turn, print }) {
    this.room = at("pictures");
    this.told = told;
    this.turn = turn;
    this.print = print;
    this.sight = new IntersectionObserver(
      (all) => {
        for (const { target, isIntersecting } of all)
          this.#seen[isIntersecting ? "add" : "delete"](target.dataset.key);
      },
      { threshold: 0.2 },
    );
    this.#listen();
    if (matchMedia(NARROW).matches) this.#see(2);
  }

  /** The pictures that are looked at. */
  get inSight() {
    const used = document.activeElement?.closest?.("#pictures .leaf")?.dataset.key;
    return [...new Set([...this.#seen, this.#held?.key, used])].filter((key) => key);
  }

  /**
   * Lays the pictures there; those out of sight come later, and are not seen till then. Gives what
   * puts the focus back where it was: done last, for the browser lays the page out for it.
   */
  show({ pictures, grain }, save) {
    this.#grain = grain;
    const keys = pictures.map((picture) => picture.key);
    for (const [key, { leaf }] of this.#shown) {
      if (keys.includes(key)) continue;
      leaf.remove();
      this.sight.unobserve(leaf);
      this.#seen.delete(key);
      this.#shown.delete(key);
    }
    const focused = document.activeElement?.closest?.("#pictures .answer")?.id;
    for (const picture of pictures) this.#lay(picture, save);
    this.#index(pictures.map(({ key, title }) => [key, title]));
    return () => {
      if (focused && document.activeElement?.id !== focused) at(focused)?.focus({ preventScroll: true });
    };
  }

  /** Lays the pictures there that were out of sight. */
  rest(pictures, save) {
    for (const picture of pictures) this.#lay(picture, save);
    this.light(this.#lit);
  }

  #lay(picture, save) {
    const known = this.#shown.get(picture.key);
    const leaf = known?.leaf ?? this.#leaf(picture);
    leaf.classList.toggle("waits", !picture.svg);
    become(leaf.querySelector("a"), save(picture.key, "Save this drawing"));
    this.#shown.set(picture.key, { leaf, svg: picture.svg });
    leaf.querySelector("h3").textContent = picture.title;
    if (!picture.svg || known?.svg === picture.svg) return;
    const drawn = svgOf(picture.svg);
    drawn.setAttribute("role", "group");
    drawn.setAttribute("aria-label", picture.title);
    for (const arrow of drawn.querySelectorAll(".answer[tabindex]")) {
      if (isArrow(arrow)) this.#sets(arrow);
    }
    const before = leaf.querySelector("svg");
    if (before) become(before, drawn);
    else leaf.querySelector(".paper").append(drawn);
  }

  #leaf({ key }) {
    const print = make(
      "button",
      { type: "button", data: { takes: key }, onclick: () => this.print(`leaf-${key}`) },
      "Print this drawing",
    );
    const leaf = make(
      "article",
      { className: "leaf drawing-leaf", id: `leaf-${key}`, data: { key } },
      make("div", { className: "leaf-head" }, make("h3"), print, make("a")),
      make("div", { className: "paper", tabIndex: 0, role: "group" }),
    );
    leaf.querySelector(".paper").dataset.closer = this.#closer;
    leaf
      .querySelector(".paper")
      .setAttribute("aria-label", "Drawing, to be moved about when seen close");
    this.room.append(leaf);
    this.sight.observe(leaf);
    return leaf;
  }

  #sets(arrow) {
    const mirrored = isMirrored(arrow);
    const degrees = mirrored ? this.#grain.mirrored : this.#grain.degrees;
    const face = mirrored ? "face A of the mirror image" : "face A";
    arrow.setAttribute("role", "slider");
    arrow.setAttribute("aria-valuemin", "0");
    arrow.setAttribute("aria-valuemax", "180");
    arrow.setAttribute("aria-valuenow", degrees);
    arrow.setAttribute(
      "aria-valuetext",
      `${degrees} degrees counter-clockwise from the left-to-right of the drawing, seen on ${face}`,
    );
  }

  #index(titles) {
    if (!isNew(at("set-ups"), titles)) return;
    const links = titles.map(([key, title]) => make("li", {}, make("a", { href: `#leaf-${key}` }, title)));
    at("set-ups").replaceChildren(...(1 < links.length ? links : []));
  }

  /** Brings an answer's place into sight. */
  point(answer) {
    const place = this.#place(answer);
    place?.scrollIntoView({ block: "nearest", inline: "nearest" });
    place?.focus();
  }

  /** Lights up the places of an answer, and no other. */
  light(answer) {
    this.#lit = answer;
    for (const place of this.room.querySelectorAll(".asked")) place.classList.remove("asked");
    if (!answer) return;
    for (const place of this.room.querySelectorAll(`[data-answer="${CSS.escape(answer)}"]`))
      place.classList.add("asked");
  }

  #place(answer) {
    return this.room.querySelector(`[data-answer="${CSS.escape(answer)}"][tabindex]`);
  }

  #see(times) {
    this.#closer = Math.min(CLOSEST, Math.max(1, times));
    for (const paper of this.room.querySelectorAll(".paper")) this.#scale(paper);
    at("farther").disabled = at("whole").disabled = this.#closer === 1;
    at("closer").disabled = this.#closer === CLOSEST;
  }

  /** Draws a sheet so many times as large, its middle kept in the middle. */
  #scale(paper) {
    const middle = (paper.scrollLeft + paper.clientWidth / 2) / paper.scrollWidth;
    const height = (paper.scrollTop + paper.clientHeight / 2) / paper.scrollHeight;
    paper.dataset.closer = this.#closer;
    paper.scrollTo(
      middle * paper.scrollWidth - paper.clientWidth / 2,
      height * paper.scrollHeight - paper.clientHeight / 2,
    );
  }

  #listen() {
    at("closer").onclick = () => this.#see(this.#closer * 2);
    at("farther").onclick = () => this.#see(this.#closer / 2);
    at("whole").onclick = () => this.#see(1);
    const { room } = this;
    const answerOf = (event) => event.target.closest?.(".answer");
    room.addEventListener("pointerover", (event) => {
      const over = answerOf(event);
      if (event.pointerType === "mouse" && !this.#held) this.told(over?.dataset.answer ?? null, false);
    });
    room.addEventListener("pointerleave", () => this.told(null, false));
    room.addEventListener("focusin", (event) => {
      if (answerOf(event)) this.told(answerOf(event).dataset.answer, true);
    });
    room.addEventListener("click", (event) => {
      const tapped = answerOf(event)?.dataset.answer;
      if (!tapped) return;
      this.told(tapped, true);
      // The grain is turned where it is seen: its arrow is not moved away under the finger.
      if (!isArrow(answerOf(event)) && matchMedia(BELOW).matches) {
        at("answer").scrollIntoView({ block: "nearest" });
      }
    });
    room.addEventListener("keydown", (event) => this.#key(event, answerOf(event)));
    room.addEventListener("pointerdown", (event) => this.#take(event, answerOf(event)));
    room.addEventListener("pointermove", (event) => this.#drag(event));
    for (const end of ["pointerup", "pointercancel"]) {
      room.addEventListener(end, () => this.#let());
    }
  }

  #key(event, answer) {
    if (!answer) return;
    if (isArrow(answer) && event.key in KEYS) {
      event.preventDefault();
      this.turn({ grain_by: KEYS[event.key], mirrored: isMirrored(answer) }, "keys");
    } else if (event.key === "Enter" || event.key === " ") {
      event.preventDefault();
      this.told(answer.dataset.answer, true);
    }
  }

  #take(event, answer) {
    if (!answer || !isArrow(answer) || event.button) return;
    const middle = answer.dataset.middle.split(" ").map(Number);
    const { key } = answer.closest(".leaf").dataset;
    this.#held = { key, middle, mirrored: isMirrored(answer), gesture: {}, pointer: event.pointerId };
    this.room.setPointerCapture(event.pointerId);
    this.room.classList.add("turning");
    answer.focus({ preventScroll: true });
    event.preventDefault();
  }

  #drag(event) {
    const held = this.#held;
    if (held?.pointer !== event.pointerId) return;
    const drawn = this.#shown.get(held.key)?.leaf.querySelector("svg");
    if (!drawn) return;
    const { x, y } = new DOMPoint(event.clientX, event.clientY).matrixTransform(
      drawn.getScreenCTM().inverse(),
    );
    const { middle: from, key: picture, mirrored, gesture } = held;
    this.turn({ grain_toward: [x, y], from, picture, mirrored }, gesture);
  }

  #let() {
    this.#held = null;
    this.room.classList.remove("turning");
  }
}

const MIRRORED = "mirrored-grain";
/** Whether an answer is an arrow of the grain, and whether that of the mirror image. */
const isArrow = ({ dataset }) => ["grain", MIRRORED].includes(dataset.answer);
const isMirrored = ({ dataset }) => dataset.answer === MIRRORED;
