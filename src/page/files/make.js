// Small helpers to make what the page shows.

/** An element with its properties and what it holds. */
export function make(name, props = {}, ...holds) {
  const element = document.createElement(name);
  const { data = {}, aria = {}, ...plain } = props;
  Object.assign(element, plain);
  Object.assign(element.dataset, data);
  for (const [key, value] of Object.entries(aria)) element.setAttribute(key, value);
  element.append(...holds);
  return element;
}

/**
 * Lays other elements into a room. What had the focus there has it again, known by a mark that is
 * alone in the room: `data-bit`, `data-edge`.
 */
export function refill(room, mark, ...holds) {
  const held = room.contains(document.activeElement) && document.activeElement.dataset[mark];
  room.replaceChildren(...holds);
  if (!held) return;
  room.querySelector(`[data-${mark}="${CSS.escape(held)}"]`)?.focus({ preventScroll: true });
}

/** The element of this id. */
export const at = (id) => document.getElementById(id);

/** A drawing from the tool. */
export function svgOf(text) {
  const room = document.createElement("template");
  room.innerHTML = text;
  return document.adoptNode(room.content.firstElementChild);
}
