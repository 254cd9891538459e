import { begin } from "/link.js";
import { $, draw, isOver } from "/session.js";

function place(where) {
  document.body.dataset.place = where;
  $("door").hidden = where !== "door";
  $("session").hidden = where !== "session";
}

begin({ show: draw, place, isOver });
