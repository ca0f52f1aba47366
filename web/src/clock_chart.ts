// Volts, amps and charge against time: the past solid, the low case a thin solid line and named
// first, the likely one dashed; a dotted line where the first function is lost.
import type { Run, Show } from "./answers.ts";
import { svg, words } from "./dom.ts";

export interface Drawn {
  art: SVGSVGElement;
  /** Moves the line between past and future. */
  at(seconds: number): void;
}

const WIDE = 340;
const LEFT = 40;
const RIGHT = WIDE - 8;
const SINK = 18; // between two plots
const TITLE = 16; // over the highest line of one

interface Plot {
  name: string;
  unit: string;
  tall: number;
  of: (run: Run) => number[];
  least: number; // the smallest range shown
  factor: number;
}

function plots(show: Show, run: Run): Plot[] {
  const node = Object.keys(run.trace.nodes)[0] ?? "";
  const part = Object.keys(run.trace.parts)[0] ?? "";
  const battery = Object.keys(run.trace.batteries)[0] ?? "";
  const label = (id: string) => show.parts[id]?.label ?? show.parts[id]?.name ?? id;
  const all: Plot[] = [];
  const put = (
    id: string,
    name: string,
    unit: string,
    tall: number,
    least: number,
    factor: number,
  ) => {
    const of = (r: Run) =>
      (unit === "V" ? r.trace.nodes : unit === "A" ? r.trace.parts : r.trace.batteries)[id] ?? [];
    if (id) all.push({ name, unit, tall, of, least, factor });
  };
  put(node, `Volts, ${label(node)}`, "V", 84, 4, 1);
  put(part, `Amps, ${label(part)}`, "A", 56, 10, 1);
  put(battery, `Charge, ${label(battery)}`, "%", 56, 20, 100);
  return all;
}

/** A step of 1, 2 or 5 that cuts a range into at most `most`. */
function step(range: number, most: number): number {
  const power = 10 ** Math.floor(Math.log10(range / most));
  return ([1, 2, 5, 10].find((n) => range / (n * power) <= most) ?? 10) * power;
}

function path(
  times: number[],
  values: number[],
  x: (t: number) => number,
  y: (v: number) => number,
) {
  let d = "";
  let lastX = -1;
  times.forEach((t, i) => {
    const px = Math.round(x(t) * 2) / 2;
    const next = times[i + 1];
    // Of many rows on one spot the last is enough.
    if (px === lastX && next !== undefined && Math.round(x(next) * 2) / 2 === px) return;
    if (px > RIGHT) return;
    d += `${d ? "L" : "M"}${px},${y(values[i] ?? 0).toFixed(1)}`;
    lastX = px;
  });
  return d;
}

function text(x: number, y: number, words: string, anchor = "start"): SVGTextElement {
  return svg("text", { x, y, class: "scale", "text-anchor": anchor }, words);
}

/** What the lines are, the low case first. */
function legend(limit: string): SVGElement[] {
  const out: SVGElement[] = [];
  const put = (x: number, line: string, name: string) =>
    out.push(svg("path", { class: line, d: `M${x},9h22` }), text(x + 28, 13, name));
  put(2, "low", "low case");
  put(96, "likely", "likely");
  if (limit) put(176, "gone", limit);
  return out;
}

function minutes(seconds: number): string {
  const m = Math.round(seconds / 60);
  return m < 60 ? `${m}` : `${Math.floor(m / 60)}:${String(m % 60).padStart(2, "0")}`;
}

