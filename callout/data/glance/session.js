import { post } from "/link.js";

// The screen of a session. It holds nothing that matters: it draws what it is sent, and sends back
// presses together with the id of what was asked when they were made.

export const $ = (id) => document.getElementById(id);
const SIGNS = {
  pending: "·", current: "▶", answered: "✓", skipped: "↷", deferred: "↻",
  not_applicable: "⊘", left_open: "!", due: "»",
};
const DOING = {
  speaking: ["♪", "Speaking"], listening: ["●", "Listening"], waiting: ["⌨", "Waiting"],
  holding: ["‖", "Holding"], ended: ["■", "Ended"],
};
const VERDICTS = { match: "✓ Right", mismatch: "✗ Mismatch", unclear: "? Unclear" };
const MINOR = new Set(["set-up", "slower", "faster", "quiet", "read aloud", "help", "stop", "end the flight"]);
const LARGEST = 168, SMALLEST = 30;

let asked = "", run = "", lastNews = 0, over = false, drawn = "", moved = false;

export function make(tag, text, name) {
  const made = document.createElement(tag);
  if (text) made.textContent = text;
  if (name) made.className = name;
  return made;
}

export function fill(id, children) { $(id).replaceChildren(...children); }

/* ---- what is shown ---- */

export function draw(told) {
  const view = told.view;
  asked = told.asked;
  over = told.over.length > 0;
  document.body.dataset.doing = view.doing;
  const idle = view.unit === "list" && !view.answers.includes("yes"); // between lists nothing is amiss
  document.body.toggleAttribute("data-question", view.question && !over && !idle);
  document.title = view.challenge ? `${view.challenge} ${view.title}` : "callout";
  $("title").textContent = [view.title, view.section].filter(Boolean).join(" · ");
  $("count").textContent = view.total ? `${view.done} of ${view.total} done` : "";
  drawDoing(view);
  drawPlace(view);
  $("challenge").textContent = view.challenge;
  fill("advice", [
    ...view.cautions.map((text) => make("li", `Caution: ${text}`, "caution")),
    ...view.notes.map((text) => make("li", `Note: ${text}`)),
  ]);
  drawOutcome(view, told.notice);
  drawChoices(view);
  drawControls(view);
  drawSide(view, told);
  $("deferred").textContent = view.deferred.length ? `Deferred: ${view.deferred.join(", ")}` : "";
  fill("troubles", view.troubles.map((text) => make("li", `! ${text}`)));
  $("safety").textContent = told.safety;
  $("reply").hidden = over;
  if (document.activeElement !== $("line")) $("line").placeholder = told.typed;
  tell(told);
  fit();
  scroll();
}

export const isOver = () => over;

function drawDoing(view) {
  const [sign, word] = DOING[view.doing];
  const mark = make("span", sign, "sign");
  mark.setAttribute("aria-hidden", "true");
  const extras = [view.quiet ? "quiet" : "", view.pace === 1 ? "" : `pace ${view.pace}`];
  fill("doing", [mark, make("span", ` ${[word, ...extras].filter(Boolean).join(", ")}`)]);
}

function drawPlace(view) {
  const parts = [view.place, view.role].filter(Boolean).join(" · ");
  const critical = view.critical ? [make("span", "critical", "critical")] : [];
  fill("place", [make("span", critical.length && parts ? `${parts} · ` : parts), ...critical]);
  $("place").hidden = !parts && !critical.length;
}

function drawOutcome(view, notice) {
  const before = view.settled && !notice; // of what was asked before, not of what is asked now
  const tick = make("span", "✓ ", "tick");
  tick.setAttribute("aria-hidden", "true");
  $("verdict").textContent = before ? "" : VERDICTS[view.verdict] || "";
  fill("sentence", before ? ["Before: ", tick, view.sentence] : [notice || view.sentence]);
  $("heard").textContent = view.heard;
  const bare = !view.verdict && !notice && !view.sentence && !view.heard;
  $("outcome").className = bare ? "bare" : before ? "settled" : view.verdict;
}

function drawChoices(view) {
  const numbered = view.options.map((text, n) => [`${n + 1}  ${text}`, String(n + 1)]);
  const plain = view.answers.map((text) => [text, text]);
  sync("choices", [...numbered, ...plain], ([label, line]) => {
    const button = make("button", label);
    button.addEventListener("click", () => send({ line }));
    return button;
  });
}

