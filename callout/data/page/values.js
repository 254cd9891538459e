// The values of a flight, one field each. What is typed is kept in this browser until it is saved.

import { $, ask, attempt, kept, make, route } from "/kit.js";
import { start } from "/lists.js";

let group = "", list = "", told = null;

const place = () => `values ${group}`;
const id = (part, name) => `value-${part}-${name}`;
const rows = () => [["quantities", told.numbers], ["words", told.words], ["facts", told.facts]]
  .flatMap(([part, all]) => all.map((row) => ({ part, ...row })));

export async function open(which, one = "") {
  [group, list, told] = [which, one, null];
  $("values-form").hidden = $("values-follow").hidden = $("values-for").hidden = true;
  for (const name of ["values-said", "values-where", "values-faults"]) $(name).replaceChildren();
  await load();
  const draft = kept.get(place()) || {};
  let back = 0;
  for (const row of rows()) {
    const words = draft[id(row.part, row.name)];
    if (typeof words === "string" && words !== row.value) { put(row, words); back += 1; }
  }
  if (back) say(`${counted(back)} you typed before ${back === 1 ? "is" : "are"} here again, not saved yet.`);
  tools();
}

async function load() {
  told = await ask("values", { group, list });
  $("values-where").textContent = told.title;
  $("values-list").replaceChildren(...[{ key: "", title: "All lists" }, ...told.lists].map((one) => {
    const choice = make("option", one.title);
    choice.value = one.key;
    return choice;
  }));
  $("values-list").value = list;
  $("values-text").hidden = !told.text;
  $("values-text").href = route("edit", told.text);
  $("values-run").hidden = !list;
  $("values-form").hidden = $("values-for").hidden = false;
  fill("numbers", told.numbers, numberField);
  fill("words", told.words, wordField);
  fill("facts", told.facts, factField);
  $("values-follow").hidden = !told.worked_out.length;
  $("values-follow").querySelector("dl").replaceChildren(...told.worked_out.flatMap((one) => [
    make("dt", one.label), make("dd", one.value ? `${one.value}. ${one.help}` : `Not known yet. ${one.help}`),
  ]));
  if (!rows().length) say("No values of the flight are needed here.");
  $("values-save").hidden = $("values-undo").hidden = !rows().length;
}

function fill(name, all, field) {
  $(`values-${name}`).hidden = !all.length;
  $(`values-${name}`).querySelector(".fields").replaceChildren(...all.map(field));
}

function textField(part, row, help) {
  const item = make("div", "", "value");
  const label = make("label", row.label);
  const input = make("input");
  const name = id(part, row.name);
  label.htmlFor = name;
  Object.assign(input, { id: name, value: row.value, maxLength: 300, autocomplete: "off", spellcheck: false });
  const wrong = make("p", "", "wrong");
  wrong.id = `${name}-wrong`;
  const line = make("div", "", "line");
  line.append(input);
  item.append(label, line, wrong);
  const about = [wrong.id];
  if (row.unit) {
    const unit = make("span", row.unit, "unit");
    unit.id = `${name}-unit`;
    about.unshift(unit.id);
    line.append(unit);
  }
  if (help) {
    const more = make("p", help, "more");
    more.id = `${name}-help`;
    about.push(more.id);
    item.append(more);
  }
  input.setAttribute("aria-describedby", about.join(" "));
  return item;
}

function numberField(row) {
  const item = textField("quantities", row, row.help);
  item.querySelector("input").inputMode = row.unit ? "decimal" : "text";
  return item;
}

const wordField = (row) => textField("words", row, "");

function factField(row) {
  const item = make("fieldset", "", "value");
  item.id = id("facts", row.name);
  const wrong = make("p", "", "wrong");
  wrong.id = `${item.id}-wrong`;
  item.setAttribute("aria-describedby", wrong.id);
  const line = make("div", "", "line");
  line.append(...[["yes", "Yes"], ["no", "No"], ["", "Not known"]].map(([value, words]) => {
    const label = make("label", "", "pick");
    const input = make("input");
    Object.assign(input, { type: "radio", name: item.id, value, checked: value === row.value });
    label.append(input, words);
    return label;
  }));
  item.append(make("legend", row.label), line, wrong);
  return item;
}

