// The list editor. What is typed is kept in this browser until it is saved; what is on the disk is
// watched, and never written over unasked.

import { $, ask, attempt, button, go, kept, make, route } from "/kit.js";
import { start } from "/lists.js";

const CHECK_MS = 500, WATCH_MS = 2500;
let list = "", saved = "", mark = "", own = false, chosen = null, items = [], timer = 0, watch = 0, asked = 0;

const field = () => $("text");
const place = () => `draft ${list}`;
const unsaved = () => Boolean(list) && field().value !== saved;

export async function open(key) {
  close();
  list = key;
  items = [];
  chosen = null;
  for (const id of ["items", "findings", "findings-said"]) $(id).replaceChildren();
  let told;
  try {
    told = await ask("edit", { list });
  } catch (error) {
    list = "";
    field().value = "";
    say("");
    throw error;
  }
  ({ mark, own } = told);
  saved = told.text.replace(/\r\n?/g, "\n");
  $("edit-title").textContent = told.title;
  $("edit-where").textContent = own ? `${told.group} · ${told.file}` : `${told.group} · came with the program, and stays as it is`;
  field().readOnly = !own;
  for (const id of ["save", "undo"]) $(id).hidden = !own;
  $("copy").hidden = own;
  $("run-it").hidden = $("preview").hidden = $("items-part").hidden = /\/flight\.yaml$/.test(key);
  $("add").hidden = !own;
  $("fill-in").hidden = !own || !told.values;
  $("fill-in").href = route("values", told.place, told.values === "list" ? key : "");
  $("fill-in").textContent = told.open_values ? `${told.open_values} ${told.open_values === 1 ? "value" : "values"} to fill in` : "Values of the flight";
  $("fill-in").classList.toggle("main", told.open_values > 0);
  $("changed").hidden = true;
  $("card-page").hidden = true;
  $("tryout").hidden = true;
  field().value = saved;
  bringBack();
  tools();
  watch = setInterval(look, WATCH_MS);
  await check();
}

// What was typed before the page or the program ended is here again.
function bringBack() {
  say("");
  const draft = own ? kept.get(place()) : null;
  if (!draft || draft.text === saved) { kept.drop(place()); return; }
  field().value = draft.text;
  say(`What you typed until ${new Date(draft.at).toLocaleString()} is here again. It is not saved yet.`);
  if (draft.mark !== mark) disagree(saved, mark);
  mark = draft.mark;
}

export function close() {
  clearInterval(watch);
  clearTimeout(timer);
  keep();
}

function say(words) { $("edit-said").textContent = words; }

function tools() {
  $("save").disabled = $("undo").disabled = !unsaved();
}

function keep() {
  if (!own || !list) return;
  if (unsaved()) kept.set(place(), { text: field().value, mark, at: Date.now() });
  else kept.drop(place());
}

field().addEventListener("input", () => {
  keep();
  tools();
  clearTimeout(timer);
  timer = setTimeout(() => attempt(check), CHECK_MS);
});
addEventListener("beforeunload", (event) => {
  keep();
  if (unsaved() && own && !kept.get(place())) event.preventDefault(); // nothing else keeps it
});
addEventListener("storage", (event) => {
  if (list && event.key === place() && event.newValue) say("This list is being changed in another tab too. Whoever saves second is asked.");
});

/* ---- findings and items ---- */

async function check() {
  if (!list) return;
  const number = ++asked;
  const told = await ask("check", { list, text: field().value });
  if (number !== asked) return; // an older answer
  const bad = told.findings.filter((one) => one.severity === "error").length;
  const count = told.findings.length;
  $("findings-said").textContent = !count ? "Nothing found." : bad ? `${count} found. Mend the errors before you run it.` : `${count} found. The list can be run as it is.`;
  $("findings").replaceChildren(...told.findings.map(finding));
  if (!told.items.length) return; // as it was before the mistake
  items = told.items;
  $("edit-title").textContent = told.title || $("edit-title").textContent;
  drawItems();
}

