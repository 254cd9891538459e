// Which view is shown. The program keeps everything; what is typed and not yet saved is kept by the
// views themselves.

import { begin, post } from "/link.js";
import { $, draw, fill, fit } from "/session.js";
import { attempt, calm, link, make, route } from "/kit.js";
import * as calling from "/calling.js";
import * as drills from "/drills.js";
import * as editor from "/editor.js";
import * as lists from "/lists.js";
import * as looking from "/looking.js";
import * as reading from "/reading.js";
import * as settings from "/settings.js";
import * as sound from "/sound.js";
import * as values from "/values.js";

const VIEWS = {
  lists: lists.open,
  session: () => {},
  debriefs: looking.openSessions,
  debrief: looking.openDebrief,
  trends: looking.openTrends,
  drills: drills.open,
  sound: sound.open,
  settings: settings.open,
  new: reading.openNew,
  reading: reading.open,
  edit: editor.open,
  values: values.open,
};
const CLOSED = { edit: editor.close };
const UNDER = { debrief: "debriefs", new: "lists", reading: "lists", edit: "lists", values: "lists" };
const BUSY = new Set(["opening", "running"]);
const WRITING = new Set(["edit", "new", "reading", "values"]);
const KEYS = { ArrowLeft: "left" };

let stage = null, screen = null, shown = "", inside = false, opened = "";

/* ---- views ---- */

function wanted() {
  const [name, ...rest] = location.hash.replace(/^#\/?/, "").split("/").map(decoded);
  return Object.hasOwn(VIEWS, name) ? [name, ...rest] : ["", ""];
}

function decoded(text) {
  try { return decodeURIComponent(text); } catch { return ""; }
}

function arrive() {
  if (!inside) return;
  const [name, ...rest] = wanted();
  if (!name) { location.replace(BUSY.has(stage) ? "#/session" : "#/lists"); return; }
  if (opened === location.hash) return;
  const before = shown;
  opened = location.hash;
  if (before && before !== name && CLOSED[before]) CLOSED[before]();
  calm();
  reveal(name);
  attempt(() => VIEWS[name](...rest));
  if (before) focusHeading(name);
}

function reveal(name) {
  shown = name;
  const idle = name === "session" && (!stage || stage === "trying");
  for (const view of document.querySelectorAll(".view")) view.hidden = view.id !== (idle ? "nothing" : name);
  document.body.dataset.view = idle ? "nothing" : name;
  for (const way of document.querySelectorAll("#ways a")) {
    if (way.hash === `#/${name}` || way.hash === `#/${UNDER[name]}`) {
      way.setAttribute("aria-current", "page");
      way.scrollIntoView({ block: "nearest", inline: "nearest" });
    }
    else way.removeAttribute("aria-current");
  }
  if (name === "session" && screen) { draw(screen); drawAfter(screen); } else titled(name);
}

function titled(name) {
  const heading = document.querySelector(`.view[id="${name}"] h1`);
  document.title = heading ? `${heading.textContent} · callout` : "callout";
}

function focusHeading(name) {
  if (name === "session") { $("line").focus(); return; }
  const heading = document.querySelector(`.view[id="${name}"]:not([hidden]) h1`);
  if (heading) { heading.tabIndex = -1; heading.focus(); }
}

/* ---- the session ---- */

function show(told) {
  const before = stage;
  stage = told.stage;
  screen = told;
  draw(told);
  mark();
  if (shown === "session" && before !== stage) reveal("session");
  drawAfter(told);
  if (shown !== "session") titled(shown);
  sound.draw(told);
  lists.drawRunning(told);
  calling.draw(told);
  if (before !== null && before !== stage && stage === "opening" && told.call.on && !WRITING.has(shown)) location.hash = "#/session"; // called for by voice
  if (shown === "lists" && before !== null && before !== stage && !BUSY.has(stage)) attempt(lists.open);
  if (shown === "session" && before !== null && !BUSY.has(before) && BUSY.has(stage)) $("line").focus();
  if (before === null) arrive();
}

function mark() {
  const way = document.querySelector('#ways a[href="#/session"]');
  const sign = make("span", "●", "sign");
  sign.setAttribute("aria-hidden", "true");
  way.replaceChildren(...(BUSY.has(stage) ? [sign, "Session", make("span", ", running", "unseen")] : ["Session"]));
}

function drawAfter(told) {
  const ended = stage === "over" || stage === "failed";
  $("reply").hidden = ended || stage === "trying";
  $("choices").hidden = $("controls").hidden = ended;
  if (stage === "opening") $("challenge").textContent = "Getting ready ...";
  if (ended) drawEnding(told);
  if (stage === "failed") $("challenge").textContent = "Not started";
  if ($("after").hidden === !ended && $("after").dataset.run === told.run + stage) return;
  $("after").dataset.run = told.run + stage;
  $("after").hidden = !ended;
  const debrief = told.session && !told.view.title.startsWith("Drill") ? [link("Debrief it", route("debrief", told.session), "button main")] : [];
  $("after").replaceChildren(...debrief, link("Choose another list", "#/lists", "button"));
  const left = document.activeElement; // the reply line is gone: the keyboard goes on here
  if (ended && shown === "session" && (left === document.body || $("ask").contains(left))) $("after").firstChild.focus();
  fit();
}

// What was asked last is asked no more; how it ended stands in its place.
function drawEnding(told) {
  const head = `${told.view.title}: `;
  const [first = ""] = told.over;
  if (!first.startsWith(head)) return;
  const words = first.slice(head.length);
  $("challenge").textContent = words[0].toUpperCase() + words.slice(1);
  document.title = `${$("challenge").textContent} ${told.view.title}`;
  fill("advice", []);
  $("place").hidden = true;
  if (!told.view.settled && !told.notice) $("outcome").className = "bare";
  fit();
}

// A key on an empty reply line does what its button does.
$("line").addEventListener("keydown", (event) => {
  if ($("line").value || event.ctrlKey || event.altKey || event.metaKey || event.isComposing || !screen) return;
  const controls = screen.view.controls;
  const held = () => controls.find((one) => one.words === "hold" || one.words === "continue");
  const name = KEYS[event.key] || event.key.toLowerCase();
  const control = event.key === " " ? held() : name === "tab" ? null : controls.find((one) => one.key === name);
  if (!control) return;
  event.preventDefault();
  post({ key: control.key, for: screen.asked });
});

/* ---- begin ---- */

function place(where) {
  document.body.dataset.place = where;
  $("door").hidden = where !== "door";
  $("ways").hidden = where === "door";
  inside = where !== "door";
  if (!inside) { for (const view of document.querySelectorAll(".view")) view.hidden = true; opened = ""; shown = ""; stage = null; }
}

addEventListener("hashchange", arrive);
begin({ show, place, isOver: () => false, lost: "callout does not answer. Start it again: this page reconnects by itself." });
