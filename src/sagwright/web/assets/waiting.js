// What is entered at the stand is sent by script: where the server cannot be reached it waits on this device and is
// sent when the server is back. A form carries its own id, so that sent twice it is recorded once. What waited and is then
// refused stays, with what it said, until somebody throws it away. Without script a form is sent as any form is.
import { drop, jobOf, keep, kept } from "./kept.js";
import { steppers } from "./stepper.js";

const RETRY = 2_000; // ms
const SLOWEST = 30_000; // ms between two tries at a server that answers with a failure
const PATIENCE = 10_000; // ms for an answer
const UPLOAD = 60_000; // ms, where photos are sent
const job = jobOf(location);
const place = () => document.querySelector("[data-said]");

let first = null; // what waits for this job, the oldest
let sending = false;
let timer = 0;

export const busy = () => sending || first !== null;

// What is said stays until its own speaker says something else; who looks now and then speaks only where nobody did.
export function say(text, by = "") {
  const said = place();
  const others = said?.dataset.text && said.dataset.by !== by;
  if (!said || (said.dataset.text ?? "") === text || (others && (by || !text))) return;
  Object.assign(said.dataset, { text, by });
  Object.assign(said, { textContent: text, hidden: !text });
  if (text && !by) said.scrollIntoView({ block: "nearest" }); // whoever has just pressed looks at the foot of the page
}

function button(text, act) {
  const made = document.createElement("button");
  Object.assign(made, { type: "button", textContent: text });
  made.addEventListener("click", act);
  place()?.append(" ", made);
}

// The answer in place of the page. `shown` tells the scripts that belong to it.
export function put(text, address) {
  const page = new DOMParser().parseFromString(text, "text/html");
  for (const part of ["main", "footer", ".stages"]) {
    const fresh = page.querySelector(part);
    if (fresh) document.querySelector(part)?.replaceWith(fresh);
  }
  document.title = page.title;
  if (address) history.replaceState(null, "", address);
  steppers(document);
  scrollTo(0, 0);
  document.querySelector("main").focus({ preventScroll: true });
  document.dispatchEvent(new CustomEvent("shown", { detail: { text, address } }));
}

// The page that answers is put in place at once; another one is gone to when nothing of this one is left to do.
async function follow(answer, done) {
  if (new URL(answer.url).pathname === location.pathname) return put(answer.text, answer.url);
  await done;
  location.assign(answer.url);
}

const reasons = (page) => [...page.querySelectorAll(".fault p, p.wrong:not([hidden]), #faults li")].map((part) => part.textContent.trim()).filter(Boolean).join(" ");

// A refusal that brings the form back stands in its place; any other leaves what was filled in and says why. Of what had
// waited everything is kept, since its own form may be long gone.
function refuse(entry, answer, done) {
  const page = new DOMParser().parseFromString(answer.text, "text/html");
  const step = entry.fields.find(([name]) => name === "step")?.[1];
  const again = [...page.querySelectorAll(".step-form")].some((form) => form.elements.submission?.value === entry.id && (!step || form.elements.step?.value === step));
  if (again) {
    put(answer.text, "");
    return done;
  }
  lock(false);
  document.querySelector("main").ariaBusy = null;
  if (!entry.tries) {
    say(reasons(page));
    return done;
  }
  entry.refused = reasons(page);
  return done.then(() => keep(entry)); // what comes next tells of it
}

const TECHNICAL = new Set(["step", "submission", "seconds", "by", "back", "expected", "then"]);

function words(entry) {
  const shown = entry.fields.filter(([name, value]) => !TECHNICAL.has(name) && !name.endsWith(".unit") && value !== "");
  return shown.map(([name, value]) => (value instanceof File ? `photo ${value.name}` : `${name.replaceAll("_", " ")}: ${value}`)).join("; ");
}

function tell(entry) {
  const at = new Date(entry.since).toLocaleTimeString([], { hour: "2-digit", minute: "2-digit" });
  const step = entry.fields.find(([name]) => name === "step")?.[1] ?? "";
  say(`The entry of ${at} was not recorded. ${entry.refused} It was: ${step ? `${step}; ` : ""}${words(entry)}. It stays on this device until you delete it.`);
  button("Delete it", async () => {
    await drop(entry.id);
    say("");
    next();
  });
}

async function send(entry) {
  const body = new FormData();
  for (const [name, value] of entry.fields) body.append(name, value);
  if (entry.tries) body.append("age", String(Math.round((Date.now() - entry.since) / 1000)));
  const patience = AbortSignal.timeout(entry.fields.some(([, value]) => value instanceof File) ? UPLOAD : PATIENCE);
  const answer = await fetch(entry.url, { method: "POST", body, credentials: "same-origin", signal: patience });
  if (answer.status >= 500) throw Object.assign(new Error("nothing was recorded"), { status: answer.status });
  return { ok: answer.ok, url: answer.url, text: await answer.text() };
}

