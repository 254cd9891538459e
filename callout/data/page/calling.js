// Starting a list by voice: the microphone listens between sessions, once a person has asked for it.

import { $, ask, attempt, button, kept, make } from "/kit.js";

let call = { on: false };

export function openCalls(groups) {
  const before = $("call-group").value || call.group || kept.get("call group") || "";
  const usable = groups.filter((group) => group.lists.some((one) => !one.problem));
  $("call-group").replaceChildren(...usable.map((group) => {
    const option = make("option", group.title);
    option.value = group.key;
    return option;
  }));
  if (usable.some((group) => group.key === before)) $("call-group").value = before;
  show();
}

const how = () => {
  const form = new FormData($("how"));
  return { replies: form.get("replies"), silent: form.has("silent"), crew: form.has("crew"), bridge: false };
};

export function draw(told) {
  call = told.call;
  $("call").dataset.on = String(Boolean(call.on));
  $("call-on").textContent = call.on ? "Stop listening" : "Listen for a list";
  $("call-on").setAttribute("aria-pressed", String(Boolean(call.on)));
  $("call-now").textContent = now();
  const said = [call.said, call.on && call.heard ? `Heard: "${call.heard}"` : ""].filter(Boolean).join(" ");
  if ($("call-said").textContent !== said) $("call-said").textContent = said;
  drawQuestion();
  show();
}

function now() {
  if (!call.on) return "The microphone is off. Once it listens, the name of a list starts it.";
  if (!call.listening) return "Opening the microphone ...";
  return call.question ? "● Listening for yes or no." : `● Listening. Say "${call.say}", or the name of another list.`;
}

function drawQuestion() {
  if ($("call-question").dataset.list === (call.list || "")) return;
  $("call-question").dataset.list = call.list || "";
  $("call-question").hidden = !call.list;
  const answer = (words) => button(words, () => ask("call-answer", { list: call.list, answer: words.toLowerCase() }));
  $("call-question").replaceChildren(...(call.list ? [answer("Yes"), answer("No")] : []));
}

// Whoever replies by the keyboard alone has no microphone open.
function show() {
  $("call").hidden = how().replies !== "microphone" && !call.on;
}

$("call-form").addEventListener("submit", (event) => {
  event.preventDefault();
  kept.set("call group", $("call-group").value);
  attempt(() => (call.on ? ask("call-off") : ask("call-on", { ...how(), group: $("call-group").value })), $("call-on"));
});
$("call-group").addEventListener("change", () => {
  kept.set("call group", $("call-group").value);
  if (call.on) attempt(() => ask("call-on", { ...how(), group: $("call-group").value }));
});
$("how").addEventListener("change", () => {
  show();
  if (call.on) attempt(() => (how().replies === "microphone" ? ask("call-on", { ...how(), group: call.group }) : ask("call-off")));
});
