// Predict first: what is asked before anything is shown, and the gap afterwards, item by item.
import type { Indication, Show, State } from "./answers.ts";
import { button, el, svg, words } from "./dom.ts";
import { losses, reasonOf, reduced } from "./lists.ts";
import { face, isLamp, isMeter, lightSymbol } from "./seat.ts";

export interface Prediction {
  lost: Set<string>; // items and functions
  needles: Map<string, number>;
  ways: Map<string, Way>;
  lamps: Set<string>;
  sure: number; // 1 to 3, 0 not said
}

type Way = "down" | "stays" | "up";

/** Nothing marked yet; lights as they are now. */
export function noPrediction(lit: string[]): Prediction {
  return { lost: new Set(), needles: new Map(), ways: new Map(), lamps: new Set(lit), sure: 0 };
}

export interface PredictHost {
  show: Show;
  repaint(): void;
  commit(): void;
  cancel(): void;
}

function wayWords(i: Indication): Record<Way, string> {
  return (i.low ?? 0) < 0
    ? { down: "to discharge", stays: "stays", up: "to charge" }
    : { down: "falls", stays: "stays", up: "rises" };
}

function step(number: number, title: string, ...more: (Node | string)[]): HTMLElement {
  const head = el("h3", {}, el("span", { class: "step" }, String(number)), title);
  return el("section", { class: "ask" }, head, ...more);
}

/** One needle: three words do what dragging does, so that dragging is never needed. */
function needleQuestion(host: PredictHost, p: Prediction, id: string, i: Indication): HTMLElement {
  const name = words(host.show.parts[id]?.label ?? id);
  const now = i.figure ?? i.low ?? 0;
  const low = i.low ?? 0;
  const high = i.high ?? 1;
  const yours = p.needles.get(id) ?? now;
  const marks = [{ value: now, dashed: true }];
  if (p.needles.has(id)) marks.push({ value: yours, dashed: false });
  const slider = el("input", {
    type: "range",
    min: low,
    max: high,
    step: (high - low) / 120,
    value: yours,
    "aria-label": `Your needle: ${name}`,
    "data-keep": `needle-${id}`,
  });
  const art = el("div", {}, face({ ...i, normal: null }, marks, `${name}, your needle`));
  slider.addEventListener("input", () => {
    const value = Number(slider.value);
    p.needles.set(id, value);
    const small = (high - low) / 40;
    p.ways.set(id, Math.abs(value - now) < small ? "stays" : value < now ? "down" : "up");
    const both = [
      { value: now, dashed: true },
      { value, dashed: false },
    ];
    art.replaceChildren(face({ ...i, normal: null }, both, `${name}, your needle`));
    for (const b of row.querySelectorAll("button"))
      b.setAttribute("aria-pressed", String(b.dataset["way"] === p.ways.get(id)));
  });
  const row = el("div", { class: "ways", role: "group", "aria-label": `${name} goes` });
  const told = wayWords(i);
  for (const way of ["down", "stays", "up"] as const) {
    const jump = (high - low) / 6;
    const act = () => {
      p.ways.set(id, way);
      const to = way === "stays" ? now : way === "down" ? now - jump : now + jump;
      p.needles.set(id, Math.min(high, Math.max(low, to)));
      host.repaint();
    };
    row.append(
      button(told[way], act, {
        "aria-pressed": p.ways.get(id) === way ? "true" : "false",
        "data-way": way,
        "data-keep": `${way}-${id}`,
      }),
    );
  }
  return el("div", { class: "needle-question" }, el("h4", {}, name), art, slider, row);
}

function box(label: string, on: boolean, act: () => void, keep: string): HTMLElement {
  return button(label, act, {
    role: "checkbox",
    class: "tick-box",
    "aria-checked": String(on),
    "data-keep": keep,
  });
}

function flip(set: Set<string>, id: string): void {
  if (!set.delete(id)) set.add(id);
}

function lampQuestion(host: PredictHost, p: Prediction, before: State): HTMLElement {
  const list = el("ul", { class: "lights" });
  for (const id of Object.keys(before.indications)) {
    if (!isLamp(host.show, id)) continue;
    const change = () => {
      flip(p.lamps, id);
      host.repaint();
    };
    const label = words(host.show.parts[id]?.label ?? id);
    list.append(
      el(
        "li",
        { class: "light" },
        lightSymbol(host.show, id, p.lamps.has(id)),
        box(label, p.lamps.has(id), change, `lamp-${id}`),
      ),
    );
  }
  return list;
}

