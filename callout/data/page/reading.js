// A new list: out of a file that is brought, or written here.

import { $, Refused, ask, attempt, bring, button, go, kept, make } from "/kit.js";

let key = "";

/* ---- where it comes from ---- */

export async function openNew() {
  const draft = kept.get("new list") || {};
  for (const id of ["write-title", "write-plane", "write-lines"]) if (!$(id).value) $(id).value = draft[id] || "";
  const told = await ask("kinds");
  $("brought").accept = told.kinds.join(",");
}

$("write").addEventListener("input", () => kept.set("new list", Object.fromEntries(
  ["write-title", "write-plane", "write-lines"].map((id) => [id, $(id).value]),
)));

$("write").addEventListener("submit", (event) => {
  event.preventDefault();
  attempt(async () => {
    const told = await ask("new-list", {
      title: $("write-title").value, plane: $("write-plane").value, lines: $("write-lines").value,
    });
    kept.drop("new list");
    $("write").reset();
    go("edit", told.list);
  }, $("write").querySelector("button"));
});

$("bring").addEventListener("submit", (event) => {
  event.preventDefault();
  const [file] = $("brought").files;
  if (!file) return;
  attempt(async () => {
    if (!file.size) throw new Refused(`${file.name} is empty. Choose another file.`, "");
    $("bring-said").textContent = `Reading ${file.name} ... A photo takes up to half a minute.`;
    try {
      const told = await bring(file);
      $("bring").reset();
      go("reading", told.reading);
    } finally {
      $("bring-said").textContent = "";
    }
  }, $("bring").querySelector("button"));
});

/* ---- what was read ---- */

export async function open(which) {
  key = which;
  $("guesses").replaceChildren();
  $("reading-said").textContent = "";
  const told = await ask("reading", { reading: key });
  $("finish-title").value = told.title;
  $("finish-each").hidden = told.lists.length < 2;
  $("each-titles").textContent = told.lists.join(", ");
  $("guesses").replaceChildren(...told.rows.map(guess));
  $("not-placed").hidden = !told.not_placed.length;
  $("not-placed").querySelector("ul").replaceChildren(...told.not_placed.map((text) => make("li", text)));
  $("left-out").hidden = !told.left_out.length;
  $("left-out").querySelector("ul").replaceChildren(...told.left_out.map((text) => make("li", text)));
  count();
}

function count() {
  const open = document.querySelectorAll("#guesses .question").length;
  const all = $("guesses").children.length;
  const items = `${all} ${all === 1 ? "item" : "items"}`;
  $("reading-said").textContent = open
    ? `${items}, ${open} ${open === 1 ? "question" : "questions"} open. A question you leave open is kept in the list as a remark.`
    : `${items}. Compare each with what stands beside it, then make the list.`;
}

function guess(row) {
  const item = make("li", "", row.kept ? "guess" : "guess left");
  const from = make("div", "", "stood");
  if (row.picture) {
    const picture = make("img", "", row.whole ? "whole" : "");
    picture.src = row.picture;
    picture.alt = `As it stands on the page: ${row.stood}`;
    from.append(picture);
  } else from.append(make("q", row.stood));
  const number = row.at + 1;
  const challenge = input(`challenge-${row.at}`, `Challenge ${number}`, row.challenge);
  const response = input(`response-${row.at}`, `Response ${number}`, row.response);
  const redraw = (told) => {
    const made = guess({ ...told.row, picture: row.picture, whole: row.whole });
    item.replaceWith(made);
    count();
    return made;
  };
  const reword = () => attempt(async () => {
    const told = await ask("reword", { reading: key, at: row.at, challenge: challenge.field.value, response: response.field.value });
    const { id, value, dataset } = document.activeElement; // where the person is by now, and what is typed there
    redraw(told);
    if (!id || !$(id)) return;
    if (dataset.was !== undefined && dataset.was !== value) $(id).value = value;
    $(id).focus();
  });
  challenge.field.addEventListener("change", reword);
  response.field.addEventListener("change", reword);
  const out = button(row.kept ? "Leave it out" : "Put it back", async () => {
    redraw(await ask("leave-out", { reading: key, at: row.at, out: row.kept })).querySelector("button.out").focus();
  }, "out");
  out.setAttribute("aria-label", `${out.textContent}: ${row.challenge}`);
  item.append(from, challenge.label, response.label, ...row.questions.map((one) => question(row, one, redraw)), out);
  return item;
}

function input(id, words, value) {
  const label = make("label", words);
  const field = make("input");
  Object.assign(field, { id, value, maxLength: 2000, autocomplete: "off", spellcheck: false });
  field.dataset.was = value;
  label.append(field);
  return { label, field };
}

function question(row, one, redraw) {
  const form = make("form", "", "question");
  const label = make("label", one.text);
  const answer = one.choices.length ? make("select") : make("input");
  if (one.choices.length) {
    answer.append(make("option", "choose"), ...one.choices.map((text) => make("option", text)));
    answer.value = one.choices.includes(one.usual) ? one.usual : "choose";
  } else Object.assign(answer, { value: one.usual, maxLength: 2000, autocomplete: "off" });
  label.append(answer);
  const done = make("button", "Confirm");
  done.setAttribute("aria-label", `Confirm: ${row.challenge}`);
  form.append(label, done);
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    attempt(async () => {
      const words = answer.value === "choose" ? "" : answer.value;
      const made = redraw(await ask("decide", { reading: key, at: row.at, doubt: one.doubt, answer: words }));
      (document.querySelector("#guesses .question input, #guesses .question select") || made.querySelector("input")).focus();
    }, done);
  });
  return form;
}

$("finish").addEventListener("submit", (event) => {
  event.preventDefault();
  attempt(async () => {
    const each = !$("finish-each").hidden && $("each-list").checked;
    const told = await ask("finish", { reading: key, title: $("finish-title").value, plane: $("finish-plane").value, each });
    go("edit", told.list);
  }, $("finish").querySelector("button"));
});
