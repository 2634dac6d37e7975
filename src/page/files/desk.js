// The desk: a job's text and its files. Every change is made by the tool; here they wait their
// turn, and what was on the desk before is kept for undo.

import * as ask from "./ask.js";
import * as keep from "./keep.js";

const MOST_KEPT = 200;
/** So long after a change what lies here is kept, in ms. */
const MOMENT = 100;

/** Of two changes that wait, what is left to do: the later one of a kind holds. */
function merged(waiting, next) {
  const [kind] = Object.keys(waiting.change);
  if (!(kind in next.change)) return null;
  if (kind === "grain_by") {
    if (waiting.change.mirrored !== next.change.mirrored) return null;
    const grain_by = waiting.change.grain_by + next.change.grain_by;
    return { ...next, change: { ...next.change, grain_by } };
  }
  if (kind === "grain" || kind === "grain_toward") return next;
  if (kind === "set" && waiting.change.set[0] === next.change.set[0]) return next;
  return null;
}

export class Desk {
  #sitting;
  #waiting = [];
  #running = null;
  /** What is being worked out. */
  #doing = null;
  #keeping = null;
  #past = { entries: [], at: -1 };

  /**
   * `show` is told of every outcome and of the change that led there, `say` of what is being done;
   * `inSight` gives the pictures that are looked at.
   */
  constructor(sitting, { show, say, inSight }) {
    this.#sitting = sitting;
    Object.assign(this, { show, say, inSight });
  }

  get desk() {
    return this.#past.entries[this.#past.at]?.desk ?? null;
  }
  get undoes() {
    return this.#past.at > 0 ? this.#past.entries[this.#past.at].words : null;
  }
  get redoes() {
    return this.#past.entries[this.#past.at + 1]?.words ?? null;
  }

  /**
   * Takes up the desks that were kept, the last that held first, and goes on with what was being
   * worked out; whether there are any.
   */
  restore(kept) {
    const { entries = [], at = -1, pending = [] } = kept ?? {};
    if (!entries.length && !pending.length) return false;
    this.#past = { entries, at };
    this.#lastHeld();
    if (entries.length) this.#put({ again: true });
    for (const next of pending) this.#put(next);
    return true;
  }

  #lastHeld() {
    const { entries, at } = this.#past;
    const held = entries.slice(0, at + 1).findLastIndex((entry) => entry.held);
    if (0 <= held && held < at) this.#put({ again: true, desk: entries[held].desk });
  }

  /** Changes what is on the desk. Changes of one gesture are undone together. */
  change(change, words, gesture = null) {
    const next = { change, words, gesture };
    const last = this.#waiting.at(-1);
    const both = last && merged(last, next);
    if (!both) return this.#put(next);
    this.say.further();
    this.#waiting.splice(-1, 1, { ...last, ...both });
  }

  /** Lays another desk there. */
  lay(desk, words) {
    this.#put({ desk, words });
  }

  undo() {
    this.#put({ again: true, step: -1 });
  }
  redo() {
    this.#put({ again: true, step: 1 });
  }

  #put(next) {
    this.say.further();
    this.#waiting.push({ change: {}, gesture: null, step: 0, since: performance.now(), ...next });
    this.#run();
  }

  /** Gives up what is being worked out; what lay on the desk stays. */
  stop() {
    this.#waiting = [];
    this.#running?.abort();
  }

  async #run() {
    if (this.#running) return;
    for (let next; (next = this.#waiting.shift());) {
      this.#running = new AbortController();
      await this.#one(next);
      this.#running = null;
    }
    this.say.rests();
    await this.#keep().catch(() => this.say.forgets());
  }

  async #one(next) {
    if (next.step && !this.#past.entries[this.#past.at + next.step]) return;
    const { signal } = this.#running;
    const change = next.desk || next.again ? null : next.change;
    this.#past.at += next.step;
    try {
      this.say.begins();
      const bytesOf = (digest) => this.#bytes(digest);
      const options = { signal, onStage: this.say.stage, bytesOf, inSight: this.inSight() };
      this.#doing = next;
      if (!next.again) this.#keepSoon();
      const came = await ask.plan(next.desk ?? this.desk, change, options);
      if (came.passed_over) {
        // The tool counts over all windows: this one has asked for nothing newer, so it asks again.
        this.#past.at -= next.step;
        this.#waiting.unshift(next);
        return;
      }
      // Where the tool broke off it says no desk: then it is the one it was given.
      const desk = came.shown?.desk ?? came.desk ?? next.desk ?? this.desk;
      const held = Boolean(came.shown);
      const { words, gesture } = next;
      if (!next.again) this.#record({ desk, held, words, gesture, change: next.change });
      const led = this.#past.entries[this.#past.at]?.change;
      await this.show(came, { since: next.since, change: led ?? {} });
    } catch (error) {
      this.#past.at -= next.step;
      if (error.name === "AbortError") this.say.stopped();
      else this.say.failed(error);
    } finally {
      this.#doing = null;
      this.say.ends();
    }
  }

  #record(entry) {
    const { entries, at } = this.#past;
    const top = entries[at];
    const same = entry.gesture && top?.gesture === entry.gesture;
    entries.splice(same ? at : at + 1, Infinity, entry);
    if (MOST_KEPT < entries.length) entries.shift();
    this.#past.at = entries.length - 1;
  }

  /** Whether more waits to be done. */
  get waits() {
    return 0 < this.#waiting.length;
  }

  /** Whether nothing is being done. */
  get rests() {
    return !this.#running && !this.waits;
  }

  /**
   * What is worked out now is not lost on reload, nor is what waits: it is kept a moment from now,
   * so that the answer need not wait for that. Where nothing can be kept, it is said at rest.
   */
  #keepSoon() {
    this.#keeping ??= setTimeout(() => {
      this.#keeping = null;
      this.#keepAt([this.#doing ?? [], this.#waiting].flat()).catch(() => {});
    }, MOMENT);
  }

  /** Keeps all this in the browser, with the files of the desk. */
  async #keep() {
    for (const digest of Object.values(this.desk?.files ?? {})) {
      if (!(await keep.fileOf(digest))) await keep.keepFile(digest, await ask.file(digest));
    }
    await this.#keepAt([]);
  }

  /** Keeps the desks, and what is still to be done to the last. */
  #keepAt(todo) {
    const plain = ({ gesture, ...entry }) => entry;
    const { entries, at } = this.#past;
    const pending = todo
      .filter(({ again }) => !again)
      .map(({ desk, change, words }) => ({ desk, change, words }));
    return keep.keepDesks(this.#sitting, { entries: entries.map(plain), at, pending });
  }

  async #bytes(digest) {
    const bytes = await keep.fileOf(digest);
    if (!bytes) throw new ask.Refused("A file of this job is not kept here: choose it again.");
    return bytes;
  }
}
