// Drills: what would be asked and why, and the drill itself.

import { $, ask, attempt, make } from "/kit.js";
import { start } from "/lists.js";

const form = $("drill-how");
const wish = () => {
  const told = new FormData(form);
  return { minutes: Math.round(Number(told.get("minutes"))) || 10, mode: told.get("mode"), group: told.get("group") || "" };
};

export async function open() {
  const { groups } = await ask("lists");
  const field = form.elements.namedItem("group");
  const before = field.value;
  const options = [["", "the lists you have flown"], ...groups.filter((one) => one.lists.some((l) => !l.problem)).map((one) => [one.key, one.title])];
  field.replaceChildren(...options.map(([key, title]) => {
    const option = make("option", title);
    option.value = key;
    return option;
  }));
  field.value = before;
  await draw();
}

async function draw() {
  $("drills-said").textContent = "Picking ...";
  try {
    const told = await ask("drill-picks", wish());
    $("drills-said").textContent = told.notes.join(" ");
    $("picks").replaceChildren(...told.rows.map(row));
    $("drill-progress").replaceChildren(...told.progress.map((line) => make("li", line)));
  } catch (error) {
    $("drills-said").textContent = "";
    $("picks").replaceChildren();
    throw error;
  }
}

function row(one) {
  const item = make("li");
  const why = [one.new ? "new" : "", one.due ? "due" : "", one.critical ? "critical" : ""].filter(Boolean).join(", ");
  item.append(make("span", `${one.title}: ${one.challenge}`, "name"));
  item.append(make("span", `chance of a slip: ${one.chance}${why ? ` · ${why}` : ""}`, "more"));
  return item;
}

form.addEventListener("change", () => attempt(draw));
form.addEventListener("submit", (event) => {
  event.preventDefault();
  attempt(() => start("drill", { ...wish(), bridge: false }), form.querySelector("button"));
});
