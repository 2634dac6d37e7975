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

/**
 * Makes a node like another: what is alike stays as it is, with its focus, and the rest is changed
 * in its place. Elements with an id are known by that.
 */
export function become(node, other) {
  if (node.nodeType === Node.TEXT_NODE) {
    if (node.data !== other.data) node.data = other.data;
    return;
  }
  const names = other.getAttributeNames();
  for (const name of names) {
    const value = other.getAttribute(name);
    if (node.getAttribute(name) !== value) node.setAttribute(name, value);
  }
  for (const name of node.attributes.length === names.length ? [] : node.getAttributeNames()) {
    if (!other.hasAttribute(name)) node.removeAttribute(name);
  }
  hold(node, other);
}

/** Makes what a node holds like what another holds. */
function hold(node, other) {
  let [at, next] = [node.firstChild, other.firstChild];
  const areOne = () => at?.nodeName === next.nodeName && at.id === next.id;
  let ids = null;
  const drop = () => {
    const gone = at;
    at = at.nextSibling;
    ids?.here.delete(gone.id);
    gone.remove();
  };
  while (next) {
    const following = next.nextSibling;
    if (!areOne()) {
      ids ??= { here: idsIn(at), coming: idsIn(next) };
      const isGone = () => at.id && !ids.coming.has(at.id);
      while (at && at.id !== next.id && (ids.here.has(next.id) || isGone())) drop();
    }
    if (areOne()) {
      become(at, next);
      at = at.nextSibling;
    } else node.insertBefore(next, at);
    next = following;
  }
  while (at) drop();
}

/** The ids of a node and of those behind it. */
function idsIn(node) {
  const ids = new Set();
  for (let at = node; at; at = at.nextSibling) if (at.id) ids.add(at.id);
  return ids;
}

/** The element of this id. */
export const at = (id) => document.getElementById(id);

/** Saves what was made here as a file. */
export function saved(blob, name) {
  const address = URL.createObjectURL(blob);
  make("a", { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 1000);
}

/** A drawing from the tool. */
export function svgOf(text) {
  const room = document.createElement("template");
  room.innerHTML = text;
  return document.adoptNode(room.content.firstElementChild);
}

const laid = new WeakMap();

/** Whether something else is to stand in a room than was said of it last. */
export function isNew(room, what) {
  const words = JSON.stringify(what);
  const differs = laid.get(room) !== words;
  laid.set(room, words);
  return differs;
}

/** A room in which the person has changed something is laid anew. */
export const forget = (room) => laid.delete(room);