// A server that is not there is soon asked again; one that fails on what it is sent is asked less and less often.
function wait(entry, status, outlives) {
  const failing = status && status !== 503;
  entry.tries = (entry.tries ?? 0) + 1;
  const why = failing ? "The server failed on this entry." : "The server cannot be reached.";
  const stays = outlives ? "is stored on this device, also if this page is closed, and" : "is only in this page: leave it open. It";
  say(`${why} What you entered ${stays} is sent once when ${failing ? "it works again" : "it is back"}.`);
  refill(entry);
  lock(true);
  if (!place()?.querySelector("button")) button("Change it before it is sent", () => takeBack(entry)); // as long as nothing else is said
  timer = setTimeout(flush, failing ? Math.min(RETRY * 2 ** (entry.tries - 1), SLOWEST) : RETRY);
}

async function takeBack(entry) {
  if (sending || first !== entry) return;
  clearTimeout(timer);
  first = null;
  await drop(entry.id);
  lock(false);
  say("Change it and send it. If the server has it already, it will say so: then correct the entry in the log.");
}

// Whether another page of this device has taken it back, or sent it.
const gone = async (entry) => entry.stored && !(await kept()).some((one) => one.id === entry.id);

export async function flush() {
  clearTimeout(timer);
  if (sending || !first) return;
  sending = true;
  const main = document.querySelector("main");
  main.ariaBusy = "true"; // until the answer stands in its place
  const entry = first;
  if (await gone(entry)) {
    [first, sending, main.ariaBusy] = [null, false, null];
    lock(false);
    return say("Another page on this device sent this entry or changed it. Open the bench again to see.");
  }
  const stored = entry.stored ? Promise.resolve(true) : keep(entry); // beside the sending, so that a page that dies loses nothing
  try {
    const answer = await send(entry);
    if (first === entry) first = null;
    sending = false;
    const late = entry.tries > 0;
    const done = stored.then(() => drop(entry.id));
    if (answer.ok) follow(answer, done);
    const left = answer.ok ? done : refuse(entry, answer, done);
    if (late && answer.ok) say("The server is back: the stored entry was sent once.");
    left.then(next);
  } catch (failure) {
    entry.stored = await stored;
    sending = false;
    main.ariaBusy = null;
    if (first === entry) wait(entry, failure.status, entry.stored);
  }
}

async function next() {
  const mine = (await kept()).filter((entry) => jobOf(entry.url) === job);
  if (first) return;
  first = mine.find((entry) => !entry.refused) ?? null;
  const refused = mine.find((entry) => entry.refused);
  if (first) {
    Object.assign(first, { tries: first.tries || 1, stored: true });
    flush();
  } else if (refused) tell(refused);
}

function lock(on) {
  for (const control of document.querySelectorAll(".step-form button, .step-form input, .step-form select, .step-form textarea")) control.disabled = on;
}

// What waits is seen in the form it came from, after a reload as well.
function refill(entry) {
  const id = entry.fields.find(([name]) => name === "step")?.[1];
  const form = [...document.querySelectorAll(".step-form")].find((one) => one.action === entry.url && (!id || one.elements.step?.value === id));
  if (!form) return;
  form.elements.submission.value = entry.id;
  for (const [name, value] of entry.fields) {
    for (const field of form.querySelectorAll(`[name="${CSS.escape(name)}"]`)) {
      if (field.type === "radio" || field.type === "checkbox") field.checked ||= field.value === value;
      else if (field.type !== "file" && field.type !== "submit") field.value = value;
    }
  }
  const photos = entry.fields.filter(([, value]) => value instanceof File);
  const taken = form.querySelector("input[type=file]");
  if (!photos.length || !taken || taken.files.length) return;
  const moved = new DataTransfer();
  for (const [, photo] of photos) moved.items.add(photo);
  taken.files = moved.files;
}

function submit(form, pressed) {
  if (busy()) return;
  const fields = [...new FormData(form)].filter(([, value]) => !(value instanceof File) || value.size);
  if (pressed?.name) fields.push([pressed.name, pressed.value]);
  first = { id: form.elements.submission.value, url: form.action, fields, since: Date.now() };
  flush();
}

document.addEventListener("submit", (event) => {
  if (!event.target.matches(".step-form") || !place()) return;
  event.preventDefault();
  submit(event.target, event.submitter);
});
addEventListener("online", flush);
next();