function finding(one) {
  const item = make("li", "", one.severity);
  const to = button(`Line ${one.line}`, () => jump(one.line));
  item.append(to, make("span", `${one.severity === "error" ? "Error: " : ""}${one.message}`), make("span", one.hint, "more"));
  return item;
}

function drawItems() {
  const focused = document.activeElement && document.activeElement.dataset.item;
  $("items").replaceChildren(...items.map((one) => {
    const item = make("li");
    const words = `${one.challenge}: ${one.replies.join(" / ")}${one.critical ? " (critical)" : ""}`;
    const pick = button(words, () => choose(one.id), "name");
    pick.dataset.item = one.id;
    pick.setAttribute("aria-pressed", String(one.id === chosen));
    item.append(pick);
    return item;
  }));
  if (focused) document.querySelector(`[data-item="${CSS.escape(focused)}"]`)?.focus();
  const there = items.find((one) => one.id === chosen);
  $("tryout").hidden = !there;
  if (there) $("tryout-name").textContent = there.challenge;
}

function choose(id) {
  chosen = id;
  $("tried-said").textContent = "";
  $("tried-said").className = "";
  drawItems();
  const line = items.find((one) => one.id === id).line;
  mark_line(line);
}

function span(line) {
  const lines = field().value.split("\n");
  const at = lines.slice(0, line - 1).reduce((sum, one) => sum + one.length + 1, 0);
  return [at, at + (lines[line - 1] || "").length];
}

function mark_line(line) {
  field().setSelectionRange(...span(line));
  const height = parseFloat(getComputedStyle(field()).lineHeight);
  field().scrollTop = Math.max(0, (line - 4) * height);
}

function jump(line) {
  field().focus();
  mark_line(line);
}

/* ---- an item more ---- */

const quoted = (words) => JSON.stringify(words.trim());

// After the item chosen, else after the last one, set in as the items there are.
$("add").addEventListener("submit", (event) => {
  event.preventDefault();
  const after = items.findIndex((one) => one.id === chosen);
  const from = items[after < 0 ? items.length - 1 : after];
  if (!from) { say("The list must be readable first: see what the check finds."); return; }
  const lines = field().value.split("\n");
  const dash = lines[from.line - 1].match(/^\s*(?=- )/) || lines[from.line - 2]?.match(/^\s*(?=- )/);
  const inset = dash ? dash[0] : "  ";
  const next = items[after < 0 ? items.length : after + 1];
  let end = from.line;
  while (end < lines.length && (/^\s*$/.test(lines[end]) ? false : lines[end].match(/^\s*/)[0].length > inset.length)) end += 1;
  if (next) end = Math.min(end, next.line - 1);
  const name = names($("add-challenge").value);
  const made = [`${inset}- id: ${name}`, `${inset}  challenge: ${quoted($("add-challenge").value)}`, `${inset}  response: ${quoted($("add-reply").value)}`];
  lines.splice(end, 0, ...made);
  field().value = lines.join("\n");
  $("add").reset();
  chosen = name;
  field().dispatchEvent(new Event("input"));
  $("add-challenge").focus();
});

function names(challenge) {
  const stem = challenge.toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "").slice(0, 40) || "item";
  let name = /^[a-z]/.test(stem) ? stem : `item-${stem}`;
  for (let n = 2; items.some((one) => one.id === name); n += 1) name = `${stem}-${n}`;
  return name;
}

/* ---- say it, try a reply, the card ---- */

$("say-it").addEventListener("click", () => attempt(
  () => ask("say", { words: `${$("tryout-name").textContent}?` }), $("say-it"),
));

$("try-reply").addEventListener("submit", (event) => {
  event.preventDefault();
  attempt(async () => {
    const told = await ask("judge", { list, text: field().value, item: chosen, words: $("tried").value });
    const words = { match: "✓ Right.", mismatch: "✗ Mismatch.", unclear: "? Unclear." }[told.verdict];
    $("tried-said").className = told.verdict;
    $("tried-said").textContent = `${words} ${told.reason}`;
  });
});

