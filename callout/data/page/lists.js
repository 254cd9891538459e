// Choosing a list or a flight, and how to reply.

import { openCalls } from "/calling.js";
import { $, ask, attempt, button, go, kept, link, make, route, when } from "/kit.js";

let groups = [];

export async function open() {
  const told = await ask("lists");
  groups = told.groups;
  $("first").hidden = !told.new;
  drawSteps();
  openCalls(groups);
  draw();
  await drawUnfinished();
}

function drawSteps() {
  const steps = [
    ["Check the microphone and the voice.", "#/sound", "Sound check"],
    ["Run a list: choose Before start of Sandling Two below, and reply to each challenge.", "", ""],
    ["Read the debrief.", "#/debriefs", "Debriefs"],
    ["Then write your own list, or read in one you have on paper.", "#/new", "New list"],
  ];
  $("steps").replaceChildren(...steps.map(([words, to, name]) => {
    const item = make("li", `${words} `);
    if (to && document.querySelector(`.view[id="${to.slice(2)}"]`)) item.append(link(name, to));
    return item;
  }));
}

async function drawUnfinished() {
  const told = await ask("unfinished");
  $("unfinished").hidden = !told.title;
  if (!told.title) return;
  const words = make("p", `${told.title} was interrupted: ${when(told.when)}.`);
  const on = button("Continue it", () => start("go-on", { journal: told.journal }), "main");
  $("unfinished").replaceChildren(words, on);
}

// Whoever looks for another list sees that one is open.
export function drawRunning(told) {
  const runs = told.stage === "running";
  $("running").hidden = !runs;
  const which = told.run + told.view.title;
  if (!runs || $("running").dataset.which === which) return;
  $("running").dataset.which = which;
  $("running").replaceChildren(
    make("p", `${told.view.title} is open.`), link("Go to it", "#/session", "button main"),
    button("Interrupt it", () => ask("break-off")),
  );
}

export function wanted() {
  const form = new FormData($("how"));
  return {
    replies: form.get("replies"), silent: form.has("silent"), crew: form.has("crew"), bridge: form.has("bridge"),
  };
}

export async function start(what, more) {
  const { bridge, ...how } = wanted();
  await ask(what, { ...how, ...more, bridge: bridge && (more.bridge ?? true) });
  go("session");
}

// Words of a title may be left out and cut short: "bef sta" finds Before start.
function matches(words, title) {
  const parts = title.toLowerCase().split(/[^a-z0-9]+/);
  return words.every((word) => parts.some((part) => part.startsWith(word)));
}

function draw() {
  const words = $("sought").value.toLowerCase().split(/[^a-z0-9]+/).filter(Boolean);
  const shown = groups
    .map((group) => ({ ...group, lists: group.lists.filter((one) => matches(words, `${one.title} ${group.title}`)) }))
    .filter((group) => group.lists.length);
  const count = shown.reduce((sum, group) => sum + group.lists.length, 0);
  $("found").textContent = !words.length ? "" : count === 1 ? "1 list found." : `${count} lists found.`;
  $("groups").replaceChildren(...shown.map((group, n) => drawGroup(group, n, words.length > 0)));
}

function drawGroup(group, n, sought) {
  const part = make("section", "", "group");
  const name = make("h2", group.title);
  name.id = `group-${n}`;
  part.setAttribute("aria-labelledby", name.id);
  const head = make("div", "", "head");
  head.append(name);
  if (group.own) head.append(make("span", "yours", "mark"));
  if (group.values && !sought) {
    const data = link("Values of the flight", route("values", group.key), "button");
    data.setAttribute("aria-label", `Values of the flight: ${group.title}`);
    head.append(data);
  }
  if (group.flies && !sought) head.append(button("Fly: call lists by name", () => start("fly", { group: group.key, bridge: group.bridge }), "main"));
  const rows = make("ul", "", "plain table");
  rows.append(...group.lists.map((one) => drawList(group, one)));
  const call = group.lists.find((one) => !one.problem && one.phase !== "any" && /^[a-z]/i.test(one.title));
  const how = group.flies && call && !sought ? [make("p", `In a flight, say "${spoken(call.title)}" between lists.`, "more")] : [];
  part.append(head, ...how, rows);
  return part;
}

const spoken = (title) => `${title.toLowerCase().replace(/ checklist$/, "")} checklist`;

function drawList(group, one) {
  const item = make("li");
  if (one.problem) {
    item.append(make("strong", one.title), make("span", one.problem, "problem"));
  } else {
    item.append(
      button(one.title, () => start("run", { list: one.key, bridge: group.bridge }), "name"),
      make("span", `${one.items} ${one.items === 1 ? "item" : "items"} · ${one.phase}`, "more"),
    );
    if (one.open_values) {
      const open = link(`${one.open_values} ${one.open_values === 1 ? "value" : "values"} to fill in`, route("values", group.key, one.key), "open-values");
      open.setAttribute("aria-label", `${open.textContent}: ${one.title}`);
      item.append(open);
    }
  }
  if (document.querySelector("#edit")) {
    const edit = link(group.own ? "Edit" : "View", route("edit", one.key), "button");
    edit.setAttribute("aria-label", `${edit.textContent}: ${one.title}`);
    item.append(edit);
  }
  return item;
}

$("sought").addEventListener("input", draw);
$("sought").addEventListener("keydown", (event) => {
  const only = document.querySelectorAll("#groups button.name");
  if (event.key === "Enter" && $("sought").value && only.length === 1) attempt(async () => only[0].click());
});

function drawHow() {
  const how = wanted();
  const words = [
    how.replies === "keyboard" ? "keyboard only" : "by voice or keyboard", how.silent ? "challenges not read aloud" : "challenges read aloud",
    how.crew ? "two people" : "", how.bridge ? "compared with the simulator" : "",
  ];
  $("how-said").textContent = `How to run a list: ${words.filter(Boolean).join(", ")}`;
}

const chosen = kept.get("how") || {};
for (const field of $("how").elements) {
  if (field.type === "radio") field.checked = field.value === (chosen.replies || "microphone");
  if (field.type === "checkbox") field.checked = chosen[field.name] === true;
}
$("how").addEventListener("change", () => { kept.set("how", wanted()); drawHow(); });
drawHow();
