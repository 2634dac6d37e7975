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

/** The element of this id. */
export const at = (id) => document.getElementById(id);

/** A drawing from the tool. */
export function svgOf(text) {
  const room = document.createElement("template");
  room.innerHTML = text;
  return document.adoptNode(room.content.firstElementChild);
}
