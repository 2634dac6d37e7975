// The desk: a job's text and its files. Every change is made by the tool; here they wait their
// turn, and what was on the desk before is kept for undo.

import * as ask from "./ask.js";
import * as keep from "./keep.js";

const MOST_KEPT = 200;

/** Of two changes that wait, what is left to do: the later one of a kind holds. */
function merged(waiting, next) {
  const [kind] = Object.keys(waiting.change);
  if (!(kind in next.change)) return null;
  if (kind === "grain_by") {
    return { ...next, change: { grain_by: waiting.change.grain_by + next.change.grain_by } };
  }
  if (kind === "grain" || kind === "grain_toward") return next;
  if (kind === "set" && waiting.change.set[0] === next.change.set[0]) return next;
  return null;
}

export class Desk {
  #sitting;
  #waiting = [];
  #running = null;
  #past = { entries: [], at: -1 };

  /** `show` is told of every outcome, `say` of what is being done. */
  constructor(sitting, { show, say }) {
    this.#sitting = sitting;
    this.show = show;
    this.say = say;
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

  /** Takes up the desks that were kept; whether there are any. */
  restore(kept) {
    if (!kept?.entries?.length) return false;
    this.#past = { entries: kept.entries, at: kept.at };
    return true;
  }

  /** Changes what is on the desk. Changes of one gesture are undone together. */
  change(change, words, gesture = null) {
    const next = { change, words, gesture, since: performance.now() };
    const last = this.#waiting.at(-1);
    const both = last && merged(last, next);
    if (both) this.#waiting.splice(-1, 1, { ...both, since: last.since });
    else this.#waiting.push(next);
    return this.#run();
  }

  /** Lays another desk there. */
  lay(desk, words) {
    this.#waiting.push({ desk, words, gesture: null, change: {}, since: performance.now() });
    return this.#run();
  }

  undo() {
    return this.#step(-1);
  }
  redo() {
    return this.#step(1);
  }

  #step(by) {
    const at = this.#past.at + by;
    if (this.#running || !this.#past.entries[at]) return undefined;
    this.#past.at = at;
    return this.replan();
  }

  /** Plans what lies there once more. */
  replan() {
    this.#waiting.push({ again: true, change: {}, since: performance.now() });
    return this.#run();
  }

  /** Gives up what is being worked out; what lay on the desk stays. */
  stop() {
    this.#waiting = [];
    this.#running?.abort();
  }

  async #run() {
    if (this.#running) return;
    for (let next; (next = this.#waiting.shift()); ) {
      this.#running = new AbortController();
      await this.#one(next);
      this.#running = null;
    }
    await this.#keep().catch(() => this.say.forgets());
    this.say.rests();
  }

  async #one(next) {
    const { signal } = this.#running;
    const change = next.desk || next.again ? null : next.change;
    try {
      this.say.begins();
      const options = { signal, onStage: this.say.stage, bytesOf: (digest) => this.#bytes(digest) };
      const came = await ask.plan(next.desk ?? this.desk, change, options);
      if (came.passed_over) return;
      const desk = came.shown?.desk ?? came.desk;
      if (!next.again) this.#record({ desk, words: next.words, gesture: next.gesture });
      await this.show(came, next.since);
    } catch (error) {
      if (error.name === "AbortError") this.say.stopped();
      else this.say.failed(error);
    } finally {
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

  /** Keeps all this in the browser, with the files of the desk. */
  async #keep() {
    const { entries, at } = this.#past;
    const plain = entries.map(({ desk, words }) => ({ desk, words }));
    for (const digest of Object.values(this.desk?.files ?? {})) {
      if (!(await keep.fileOf(digest))) await keep.keepFile(digest, await ask.file(digest));
    }
    await keep.keepDesks(this.#sitting, { entries: plain, at });
  }

  async #bytes(digest) {
    const bytes = await keep.fileOf(digest);
    if (!bytes) throw new ask.Refused("A file of this job is not kept here: choose it again.");
    return bytes;
  }
}
