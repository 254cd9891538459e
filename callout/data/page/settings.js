// Settings: one row each, kept as soon as it is changed.

import { $, ask, attempt, make } from "/kit.js";

const PARTS = {
  pacing: "Pace of a session", hearing: "Hearing", voice: "Voice", crew: "Crew", simulator: "Simulator",
  screen: "The terminal's screen", journal: "Journals",
};

export async function open() {
  const told = await ask("settings");
  const parts = new Map();
  for (const row of told.rows) {
    const [part] = row.key.split(".");
    parts.set(part, [...(parts.get(part) || []), row]);
  }
  $("setting-rows").replaceChildren(...[...parts].map(([part, rows]) => {
    const field = make("fieldset", "", "card");
    field.append(make("legend", PARTS[part] || part), ...rows.map(draw));
    return field;
  }));
  $("settings-said").textContent = `Changes apply from the next session on. They are kept in ${told.file}.`;
}

function draw(row) {
  const line = make("div", "", "setting");
  const name = make("label", row.about);
  const field = FIELDS[row.kind](row);
  field.id = `set-${row.key}`;
  name.htmlFor = field.id;
  const said = make("span", told(row), "more");
  said.setAttribute("role", "status");
  field.addEventListener("change", () => attempt(async () => {
    const value = field.type === "checkbox" ? String(field.checked) : field.value;
    try {
      row = (await ask("set", { key: row.key, value })).row;
      said.textContent = `Saved. ${told(row)}`;
    } finally {
      show(field, row); // what was refused is not shown as if it were so
    }
  }));
  line.append(name, field, said);
  return line;
}

const told = (row) => (row.value === row.usual ? "" : `Usually ${words(row.usual)}.`);
const words = (value) => (value === true ? "yes" : value === false ? "no" : value === "" ? "empty" : String(value));

function show(field, row) {
  if (field.type === "checkbox") field.checked = row.value;
  else field.value = row.value === null ? "" : row.value;
}

function input(row, type) {
  const field = make("input");
  field.type = type;
  field.autocomplete = "off";
  show(field, row);
  return field;
}

const FIELDS = {
  "yes or no": (row) => input(row, "checkbox"),
  text: (row) => { const field = input(row, "text"); field.maxLength = 300; return field; },
  number: (row) => {
    const field = input(row, "number");
    Object.assign(field, { min: row.least, max: row.most, step: row.whole ? 1 : "any" });
    return field;
  },
  choice: (row) => {
    const field = make("select");
    field.append(...row.choices.map((text) => make("option", text)));
    show(field, row);
    return field;
  },
};

$("end").addEventListener("click", () => attempt(async () => {
  await ask("end");
  $("settings-said").textContent = "Callout has ended. Start it again and this page comes back.";
}, $("end")));
