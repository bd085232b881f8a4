// The history of one fastener: every pull that was placed on it, drawn against its limits and told in a table, with the
// trace of each that was streamed.

import { historyPlot } from "./charts.js";
import { h } from "./elements.js";
import { torque } from "./figures.js";
import { ask } from "./live.js";
import { mark } from "./marks.js";
import { redraw, toolTitle } from "./state.js";
import { t } from "./tongue.js";
import { answerWord, displayedInWords, moment } from "./words.js";

const MOST = 1000;

let asked = null; // {about, rows}: what was asked for last

const aboutOf = (build, fastener) => `${build.id} ${fastener.id} ${build.last?.sequence ?? ""} ${fastener.standing} ${fastener.passes_done}`;

// The rows of a fastener; nothing while they are asked for.
export function historyOf(build, fastener) {
  const about = aboutOf(build, fastener);
  if (asked?.about !== about) {
    asked = { about, rows: asked?.fastener === fastener.id ? asked.rows : null, fastener: fastener.id };
    ask(`/v1/readings?build=${encodeURIComponent(build.id)}&most=${MOST}`).then(({ ok, body }) => {
      if (asked.about !== about || !ok) return;
      asked.rows = body.filter((row) => row.fastener === fastener.id);
      redraw();
    }, () => {});
  }
  return asked.rows;
}

export function historyPart(build, stage, fastener) {
  const rows = historyOf(build, fastener);
  if (!rows) return null;
  const passes = stage.passes_percent.length;
  return h("section", { class: "part", "aria-label": t("history") },
    h("h3", {}, t("history-pulls")),
    rows.length === 0 ? h("p", { class: "quiet" }, t("none-yet")) : [
      historyPlot(rows, fastener),
      h("ol", { class: "pulls" }, rows.map((row, index) => h("li", { class: `is-${row.answer || "held"}` },
        h("span", { class: "pull-number" }, String(index + 1)),
        mark(row.answer || "held"),
        h("span", {}, h("b", {}, row.displayed ? displayedInWords(row.displayed) : t("past-tools-range")), h("span", { class: "word" }, ` ${answerWord(row.answer || "held")}`)),
        h("span", { class: "quiet" }, [moment(row.time), toolTitle(row.tool), passes > 1 && Number.isInteger(row.pass) && t("pass-number", { pass: row.pass + 1 }),
          row.applied_millinewton_metre !== null && t("judged", { value: torque(row.applied_millinewton_metre) }), row.alarm && t("raised-alarm")].filter(Boolean).join(", "))))),
      traceOf(build, fastener)]);
}

// The last pull's trace, where its tool streams.
function traceOf(build, fastener) {
  const { last } = build;
  return last?.traced && last.fastener === fastener.id
    && h("figure", { class: "figure-plot" }, h("figcaption", {}, t("trace-last")), h("img", { class: "trace", src: `/v1/entries/${last.sequence}/trace.svg`, alt: t("trace-alt") }));
}