$("preview").addEventListener("click", () => attempt(async () => {
  const told = await ask("card", { list, text: field().value });
  $("card-page").hidden = false;
  $("card-page").src = told.page;
  $("card-page").scrollIntoView({ block: "nearest" });
}, $("preview")));

/* ---- saving ---- */

$("save").addEventListener("click", () => attempt(save).then(tools));
addEventListener("keydown", (event) => {
  if (event.key === "s" && (event.ctrlKey || event.metaKey) && document.body.dataset.view === "edit") {
    event.preventDefault();
    if (own && unsaved()) attempt(save).then(tools);
  }
});

async function save() {
  const text = field().value;
  const told = await ask("save", { list, text, mark });
  if (told.changed) { disagree(told.text, told.mark); return; }
  settle(text, told.mark, "Saved.");
}

function settle(text, now, words) {
  saved = text;
  mark = now;
  $("changed").hidden = true;
  keep();
  tools();
  say(words);
}

$("undo").addEventListener("click", () => attempt(async () => {
  const before = field().value;
  const told = await ask("edit", { list });
  field().value = told.text.replace(/\r\n?/g, "\n");
  settle(field().value, told.mark, "Your changes are discarded. ");
  $("edit-said").append(button("Bring them back", () => {
    field().value = before;
    field().dispatchEvent(new Event("input"));
    say("They are here again.");
  }));
  await check();
}).then(tools));

// Two versions: nobody is asked to lose one without seeing which.
function disagree(there, now) {
  const differ = differences(there.replace(/\r\n?/g, "\n").split("\n"), field().value.split("\n"));
  $("changed").hidden = false;
  const rows = make("ul", "", "plain versions");
  rows.append(...differ.slice(0, 40).map(([side, line]) => make("li", `${side} ${line}`)));
  const mine = button("Keep mine", async () => { mark = now; await save(); });
  const theirs = button("Take what is on the disk", async () => {
    const before = field().value;
    field().value = there.replace(/\r\n?/g, "\n");
    settle(field().value, now, "This is what is on the disk. ");
    $("edit-said").append(button("Bring mine back", () => { field().value = before; field().dispatchEvent(new Event("input")); }));
    await check();
  });
  $("changed").replaceChildren(
    make("h2", "This list was changed on the disk"),
    make("p", "Yours (+) and what is on the disk (−) differ in these lines. Nothing is written until you choose."),
    rows, mine, theirs,
  );
}

function differences(there, mine) {
  const left = new Set(there), right = new Set(mine);
  return [
    ...there.filter((line) => line.trim() && !right.has(line)).map((line) => ["−", line]),
    ...mine.filter((line) => line.trim() && !left.has(line)).map((line) => ["+", line]),
  ];
}

async function look() {
  if (!list || !own || document.hidden || !$("changed").hidden) return;
  let told;
  const [which, before] = [list, mark];
  try { told = await ask("mark", { list }); } catch { return; } // the page says that nobody answers
  if (which !== list || before !== mark || told.mark === mark) return;
  if (!told.mark) { say("This list is no longer on the disk. Save it to write it again."); return; }
  const now = await ask("edit", { list }).catch(() => null);
  if (!now) return;
  if (unsaved()) { disagree(now.text, now.mark); return; }
  field().value = now.text.replace(/\r\n?/g, "\n");
  settle(field().value, now.mark, "This list was changed on the disk; this is how it is now.");
  attempt(check);
}

$("copy").addEventListener("click", () => attempt(async () => {
  const told = await ask("copy", { list });
  go("edit", told.list);
}, $("copy")));

$("run-it").addEventListener("click", () => attempt(async () => {
  if (unsaved() && own) { say("Save it first: what runs is the list on the disk."); $("save").focus(); return; }
  await start("run", { list });
}, $("run-it")));
