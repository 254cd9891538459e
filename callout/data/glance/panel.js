"use strict";
// The panel holds nothing: it draws what the aircraft tells, and sends a press as a wish.

const $ = (id) => document.getElementById(id);
const SILENT_MS = 9000; // the server is heard at least every three seconds
let board = null, drawn = "", heardAt = Date.now(), pause = 500;

function make(tag, text, name) {
  const made = document.createElement(tag);
  if (text) made.textContent = text;
  if (name) made.className = name;
  return made;
}

const words = (text) => text.replaceAll("-", " ").replaceAll("_", " ");
const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);

function move(name, to) {
  if (board && board.readyState === WebSocket.OPEN) board.send(JSON.stringify({ move: name, to }));
}

/* ---- controls ---- */

function choice(shape) {
  const box = make("fieldset");
  box.append(make("legend", capital(shape.label)));
  const row = make("div", "", "row");
  for (const position of shape.positions) {
    const way = make("label", "", "way");
    const input = document.createElement("input");
    input.type = "radio";
    input.name = shape.name;
    input.value = position;
    input.addEventListener("change", () => move(shape.name, position));
    way.append(input, make("span", words(position)));
    row.append(way);
  }
  box.append(row);
  return box;
}

function knob(shape) {
  const box = make("fieldset");
  box.append(make("legend", capital(shape.label)));
  const row = make("div", "", "row knob");
  const value = make("b");
  value.id = `value-${shape.name}`;
  const turn = (sign, label, text) => {
    const button = make("button", text);
    button.type = "button";
    button.setAttribute("aria-label", `${label} ${shape.label}`);
    button.addEventListener("click", () => {
      const places = (shape.step.split(".")[1] || "").length;
      move(shape.name, (Number(value.dataset.now || 0) + sign * Number(shape.step)).toFixed(places));
    });
    return button;
  };
  row.append(turn(-1, "Lower", "−"), value, turn(1, "Raise", "+"));
  box.append(row);
  return box;
}

function gauge(shape) {
  const line = make("p", "", "gauge");
  const value = make("b");
  value.id = `value-${shape.name}`;
  line.append(make("span", capital(shape.label)), value);
  return line;
}

function build(told) {
  const panels = new Map();
  for (const shape of told.shapes) {
    if (!panels.has(shape.panel)) panels.set(shape.panel, []);
    panels.get(shape.panel).push(shape);
  }
  $("panels").replaceChildren(...[...panels].map(([name, shapes]) => {
    const section = make("section");
    section.append(make("h2", name));
    for (const shape of shapes) {
      section.append(shape.gauge ? gauge(shape) : shape.positions.length ? choice(shape) : knob(shape));
    }
    return section;
  }));
}

function draw(told) {
  const shapes = JSON.stringify(told.shapes);
  if (shapes !== drawn) {
    build(told);
    drawn = shapes;
    $("title").textContent = told.title;
    document.title = `${told.title} panel`;
  }
  for (const shape of told.shapes) {
    const now = told.values[shape.name];
    const place = $(`value-${shape.name}`);
    if (place) {
      place.textContent = now === undefined ? "not known" : `${words(now)} ${shape.unit}`.trim();
      place.dataset.now = now || "";
      continue;
    }
    for (const input of document.getElementsByName(shape.name)) input.checked = input.value === now;
  }
}

/* ---- connections ---- */

function open(path, take) {
  const socket = new WebSocket(`ws://${location.host}${path}`);
  socket.addEventListener("message", (event) => {
    heardAt = Date.now();
    pause = 500;
    take(JSON.parse(event.data));
  });
  socket.addEventListener("close", () => {
    setTimeout(() => begin(), pause);
    pause = Math.min(pause * 2, 5000);
  }, { once: true });
  return socket;
}

let list = null;
async function begin() {
  let inside = false;
  try {
    inside = (await (await fetch("/here", { cache: "no-store" })).text()) === "in";
  } catch {
    setTimeout(begin, pause);
    return;
  }
  $("door").hidden = inside;
  $("panels").hidden = !inside;
  if (!inside) return;
  if (!board || board.readyState > WebSocket.OPEN) {
    board = open("/board", (told) => { if (told.kind === "board") draw(told); });
  }
  if (!list || list.readyState > WebSocket.OPEN) {
    list = open("/live", (told) => {
      if (told.kind !== "screen") return;
      $("asked").textContent = told.over.length ? told.over[0] : told.view.challenge;
      $("told").textContent = told.view.sentence;
    });
  }
}

async function enter(code) {
  const answer = await fetch("/enter", {
    method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ code }),
  });
  $("refused").textContent = answer.ok ? "" : await answer.text();
  await begin();
}

$("enter").addEventListener("submit", (event) => {
  event.preventDefault();
  enter($("code").value);
});
setInterval(() => {
  const silent = Date.now() - heardAt > SILENT_MS;
  $("stale").textContent = silent ? "Callout is sending nothing: what is shown here may be out of date." : "";
}, 1000);

const code = decodeURIComponent(location.hash.slice(1));
history.replaceState(null, "", "/panel");
if (code) enter(code); else begin();