export function howSure(said: number, choose: (sure: number) => void): HTMLElement {
  const name = "How sure are you?";
  const sure = el("div", { class: "choices sure", role: "group", "aria-label": name });
  ["guess", "fairly", "sure"].forEach((word, n) =>
    sure.append(
      button(`${n + 1} ${word}`, () => choose(n + 1), {
        "aria-pressed": said === n + 1 ? "true" : "false",
      }),
    ),
  );
  return sure;
}

/** The rail while predicting. */
export function questions(host: PredictHost, p: Prediction, before: State): HTMLElement {
  const marked = [...p.lost].map((id) => host.show.parts[id]?.label ?? id).map(words);
  const needles = Object.entries(before.indications).filter(([, i]) => isMeter(i));
  const sure = howSure(p.sure, (n) => {
    p.sure = n;
    host.repaint();
  });
  const named = marked.join(", ") || "Mark rows of the diagram, or below it.";
  return el(
    "section",
    { class: "predict", "aria-label": "Your prediction" },
    el("h2", {}, "Your prediction"),
    step(1, `Lost: ${p.lost.size} marked`, el("p", {}, named)),
    step(
      2,
      "Which way do the needles go?",
      el("p", { class: "quiet" }, "Slide, or choose a word. Dashed: now."),
      ...needles.map(([id, i]) => needleQuestion(host, p, id, i)),
    ),
    step(3, "Which lights are lit then?", lampQuestion(host, p, before)),
    step(4, "How sure are you?", sure),
    button("Commit and see", () => host.commit(), {
      class: "solid",
      disabled: p.sure === 0,
    }),
    el(
      "p",
      { class: "quiet center" },
      p.sure ? "Nothing is shown until you commit." : "Say how sure you are, then commit.",
    ),
    button("Leave it", () => host.cancel(), { class: "link" }),
  );
}

/** Functions that no row of the diagram stands for. */
export function elseLost(host: PredictHost, p: Prediction, before: State): HTMLElement {
  const out = el("section", { class: "else-lost" }, el("h2", {}, "What else is lost?"));
  const list = el("ul", { class: "else-list" });
  for (const [id, f] of Object.entries(before.functions)) {
    if (f.status === "lost") continue;
    const change = () => {
      flip(p.lost, id);
      host.repaint();
    };
    list.append(el("li", {}, box(words(id), p.lost.has(id), change, `else-${id}`)));
  }
  out.append(list);
  return out;
}

// ---- the reveal
export type Seen = "seen" | "missed" | "kept";

export interface Gap {
  mark: Seen;
  name: string;
  reason: string;
}

/** What was lost and marked, lost and not marked, marked and kept. */
export function gaps(show: Show, p: Prediction, before: State, after: State): Gap[] {
  const out: Gap[] = [];
  const explained = new Set<string>();
  for (const loss of [...losses(show, after, before), ...reduced(show, after, before)]) {
    loss.ids.forEach((id, n) => {
      const givers = [id, ...(show.functions[id]?.gives ?? [])];
      const functions = Object.entries(show.functions)
        .filter(([, f]) => f.gives.includes(id))
        .map(([f]) => f);
      const all = [...givers, ...functions];
      const marked = all.some((one) => p.lost.has(one));
      all.forEach((one) => explained.add(one));
      out.push({
        mark: marked ? "seen" : "missed",
        name: loss.names[n] ?? id,
        reason: loss.reason,
      });
    });
  }
  for (const id of p.lost) {
    if (explained.has(id)) continue;
    const item = after.equipment[id];
    const gone = item && (item.status === "off" || item.status === "no-data");
    const reason = item?.reason ?? reasonOf(show, after, id);
    const kept = after.functions[id]?.by.map((b) => words(show.parts[b]?.label ?? b)).join(", ");
    out.push({
      mark: gone ? "seen" : "kept",
      name: words(show.parts[id]?.label ?? id),
      reason: gone ? reason : kept ? `Still given by ${kept}.` : "It has its supply.",
    });
  }
  return out;
}

export function diamond(mark: Seen): SVGSVGElement {
  const art = svg("svg", { viewBox: "0 0 24 24", class: `diamond ${mark}`, "aria-hidden": "true" });
  art.append(svg("path", { d: "M12 2L22 12L12 22L2 12Z" }));
  if (mark === "seen") art.append(svg("path", { class: "tick", d: "M7.5 12l3 3l6-6.5" }));
  return art;
}

const MARK_WORDS: Record<Seen, string> = { seen: "seen", missed: "missed", kept: "kept after all" };

