// What the page asks of the tool. Every address lies below the page's own, which holds the token.

/** The tool said no, in words. */
export class Refused extends Error {}

/** The largest file that the tool takes, in bytes; a larger one it breaks off in the middle. */
let largest = Infinity;
const tooLarge = () => `This is too large: a file may have ${largest / 1e6} MB.`;
const GONE = "The tool keeps the newest plans only, and this one no more: load this page again.";
const WORDS = {
  404: "The tool was started anew: open the address it says now.",
  408: "This took too long to reach the tool: ask again.",
  413: "This is too large.",
};

async function ask(address, options) {
  let answer;
  try {
    answer = await fetch(address, options);
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Refused(
      "The tool does not answer: start it again with `spelch open`. Nothing on this page is lost.",
    );
  }
  if (!answer.ok && answer.status !== 409) {
    const words = address.startsWith("made/") ? GONE : WORDS[answer.status];
    const said = words ?? (await answer.text());
    throw new Refused(said || `The tool refused this (${answer.status}).`);
  }
  return answer;
}

const json = (body) => ({
  method: "POST",
  headers: { "content-type": "application/json" },
  body: JSON.stringify(body),
});

/** What a job can begin with. */
export async function offers() {
  const all = await (await ask("offers")).json();
  largest = all.largest_file;
  return all;
}

/** A desk to begin with. */
export const start = async (wish) => (await ask("start", json(wish))).json();

/** Hands a file over; answers its digest. */
export async function post(bytes) {
  if (largest < bytes.byteLength) throw new Refused(tooLarge());
  return (await (await ask("file", { method: "POST", body: bytes })).json()).digest;
}

/** A file the tool holds. */
export const file = async (digest) => (await ask(`file/${digest}`)).arrayBuffer();

/** The sheets of a plan, and all its pictures. */
export const sheets = async (id, { signal }) => (await ask(`made/${id}/sheets`, { signal })).json();

/** A program as it was read back, line by line. */
export const steps = async (id, program) => (await ask(`made/${id}/steps/${program}`)).json();

/**
 * Plans a desk after a change; tells each stage on the way; answers what came of it, with the
 * pictures that are in sight.
 */
export async function plan(desk, change, { signal, onStage, bytesOf, inSight }) {
  const options = { ...json({ desk, change, in_sight: inSight }), signal };
  let answer = await ask("plan", options);
  if (answer.status === 409) {
    for (const digest of (await answer.json()).missing) await post(await bytesOf(digest));
    answer = await ask("plan", options);
    if (answer.status === 409) throw new Refused("A file of this job is lost: choose it again.");
  }
  let last = null;
  for await (const line of lines(answer.body)) {
    const said = JSON.parse(line);
    if (said.at) onStage(said.at);
    else last = said;
  }
  if (!last) throw new Refused("The tool broke off in the middle: ask again.");
  return last;
}

async function* lines(body) {
  const reader = body.pipeThrough(new TextDecoderStream()).getReader();
  let rest = "";
  for (;;) {
    const { value, done } = await reader.read();
    if (done) break;
    const parts = (rest + value).split("\n");
    rest = parts.pop();
    yield* parts.filter((part) => part);
  }
  if (rest) yield rest;
}
