// The bench page. It draws what GET /v1/bench answers, follows GET /v1/events, and sends acts to POST /v1/acts.
// It decides nothing: no verdict, no placement and no acknowledgement is shown that the daemon has not given out, and
// the daemon gives them out only when they are on disk. The one thing shown straight from an event is the over alarm,
// because it may not wait for another request; its event, too, comes after the commit.

import { drawAlarm } from "./alarm.js";
import { drawBoard } from "./board.js";
import { drawPedal } from "./keys.js";
import { drawFinished, drawHandover, drawList } from "./list.js";
import { refetch } from "./live.js";
import { drawPin } from "./pin.js";
import { drawMap } from "./map.js";
import { drawLastCheck } from "./measures.js";
import { drawSheet } from "./sheets.js";
import { redraw, redrawWith, shownBuild } from "./state.js";
import { language, t } from "./tongue.js";
import { drawBuilds, drawConnection, drawEmpty, drawFoot, drawRefusal, drawSaid, drawTop, drawUnclaimed } from "./top.js";
import { drawAside, drawDecide, drawLast, drawNext } from "./work.js";

const POLL_MS = 15000; // a connection that died in silence is found by asking

function render() {
  const build = shownBuild();
  document.body.classList.toggle("no-build", !build);
  document.body.classList.toggle("finished", Boolean(build?.finished));
  drawTop();
  drawConnection();
  drawBuilds(build);
  drawBoard();
  drawUnclaimed();
  drawAside(build);
  drawDecide(build);
  drawLast(build);
  drawLastCheck(build);
  if (build?.finished) drawFinished(build); else drawNext(build);
  drawPedal();
  drawMap(build);
  drawList(build);
  drawHandover(build);
  drawEmpty(build);
  drawFoot();
  drawSheet();
  drawPin();
  drawAlarm();
  drawSaid();
  drawRefusal();
}

// What stands in the page from the start has its words from here, too.
document.documentElement.lang = language;
for (const element of document.querySelectorAll("[data-label]")) element.setAttribute("aria-label", t(element.dataset.label));

redrawWith(render);
redraw();
refetch();
setInterval(refetch, POLL_MS);
document.addEventListener("visibilitychange", () => { if (!document.hidden) refetch(); });
