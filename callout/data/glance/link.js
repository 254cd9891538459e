// The door and the connection. A page that lost its server says so, and finds the next one by itself.

const $ = (id) => document.getElementById(id);
const SILENT_MS = 9000; // the server is heard at least every three seconds
const page = { show: () => {}, place: () => {}, isOver: () => false, lost: "callout does not answer. Trying again." };
let socket = null, heardAt = 0, pause = 500, retry = 0, connecting = false;

export function post(what) {
  const open = Boolean(socket) && socket.readyState === WebSocket.OPEN;
  if (open) socket.send(JSON.stringify(what));
  return open;
}

export const connected = () => Boolean(socket) && !document.body.classList.contains("stale");

/* ---- the door ---- */

async function known() {
  const answer = await fetch("/here", { signal: AbortSignal.timeout(4000) });
  if (!answer.ok) throw new Error("no answer");
  return (await answer.text()) === "in";
}

async function enter(code) {
  const answer = await fetch("/enter", {
    method: "POST", headers: { "Content-Type": "application/json" },
    body: JSON.stringify({ code }),
  });
  if (answer.ok) return "";
  if (answer.status === 429) return `Too many tries. Wait ${answer.headers.get("Retry-After")} seconds.`;
  return "That is not the code on the terminal. Each code admits one device.";
}

$("enter").addEventListener("submit", async (event) => {
  event.preventDefault();
  try {
    $("refused").textContent = await enter($("code").value);
  } catch {
    $("refused").textContent = "callout does not answer. Is it running?";
    return;
  }
  if (!$("refused").textContent) { $("code").value = ""; connect(); } else $("code").select();
});

/* ---- the connection ---- */

function stale(on, text) {
  document.body.classList.toggle("stale", on);
  document.body.classList.toggle("over", page.isOver() && !on);
  if ($("stale").textContent !== text) $("stale").textContent = text;
  for (const button of document.querySelectorAll("#session button")) button.disabled = on;
}

function lost() {
  if (socket) { socket.onclose = null; socket.close(); socket = null; }
  if (page.isOver()) stale(false, "The session is over. The next one will appear here.");
  else if (heardAt) {
    stale(true, `Connection lost. Shown as it was at ${new Date(heardAt).toLocaleTimeString()}. Trying again.`);
  } else stale(false, page.lost);
  clearTimeout(retry);
  retry = setTimeout(connect, pause);
  pause = Math.min(pause * 1.7, 4000);
}

async function connect() {
  if (connecting || (socket && socket.readyState === WebSocket.OPEN)) return;
  connecting = true;
  try { await look(); } finally { connecting = false; }
}

async function look() {
  clearTimeout(retry);
  let here;
  try {
    here = await known();
  } catch { lost(); return; }
  if (!here) {
    stale(false, "");
    if ($("door").hidden) { page.place("door"); $("code").focus(); }
    return;
  }
  socket = new WebSocket(`ws://${location.host}/live`);
  socket.onclose = lost;
  socket.onmessage = (event) => {
    heardAt = Date.now();
    pause = 500;
    const told = JSON.parse(event.data);
    if (told.kind === "screen") { page.place("session"); page.show(told); }
    if ($("stale").textContent) stale(false, "");
  };
}

// show: draws a screen. place: shows the door or what is behind it. isOver: nothing more will come.
export async function begin(wanted) {
  Object.assign(page, wanted);
  setInterval(() => { if (socket && heardAt && Date.now() - heardAt > SILENT_MS) lost(); }, 1000);
  addEventListener("online", connect);
  document.addEventListener("visibilitychange", () => {
    if (!document.hidden && !socket) connect();
  });
  const code = decodeURIComponent(location.hash.slice(1));
  if (code && !code.startsWith("/")) {
    history.replaceState(null, "", "/");
    try {
      if (!(await known())) $("refused").textContent = await enter(code);
    } catch { /* connect() says so */ }
  }
  connect();
}
