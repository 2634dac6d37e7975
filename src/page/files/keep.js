// What the browser keeps, so that nothing is lost on reload: the desks of this sitting, and the
// bytes of every file on them.

const DESKS = "desks";
const FILES = "files";

const asked = (request) =>
  new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });

let opened;

function store(name, mode) {
  opened ??= asked(
    Object.assign(indexedDB.open("spelch", 1), {
      onupgradeneeded() {
        this.result.createObjectStore(DESKS);
        this.result.createObjectStore(FILES);
      },
    }),
  );
  return opened.then((base) => base.transaction(name, mode).objectStore(name));
}

/** Keeps the desks of a sitting. */
export async function keepDesks(sitting, desks) {
  await asked((await store(DESKS, "readwrite")).put({ ...desks, when: Date.now() }, sitting));
}

/** The desks of a sitting, if any are kept. */
export const desksOf = async (sitting) => asked((await store(DESKS)).get(sitting));

/** The desks that were kept last, of whatever sitting. */
export async function lastDesks() {
  const all = await asked((await store(DESKS)).getAll());
  return all.sort((a, b) => b.when - a.when)[0];
}

/** Keeps a file. */
export async function keepFile(digest, bytes) {
  await asked((await store(FILES, "readwrite")).put(bytes, digest));
}

/** A file, if it is kept. */
export const fileOf = async (digest) => asked((await store(FILES)).get(digest));
