// What every view needs: asking the program, telling the person, and making elements.

import { $, make } from "/session.js";

export { $, make };

export class Refused extends Error {
  constructor(said, hint) {
    super([said, hint].filter(Boolean).join(" "));
    this.said = said;
  }
}

const GONE = "callout does not answer. Is it running? Nothing typed here is lost.";

async function answered(request) {
  let answer;
  try {
    answer = await request;
  } catch {
    throw new Refused(GONE, "");
  }
  const words = answer.headers.get("Content-Type") || "";
  if (!words.startsWith("application/json")) {
    throw new Refused(answer.status === 401 ? "This browser must be let in again. Load the page again." : (await answer.text()).trim(), "");
  }
  const told = await answer.json();
  if (!told.ok) throw new Refused(told.said, told.hint);
  return told;
}

// Asks the program for something; throws Refused with a sentence for the person.
export function ask(what, more = {}) {
  return answered(fetch("/do", {
    method: "POST", headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ do: what, ...more }),
  }));
}

export function bring(file) {
  const name = file.name.replace(/[^\x20-\x7e]/g, "_").slice(-120) || "file";
  return answered(fetch("/bring", {
    method: "POST", headers: { "Content-Type": "application/octet-stream", "X-Name": name }, body: file,
  }));
}

export function trouble(error) {
  $("trouble").textContent = error instanceof Refused ? error.message : "Something went wrong on this page. Load it again.";
  if (!(error instanceof Refused)) setTimeout(() => { throw error; });
}

// "today, 14:05" or "27 November 2026, 14:05", in the language of the page.
export function when(utc) {
  const at = new Date(utc);
  const time = at.toLocaleTimeString("en-GB", { hour: "2-digit", minute: "2-digit" });
  const today = at.toDateString() === new Date().toDateString();
  return `${today ? "today" : at.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric" })}, ${time}`;
}

export function calm() { $("trouble").textContent = ""; }

// Does something that may be refused, and says so unless the view was left; the button is out of use meanwhile.
export async function attempt(work, button) {
  const { hash } = location;
  if (button) { if (button.disabled) return; button.disabled = true; }
  try {
    calm();
    await work();
  } catch (error) {
    if (location.hash === hash || !(error instanceof Refused)) trouble(error);
  } finally {
    if (button) button.disabled = false;
  }
}

export function button(words, act, name) {
  const made = make("button", words, name);
  made.type = "button";
  made.addEventListener("click", () => attempt(() => act(made), made));
  return made;
}

export function link(words, to, name) {
  const made = make("a", words, name);
  made.href = to;
  return made;
}

// What a person chose for this browser; without storage it is forgotten with the page.
export const kept = {
  get(name) { try { return JSON.parse(localStorage.getItem(name)); } catch { return null; } },
  set(name, value) { try { localStorage.setItem(name, JSON.stringify(value)); return true; } catch { return false; } },
  drop(name) { try { localStorage.removeItem(name); } catch { /* there is none */ } },
};

export const route = (...parts) => `#/${parts.map(encodeURIComponent).join("/")}`;
export const go = (...parts) => { location.hash = route(...parts); };