function read({ part, name }) {
  if (part !== "facts") return $(id(part, name)).value.trim().replace(/\s+/g, " ");
  return $(id(part, name)).querySelector("input:checked").value;
}

function put({ part, name }, words) {
  if (part !== "facts") { $(id(part, name)).value = words; return; }
  const choice = [...$(id(part, name)).querySelectorAll("input")].find((one) => one.value === words);
  if (choice) choice.checked = true;
}

const changed = () => rows().filter((row) => read(row) !== row.value);
const counted = (n) => `${n} ${n === 1 ? "value" : "values"}`;

function say(words) {
  $("values-said").textContent = words;
  $("values-said").classList.remove("doubt");
}

function tools() {
  if (!told) return;
  const typed = changed();
  $("values-save").disabled = $("values-undo").disabled = !typed.length;
  const draft = kept.get(place()) || {};
  for (const row of rows()) delete draft[id(row.part, row.name)];
  for (const row of typed) draft[id(row.part, row.name)] = read(row);
  if (Object.keys(draft).length) kept.set(place(), draft); else kept.drop(place());
}

$("values-form").addEventListener("input", tools);
$("values-form").addEventListener("submit", (event) => {
  event.preventDefault();
  if (told && changed().length) attempt(save, $("values-save")).then(tools);
});

async function save() {
  const given = changed().map((row) => ({ part: row.part, name: row.name, text: read(row), was: row.value }));
  const answer = await ask("keep-values", { group, list, given });
  drawFaults(answer);
  if (Object.keys(answer.faults).length) { say(""); return; }
  await load();
  tools();
  say([`Saved: ${counted(answer.saved)}.`, ...(told.doubts.length ? ["Look again:", ...told.doubts] : [])].join(" "));
  $("values-said").classList.toggle("doubt", told.doubts.length > 0);
}

// Beside each field, and all together above, where they are said at once.
function drawFaults({ faults, present }) {
  const links = [];
  for (const row of rows()) {
    const said = faults[`${row.part} ${row.name}`] || "";
    const field = $(id(row.part, row.name));
    $(`${field.id}-wrong`).textContent = said;
    const input = row.part === "facts" ? field.querySelector("input:checked") : field;
    if (said) input.setAttribute("aria-invalid", "true"); else input.removeAttribute("aria-invalid");
    if (!said) continue;
    const now = present[`${row.part} ${row.name}`];
    if (now !== undefined) source(row).value = now; // what is there now is what the next save replaces
    const to = make("button", `${row.label}: ${said}`, "name");
    to.type = "button";
    to.addEventListener("click", () => input.focus());
    const item = make("li");
    item.append(to);
    links.push(item);
  }
  const all = make("ul", "", "plain");
  all.append(...links);
  $("values-faults").replaceChildren(...(links.length ? [make("p", "Nothing is saved yet:"), all] : []));
  links[0]?.firstChild.click();
}

const source = ({ part, name }) => (
  { quantities: told.numbers, words: told.words, facts: told.facts }[part].find((one) => one.name === name)
);

$("values-undo").addEventListener("click", () => attempt(async () => {
  kept.drop(place());
  drawFaults({ faults: {}, present: {} });
  await load();
  say("Your changes are discarded.");
}, $("values-undo")).then(tools));

$("values-list").addEventListener("change", () => { location.hash = route("values", group, $("values-list").value); });

$("values-run").addEventListener("click", () => attempt(async () => {
  if (changed().length) { say("Save first: what runs is what is saved."); $("values-save").focus(); return; }
  await start("run", { list });
}, $("values-run")));
