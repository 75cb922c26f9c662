// Forms that wait on this device, in the browser's own store with their photos: neither a reload nor a closed page
// loses them. Where the browser has no store they wait in the page.

const FORMS = "forms";
const here = new Map(); // by submission: what the store could not keep as well
let opening = null;

function opened() {
  return new Promise((done, failed) => {
    const asked = indexedDB.open("waiting", 1);
    asked.onupgradeneeded = () => asked.result.createObjectStore(FORMS, { keyPath: "id" });
    asked.onsuccess = () => done(asked.result);
    asked.onerror = asked.onblocked = () => failed(asked.error);
  });
}

async function within(mode, act) {
  const base = await (opening ??= opened());
  return new Promise((done, failed) => {
    const change = base.transaction(FORMS, mode);
    const asked = act(change.objectStore(FORMS));
    change.oncomplete = () => done(asked.result);
    change.onabort = () => failed(change.error);
  });
}

// Whether it outlives the page.
export async function keep(entry) {
  here.set(entry.id, entry);
  try {
    await within("readwrite", (forms) => forms.put(entry));
    return true;
  } catch {
    return false;
  }
}

export async function drop(id) {
  here.delete(id);
  try {
    await within("readwrite", (forms) => forms.delete(id));
  } catch { /* it was never there */ }
}

// The oldest first.
export async function kept() {
  let stored = [];
  try {
    stored = await within("readonly", (forms) => forms.getAll());
  } catch { /* there is no store */ }
  const known = new Set(stored.map((entry) => entry.id));
  return [...stored, ...[...here.values()].filter((entry) => !known.has(entry.id))].sort((one, other) => one.since - other.since);
}

export const jobOf = (address) => new URL(address, location).pathname.split("/")[2] ?? "";
