// What a pilot can tell from the seat, and nothing else: needles, lights, what works, what is out.
// No amps but those of a meter, no reason.
import type { Indication, Show, State } from "./answers.ts";
import { isSeen, isSeenOut, protectors } from "./breakers.ts";
import { el, whole, words } from "./dom.ts";
import { face, isLamp, isMeter, lamp } from "./seat.ts";

const label = (show: Show, id: string) => words(show.parts[id]?.label ?? id);
const isLit = (i: Indication) => (i.figure ?? 0) > 0;

function lit(show: Show, s: State): string {
  const all = Object.entries(s.indications).filter(([id, i]) => isLamp(show, id) && isLit(i));
  return all.map(([id]) => show.parts[id]?.label ?? id).join(", ") || "nothing";
}

/** Needles and figures, and gauges that have stopped telling. */
function readings(show: Show, s: State): [string, string][] {
  return Object.entries(s.indications)
    .filter(([id]) => !isLamp(show, id))
    .map(([id, i]) => [label(show, id), i.reading]);
}

/** Only what is read off the panel; `after`: what the clock says, if it has run. */
export function seatSentence(show: Show, now: State, after: string): string {
  const read = readings(show, now).map(([name, reading]) => `${name} ${reading}.`);
  const first = after ? `Something failed ${after} ago.` : "Something has failed.";
  return [first, ...read, `Lit: ${lit(show, now)}.`].join(" ");
}

const WORKS: Record<string, string> = {
  off: "Doesn't work",
  "no-data": "On, no data",
  weak: "Weak",
  on: "Works",
  unused: "Switched off",
};

const SAID: Record<string, [string, string]> = {
  "Doesn't work": ["doesn't work", "don't work"],
  "On, no data": ["has no data", "have no data"],
  Weak: ["is weak", "are weak"],
  Works: ["works", "work"],
  "Switched off": ["is off", "are off"],
};

// A heater, a sender or a pump tells of itself only by a needle or a light.
const NOTICED = /^(lamp|led|motor|instrument|radio|display|converter|mechanism)$/;

function isNoticed(show: Show, id: string): boolean {
  const kind = show.parts[id]?.kind ?? "";
  if (kind !== "equipment") return NOTICED.test(kind);
  return Object.values(show.functions).some((f) => [...f.gives, ...f.gives_partly].includes(id));
}

/** Items by how they stand; the engine among them. */
function noticed(show: Show, s: State): Map<string, string[]> {
  const out = new Map<string, string[]>(Object.values(WORKS).map((w) => [w, []]));
  for (const [id, e] of Object.entries(s.equipment))
    if (isNoticed(show, id) && !(id in s.indications))
      out.get(WORKS[e.status] ?? "")?.push(label(show, id));
  for (const [name, f] of Object.entries(show.functions)) {
    const [engine] = f.gives.filter((id) => show.parts[id]?.kind === "engine");
    const lost = s.functions[name]?.status === "lost";
    if (engine) out.get(lost ? "Doesn't work" : "Works")?.push(label(show, engine));
  }
  return out;
}

/** A state and what fails in it: a breaker that stands out is seen. */
export interface Seen {
  state: State;
  fails: string[];
}

function standOut(show: Show, s: Seen): string[] {
  const out = (id: string) => isSeen(show, id) && isSeenOut(show, s.state, s.fails, id);
  return protectors(show).filter(out);
}

/** What of `one` is seen otherwise in `other`: "Ammeter 0 A instead of +6 A". */
export function differences(show: Show, one: Seen, other: Seen): string[] {
  const out: string[] = [];
  const [mine, theirs] = [one.state.indications, other.state.indications];
  for (const id of new Set([...Object.keys(mine), ...Object.keys(theirs)])) {
    const [now, then] = [mine[id]?.reading ?? "reads as usual", theirs[id]?.reading];
    if (now !== then) out.push(`${label(show, id)} ${now}${then ? ` instead of ${then}` : ""}`);
  }
  const there = noticed(show, other.state);
  for (const [how, names] of noticed(show, one.state)) {
    const more = names.filter((n) => !there.get(how)?.includes(n));
    const said = SAID[how] ?? [];
    if (more.length) out.push(`${more.join(", ")} ${said[more.length > 1 ? 1 : 0]}`);
  }
  const [stands, stood] = [standOut(show, one), standOut(show, other)];
  const without = (all: string[], some: string[], how: string) =>
    all
      .filter((id) => !some.includes(id))
      .forEach((id) => out.push(`${show.parts[id]?.name ?? id} ${how}`));
  without(stands, stood, "is out");
  without(stood, stands, "is in");
  return out;
}

export function noticedList(show: Show, now: State): HTMLElement {
  const list = el("dl");
  for (const [how, names] of noticed(show, now))
    if (names.length)
      list.append(el("dt", {}, how), el("dd", {}, names.map((n) => whole(n)).join(", ")));
  return el("section", { class: "noticed" }, el("h2", {}, "What you notice"), list);
}

/** The panel, and what it shows when nothing has failed. */
export function quietSeat(show: Show, now: State, normal: State): HTMLElement {
  const box = el(
    "section",
    { class: "seat", "aria-label": "What the seat shows" },
    el("h2", {}, "What the seat shows"),
  );
  const lamps = el("ul", { class: "lights" });
  for (const [id, i] of Object.entries(now.indications)) {
    const name = label(show, id);
    if (isLamp(show, id)) {
      lamps.append(el("li", { class: isLit(i) ? "light lit" : "light" }, ...lamp(show, id, i)));
      continue;
    }
    const figure = el("span", { class: /\d/.test(i.reading) ? "big" : "" }, i.reading);
    box.append(el("div", { class: "meter-head" }, el("h3", {}, name), figure));
    const marks = i.figure === null ? [] : [{ value: i.figure, dashed: false }];
    if (isMeter(i)) box.append(face(i, marks, `${name}: ${i.reading}`));
  }
  const usual = readings(show, normal).map(([name, reading]) => `${name} ${reading}`);
  box.append(
    lamps,
    el(
      "p",
      {},
      `When all is well in ${words(normal.phase).toLowerCase()}: `,
      [...usual, `lit ${lit(show, normal)}`].join(", "),
      ".",
    ),
  );
  return box;
}
