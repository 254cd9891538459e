// The sound check: the voice, the microphone, one's own voice, and what the machine has.

import { $, ask, attempt, make } from "/kit.js";

const SIGNS = { ready: "✓ ready", check: "! look at this", optional: "· not needed", missing: "✗ missing" };

export async function open() {
  const told = await ask("voices");
  $("voices").textContent = told.names.length ? `Voices learnt: ${told.names.join(", ")}.` : "";
  try {
    drawDevices(await ask("devices"));
  } catch (error) {
    $("devices-said").textContent = error.message;
    $("device").replaceChildren(make("option", "none found"));
  }
}

function drawDevices(told) {
  const names = told.names.length ? told.names : ["none found"];
  $("device").replaceChildren(...names.map((name) => {
    const option = make("option", name === told.usual ? `${name} (usual)` : name);
    option.value = told.names.length ? name : "";
    return option;
  }));
  $("device").value = told.chosen || told.usual || names[0];
  if (!$("device").value) $("device").selectedIndex = 0;
  $("devices-said").textContent = told.names.length ? "" : "No microphone is connected. You can still type your replies.";
}

// Whoever looks sees the same trial.
export function draw(told) {
  const trial = told.trial;
  const failed = told.stage === "failed" && trial.lines;
  $("trial").hidden = !trial.lines;
  if (!trial.lines) return;
  const lines = failed ? [told.notice] : trial.lines;
  $("trial-now").textContent = trial.ended ? "" : lines[lines.length - 1] || "Opening the microphone ...";
  $("level").value = trial.level === null ? -70 : trial.level;
  $("level").textContent = trial.level === null ? "" : `${trial.level} dB`;
  $("trial-outcome").replaceChildren(...(trial.outcome || []).map((line) => make("li", line)));
}

$("say").addEventListener("click", () => attempt(async () => {
  $("voice-said").textContent = "Speaking ...";
  try { await ask("say"); } finally { $("voice-said").textContent = ""; }
  $("voice-said").textContent = "Did you hear it?";
}, $("say")));

const device = () => ($("device").value ? { device: $("device").value } : {});

$("microphone").addEventListener("submit", (event) => {
  event.preventDefault();
  attempt(() => ask("try-microphone", device()));
});

$("keep-device").addEventListener("click", () => attempt(async () => {
  await ask("set", { key: "hearing.microphone", value: $("device").value });
  $("devices-said").textContent = "Sessions use this microphone from now on.";
}, $("keep-device")));

$("learn").addEventListener("submit", (event) => {
  event.preventDefault();
  attempt(() => ask("enrol", { name: $("person").value, ...device() }));
});

$("examine").addEventListener("click", () => attempt(async () => {
  const told = await ask("doctor");
  $("machine").replaceChildren(...told.rows.map((one) => {
    const item = make("li");
    item.append(make("strong", one.name, "name"), make("span", SIGNS[one.state]), make("span", one.message, "more wide"));
    if (one.fix) item.append(make("span", one.fix, "problem"));
    return item;
  }));
}, $("examine")));