function drawControls(view) {
  sync("controls", view.controls, (control) => {
    const button = make("button", control.words, MINOR.has(control.words) ? "minor" : "");
    button.addEventListener("click", () => send({ key: control.key }));
    return button;
  });
}

// Buttons are made anew only when they change, so that focus stays where it is.
function sync(id, wanted, build) {
  const text = JSON.stringify(wanted);
  if ($(id).dataset.wanted === text) return;
  const focused = [...$(id).children].indexOf(document.activeElement);
  $(id).dataset.wanted = text;
  fill(id, wanted.map(build));
  for (const button of $(id).children) button.type = "button";
  const next = $(id).children[focused] || $("controls").firstChild;
  if (focused >= 0 && next) next.focus();
}

function drawSide(view, told) {
  const lines = over ? told.over : view.lines;
  $("side-name").textContent = over ? "Summary" : lines.length ? "Details" : "The list";
  fill("lines", lines.map(detail));
  const text = JSON.stringify([lines.length, view.rows]);
  if (text === drawn) return;
  drawn = text;
  fill("rows", lines.length ? [] : view.rows.map(row));
  moved = true;
}

function scroll() {
  const now = document.querySelector("#rows [aria-current], #rows .due");
  if (moved && now) {
    $("side").scrollTop = now.offsetTop - $("side").offsetTop - $("side").clientHeight / 3;
  }
  moved = false;
}

// Lines are set in columns for a terminal; here the first column stands out instead.
function detail(text) {
  const depth = text.match(/^ */)[0].length;
  const [first, ...rest] = text.trim().split(/ {2,}/);
  const item = make("li", "", `depth-${Math.min(depth, 4)}`);
  item.append(rest.length ? make("strong", first) : first);
  if (rest.length) item.append(` · ${rest.join(" · ")}`);
  return item;
}

function row(told) {
  const item = make("li", "", told.status);
  const sign = make("span", SIGNS[told.status]);
  sign.setAttribute("aria-hidden", "true");
  const answered = told.status === "answered";
  const name = answered && told.note ? `${told.challenge}: ${told.note}` : told.challenge;
  item.append(sign, make("span", String(told.number), "number"), make("span", name));
  const words = answered || told.status === "pending" ? [] : [told.word];
  if (told.critical && told.current) words.push("critical");
  if (told.note && !answered) words.push(told.note);
  const more = words.join(" · ");
  if (more) item.append(make("span", more, "more"));
  if (told.current) item.setAttribute("aria-current", "step");
  return item;
}

function tell(told) {
  if (told.run !== run) { run = told.run; lastNews = 0; }
  for (const [number, text] of told.news) {
    if (number > lastNews) $("news").append(make("p", text));
    lastNews = Math.max(lastNews, number);
  }
  while ($("news").children.length > 12) $("news").firstChild.remove();
}

// The challenge is as large as its room allows.
export function fit() {
  const room = $("room"), words = $("challenge");
  if (!room.clientHeight) return; // not on the screen now
  let low = SMALLEST, high = LARGEST;
  while (high - low > 1) {
    const size = (low + high) >> 1;
    words.style.fontSize = `${size}px`;
    const fits = words.scrollHeight <= room.clientHeight && words.scrollWidth <= room.clientWidth
      && !broken(words, size);
    if (fits) low = size; else high = size;
  }
  words.style.fontSize = `${low}px`;
}

const ruler = document.createElement("canvas").getContext("2d");
function broken(words, size) {
  const style = getComputedStyle(words);
  ruler.font = `${style.fontWeight} ${size}px ${style.fontFamily}`;
  return words.textContent.split(/\s+/).some((w) => ruler.measureText(w).width > $("room").clientWidth);
}

/* ---- what is sent ---- */

function send(what) {
  return asked !== "" && post({ ...what, for: asked });
}

$("reply").addEventListener("submit", (event) => {
  event.preventDefault();
  const line = $("line").value.trim();
  if (!line || send({ line })) $("line").value = ""; // what cannot be sent stays
});

addEventListener("resize", fit);
