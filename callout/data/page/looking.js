// Looking back: sessions, a debrief, trends.

import { $, ask, button, link, make, route, when } from "/kit.js";

const KINDS = { list: "", flight: "Flight: ", drill: "", damaged: "" };

export async function openSessions() {
  $("sessions-said").textContent = "Reading your sessions ...";
  const told = await ask("sessions");
  $("sessions-said").textContent = told.sessions.length ? "" : "There are no sessions yet. Run a list first.";
  $("sessions").replaceChildren(...told.sessions.map((one) => {
    const item = make("li");
    const name = `${KINDS[one.kind]}${one.title}`;
    const debriefed = one.id && one.kind !== "drill";
    item.append(debriefed ? link(name, route("debrief", one.id), "name") : make("span", name, "name"));
    item.append(make("span", [one.when && when(one.when), one.how].filter(Boolean).join(" · "), "more"));
    return item;
  }));
}

export async function openDebrief(session) {
  $("debrief-lines").replaceChildren(make("li", "Looking back ..."));
  $("offers").hidden = true;
  let told;
  try {
    told = await ask("debrief", { session });
  } catch (error) {
    $("debrief-lines").replaceChildren();
    $("debrief-page").hidden = true;
    throw error;
  }
  $("debrief-lines").replaceChildren(
    ...told.lines.map((text) => make("li", text)), ...told.problems.map((text) => make("li", text, "problem")),
  );
  drawOffers(session, told.offers);
  show("debrief-page", told.page);
}

function drawOffers(session, offers) {
  $("offers").hidden = !offers.length;
  $("offers-list").replaceChildren(...offers.map((one) => drawOffer(session, one)));
}

function drawOffer(session, one) {
  const item = make("li");
  const said = `${one.title}, ${one.challenge}: you said "${one.words}", then "${one.right}".`;
  item.append(make("span", said, "name"));
  if (!one.sure) item.append(make("span", "Callout was not sure of these words. Check them.", "more"));
  const decide = async (what, more) => {
    const told = await ask(what, { session, item: one.item, words: one.words, ...more });
    if (!told.ask) { drawOffers(session, told.offers); return; }
    const twice = button("Accept it anyway", () => decide("accept", { twice: true }));
    item.append(make("span", told.ask, "problem"), twice);
    twice.focus();
  };
  item.append(button("Accept it next time", () => decide("accept")), button("Never", () => decide("decline")));
  return item;
}

export async function openTrends() {
  $("trends-said").textContent = "Counting ...";
  $("trends-page").hidden = true;
  try {
    const told = await ask("trends");
    $("trends-said").textContent = told.problems.join(" ");
    show("trends-page", told.page);
  } catch (error) {
    $("trends-said").textContent = "";
    throw error;
  }
}

function show(id, page) {
  $(id).hidden = !page;
  if (page) $(id).src = page;
}
