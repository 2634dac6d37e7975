// What the browser keeps, so that nothing is lost on reload: the desks of this sitting, and the
// bytes of every file on them.

const DESKS = "desks";
const FILES = "files";
/** So many sittings are kept, the newest (from memory: each start of the tool is another). */
const MOST_SITTINGS = 12;
const WINDOW = "window";

const asked = (request) =>
  new Promise((done, failed) => {
    request.onsuccess = () => done(request.result);
    request.onerror = () => failed(request.error);
  });

let base;

function opened() {
  base ??= asked(
    Object.assign(indexedDB.open("spelch", 1), {
      onupgradeneeded() {
        this.result.createObjectStore(DESKS);
        this.result.createObjectStore(FILES);
      },
    }),
  );
  return base;
}

async function store(name, mode) {
  return (await opened()).transaction(name, mode).objectStore(name);
}

/** The name of this sitting: the tool's address, and a window's own word, which a reload keeps. */
export function sitting() {
  const address = new URL(".", location.href).href;
  try {
    const own = sessionStorage.getItem(WINDOW) ?? crypto.randomUUID();
    sessionStorage.setItem(WINDOW, own);
    return address + own;
  } catch {
    // Where a window may keep nothing, each sight of the page is a sitting of its own.
    return address + crypto.randomUUID();
  }
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

/** Drops all sittings but the newest, and all files that none of those has on a desk. */
export async function tidy() {
  const all = (await opened()).transaction([DESKS, FILES], "readwrite");
  const [desks, files] = [all.objectStore(DESKS), all.objectStore(FILES)];
  const names = await asked(desks.getAllKeys());
  const kept = await asked(desks.getAll());
  const sittings = names.map((name, index) => ({ name, ...kept[index] }));
  sittings.sort((a, b) => b.when - a.when);
  for (const { name } of sittings.splice(MOST_SITTINGS)) desks.delete(name);
  const desksOn = ({ entries, pending = [] }) => [...entries, ...pending].map(({ desk }) => desk);
  const named = new Set(sittings.flatMap(desksOn).flatMap(filesOf));
  for (const digest of await asked(files.getAllKeys())) {
    if (!named.has(digest)) files.delete(digest);
  }
}

const filesOf = (desk) => Object.values(desk?.files ?? {});