/** One quantity against time, with its scale: what was, what comes, and the low case. */
function curves(
  p: Plot,
  likely: Run,
  low: Run,
  top: number,
  x: (t: number) => number,
): SVGElement[] {
  const out: SVGElement[] = [];
  const series = [likely, low].map((r) => p.of(r).map((v) => v * p.factor));
  const seen = series.flat();
  let lowest = Math.min(...seen);
  let highest = Math.max(...seen);
  if (p.unit === "%") [lowest, highest] = [0, 100];
  const missing = Math.max(0, p.least - (highest - lowest)) / 2;
  const unit = step(highest - lowest + 2 * missing, p.tall > 60 ? 4 : 2);
  lowest = Math.floor((lowest - missing) / unit) * unit;
  highest = Math.ceil((highest + missing) / unit) * unit;
  const base = top + p.tall;
  const y = (v: number) => base - ((v - lowest) / (highest - lowest)) * (p.tall - TITLE);
  for (let v = lowest; v <= highest + unit / 2; v += unit) {
    out.push(svg("path", { class: "grid", d: `M${LEFT},${y(v).toFixed(1)}H${RIGHT}` }));
    out.push(text(LEFT - 6, y(v) + 4, String(Math.round(v)).replace("-", "−"), "end"));
  }
  out.push(
    svg("path", { class: "low", d: path(low.trace.t, series[1] ?? [], x, y) }),
    svg("path", {
      class: "likely",
      "clip-path": "url(#clock-ahead)",
      d: path(likely.trace.t, series[0] ?? [], x, y),
    }),
    svg("path", {
      class: "happened",
      "clip-path": "url(#clock-past)",
      d: path(likely.trace.t, series[0] ?? [], x, y),
    }),
  );
  return out;
}

export function chart(show: Show, likely: Run, low: Run, end: number): Drawn {
  const all = plots(show, likely);
  const x = (t: number) => LEFT + (t / end) * (RIGHT - LEFT);
  const height = all.reduce((sum, p) => sum + p.tall + SINK, 0) + 44;
  const clip = svg("rect", { x: LEFT, y: 0, width: 0, height });
  const ahead = svg("rect", { x: LEFT, y: 0, width: RIGHT - LEFT, height });
  const now = svg("path", { class: "now" });
  const art = svg(
    "svg",
    { viewBox: `0 0 ${WIDE} ${height}`, class: "clock-chart", role: "img" },
    svg("title", {}, "Volts, amps and charge against time; the low case is the thin line"),
    svg(
      "defs",
      {},
      svg("clipPath", { id: "clock-past" }, clip),
      svg("clipPath", { id: "clock-ahead" }, ahead),
    ),
  );
  const gone = low.events.find((e) => e.what === "lost" && e.t <= end);
  art.append(...legend(gone ? `${words(gone.part ?? "").toLowerCase()} lost` : ""));
  const titles: SVGTextElement[] = [];
  const spans: [number, number][] = []; // of each plot, from its highest line to its lowest
  let top = 26;
  for (const p of all) {
    art.append(...curves(p, likely, low, top, x));
    titles.push(text(LEFT, top + 8, `${p.name} (${p.unit})`));
    spans.push([top + TITLE, top + p.tall]);
    top += p.tall + SINK;
  }
  // A moment is a line through every plot; through no title.
  const moment = (px: number) => spans.map(([a, b]) => `M${px.toFixed(1)},${a}V${b}`).join("");
  const foot = top - 2;
  const every = step(end / 60, 5) * 60;
  for (let t = 0; t <= end; t += every) {
    art.append(svg("path", { class: "grid", d: `M${x(t).toFixed(1)},${foot - 12}v5` }));
    art.append(
      text(x(t), foot + 8, t + every > end ? `${minutes(t)} min` : minutes(t), t ? "end" : "start"),
    );
  }
  if (gone) art.append(svg("path", { class: "gone", d: moment(x(gone.t)) }));
  art.append(now, ...titles);
  return {
    art,
    at(seconds) {
      const px = x(Math.min(seconds, end));
      clip.setAttribute("width", String(Math.max(0, px - LEFT)));
      ahead.setAttribute("x", String(px));
      ahead.setAttribute("width", String(Math.max(0, RIGHT - px)));
      now.setAttribute("d", moment(px));
    },
  };
}