export function revealSentence(list: Gap[]): string {
  const lost = list.filter((g) => g.mark !== "kept");
  const seen = lost.filter((g) => g.mark === "seen").length;
  const missed = lost.filter((g) => g.mark === "missed").map((g) => g.name);
  if (!lost.length)
    return list.length
      ? "Nothing is lost: it is all still there."
      : "Nothing is lost, as you said.";
  const tail = missed.length
    ? ` ${missed.slice(0, 3).join(", ")}${missed.length > 3 ? " and more" : ""} went too.`
    : " That was all.";
  return `You saw ${seen} of ${lost.length} lost.${tail}`;
}

export function gapList(list: Gap[]): HTMLElement {
  const out = el("section", { class: "gap" }, el("h2", {}, "The gap, item by item"));
  const ul = el("ul", { class: "gap-list" });
  for (const g of list)
    ul.append(
      el(
        "li",
        {},
        diamond(g.mark),
        el("div", {}, el("b", {}, `${g.name}: ${MARK_WORDS[g.mark]}`), el("p", {}, g.reason)),
      ),
    );
  if (!list.length) ul.append(el("li", {}, "Nothing went, and you marked nothing."));
  out.append(ul);
  return out;
}

function needleGap(
  host: PredictHost,
  p: Prediction,
  id: string,
  before: Indication,
  after: Indication,
): HTMLElement {
  const name = words(host.show.parts[id]?.label ?? id);
  const marks = [];
  const yours = p.needles.get(id);
  if (yours !== undefined) marks.push({ value: yours, dashed: true });
  if (after.figure !== null) marks.push({ value: after.figure, dashed: false });
  const moved = (after.figure ?? 0) - (before.figure ?? 0);
  const still = Math.abs(moved) < ((after.high ?? 1) - (after.low ?? 0)) / 60;
  const told = wayWords(after);
  const way: Way = still ? "stays" : moved < 0 ? "down" : "up";
  const said = p.ways.get(id);
  const yoursSaid = !said ? "" : said === way ? "As you said." : `You said: ${told[said]}.`;
  const line = `${still ? "It stays at" : `It goes ${told[way]}:`} ${after.reading}. ${yoursSaid}`;
  return el(
    "div",
    { class: "needle-question" },
    el("h4", {}, name),
    face(after, marks, `${name}: ${after.reading}`),
    el("p", {}, line),
    el("p", { class: "quiet" }, after.says),
  );
}

export const SURE = ["", "You guessed", "You were fairly sure", "You were sure"];

/** The rail after committing. */
export function reveal(
  host: PredictHost,
  p: Prediction,
  list: Gap[],
  before: State,
  after: State,
  done: () => void,
  again: () => void,
): HTMLElement {
  const rail = el(
    "section",
    { class: "predict", "aria-label": "What happened" },
    el("h2", {}, "The needles"),
  );
  for (const [id, i] of Object.entries(after.indications)) {
    const was = before.indications[id];
    if (isMeter(i) && was) rail.append(needleGap(host, p, id, was, i));
  }
  const lit = Object.entries(after.indications)
    .filter(([id, i]) => isLamp(host.show, id) && (i.figure ?? 0) > 0)
    .map(([id]) => id);
  const label = (id: string) => host.show.parts[id]?.label ?? id;
  const missed = lit.filter((id) => !p.lamps.has(id)).map(label);
  const extra = [...p.lamps].filter((id) => !lit.includes(id)).map(label);
  const lamps = [
    `${lit.map(label).join(", ") || "none"} lit.`,
    missed.length && `You didn't expect ${missed.join(", ")}.`,
    extra.length && `${extra.join(", ")}: out.`,
  ]
    .filter(Boolean)
    .join(" ");
  rail.append(el("p", {}, el("b", {}, "Lights: "), lamps));
  rail.append(el("h2", {}, SURE[p.sure] ?? ""));
  const tally = el("ul", { class: "tally" });
  for (const mark of ["seen", "missed", "kept"] as const) {
    const n = list.filter((g) => g.mark === mark).length;
    if (n)
      tally.append(
        el(
          "li",
          {},
          ...Array.from({ length: Math.min(n, 8) }, () => diamond(mark)),
          ` ${n} ${MARK_WORDS[mark]}`,
        ),
      );
  }
  rail.append(tally);
  if (p.sure === 3 && list.some((g) => g.mark !== "seen"))
    rail.append(el("p", {}, "A surprise while sure is the one worth keeping."));
  rail.append(
    button("Go on", done, { class: "solid" }),
    button("Try this one again", again, { class: "link" }),
  );
  return rail;
}
