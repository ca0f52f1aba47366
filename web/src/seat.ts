// What the pilot sees: gauges drawn as flat fans, lights as lamp symbols, and what is normal here.
import type { Indication, Show, State } from "./answers.ts";
import { brief, el, refresh, say, set, svg, whole, words } from "./dom.ts";

const HALF_FAN = (48 * Math.PI) / 180;
const WIDTH = 300;
const CENTER = { x: 150, y: 170 };
const RADIUS = 128;

export interface NeedleMark {
  value: number;
  dashed: boolean;
}

function point(angle: number, radius: number): string {
  const x = CENTER.x + radius * Math.sin(angle);
  const y = CENTER.y - radius * Math.cos(angle);
  return `${x.toFixed(1)} ${y.toFixed(1)}`;
}

function angleOf(value: number, low: number, high: number): number {
  const share = (value - low) / (high - low);
  return (Math.min(1.02, Math.max(-0.02, share)) * 2 - 1) * HALF_FAN;
}

function signed(value: number, low: number): string {
  if (low < 0 && value > 0) return `+${value}`;
  return String(value).replace("-", "−");
}

function scaleMarks(low: number, high: number): Node[] {
  const marks: Node[] = [];
  const step = (high - low) / 4;
  for (let i = 0; i <= 12; i++) {
    const value = low + ((high - low) * i) / 12;
    const angle = angleOf(value, low, high);
    const main = i % 3 === 0;
    const inner = main ? RADIUS - 13 : RADIUS - 7;
    marks.push(
      svg("path", {
        class: main ? "tick main" : "tick",
        d: `M${point(angle, RADIUS)}L${point(angle, inner)}`,
      }),
    );
  }
  for (let i = 0; i <= 4; i++) {
    const value = Math.round((low + step * i) * 10) / 10;
    const angle = angleOf(value, low, high);
    // The ends' figures stand outside the fan, whatever their size.
    const anchor = i === 0 ? "end" : i === 4 ? "start" : "middle";
    const [x, y] = point(angle, RADIUS + (anchor === "middle" ? 17 : 7)).split(" ");
    marks.push(
      svg(
        "text",
        { x, y: Number(y) + 5, class: "scale", "text-anchor": anchor },
        signed(value, low),
      ),
    );
  }
  return marks;
}

function needlePath(value: number, low: number, high: number): string {
  const angle = angleOf(value, low, high);
  const tip = point(angle, RADIUS - 3);
  const base = CENTER.y;
  const turn = (a: number, r: number, side: number): string => {
    const x = CENTER.x + r * Math.sin(a) + side * Math.cos(a);
    const y = base - r * Math.cos(a) + side * Math.sin(a);
    return `${x.toFixed(1)} ${y.toFixed(1)}`;
  };
  return `M${tip}L${turn(angle, 45, 5.5)}L${turn(angle, 45, -5.5)}Z`;
}

function needle(mark: NeedleMark, low: number, high: number): Node {
  const d = needlePath(mark.value, low, high);
  return svg("path", { class: mark.dashed ? "needle yours" : "needle", d });
}

/** The face of a meter; `marks`: needles, the true one last. */
/** Without a title it only shows what stands beside it in words. */
export function face(i: Indication, marks: NeedleMark[], title: string): SVGSVGElement {
  const low = i.low ?? 0;
  const high = i.high ?? 1;
  const art = svg("svg", {
    viewBox: `0 12 ${WIDTH} 120`,
    class: "face",
    ...(title ? { role: "img", "aria-label": title } : { "aria-hidden": "true" }),
  });
  art.append(
    svg("path", {
      class: "arc",
      d: `M${point(-HALF_FAN, RADIUS)}A${RADIUS} ${RADIUS} 0 0 1 ${point(HALF_FAN, RADIUS)}`,
    }),
  );
  art.append(...scaleMarks(low, high));
  if (i.normal !== null) {
    const middle = angleOf(i.normal, low, high);
    const r = RADIUS - 17;
    const from = point(Math.max(-HALF_FAN, middle - 0.045), r);
    const to = point(Math.min(HALF_FAN, middle + 0.045), r);
    art.append(svg("path", { class: "band", d: `M${from}A${r} ${r} 0 0 1 ${to}` }));
  }
  for (const mark of marks) art.append(needle(mark, low, high));
  return art;
}

export function isMeter(i: Indication): boolean {
  return i.low !== undefined && i.high !== undefined && i.low < i.high;
}

export function isLamp(show: Show, id: string): boolean {
  const kind = show.parts[id]?.kind;
  return kind === "light" || kind === "sounder";
}

/** One or two words on how the reading stands to what is normal. */
function beside(i: Indication): string {
  const first = i.says.split(/[:.]/)[0] ?? "";
  return first.length <= 24 ? first : "";
}

/** A meter whose needle and figure follow the state; its scale is drawn once. */
class Meter {
  readonly box: HTMLElement;
  private readonly name: string;
  private readonly big = el("span", { class: "big" });
  private readonly beside = el("p");
  private readonly says = el("p");
  private readonly dial = el("div");

  constructor(show: Show, id: string) {
    const part = show.parts[id];
    this.name = words(part?.label ?? id);
    this.box = el(
      "div",
      { class: "meter" },
      el(
        "div",
        { class: "meter-head" },
        el("div", {}, el("h3", {}, this.name), el("p", { class: "quiet" }, part?.reads ?? "")),
        el("div", { class: "meter-figure" }, this.big, this.beside),
      ),
      this.dial,
      el("details", {}, el("summary", {}, "What it says"), this.says),
    );
  }

  update(i: Indication): void {
    // "−60 A, at its stop": the figure stands large, what is said of it below; words stand smaller.
    const [figure = "", ...more] = i.reading.split(", ");
    say(this.big, figure);
    this.big.classList.toggle("said", !/\d/.test(figure));
    say(this.beside, more.join(", ") || beside(i));
    say(this.says, i.says);
    const title = `${this.name}: ${i.reading}`;
    const shown = i.figure !== null;
    refresh(this.dial, JSON.stringify([i.low, i.high, i.normal, shown]), () => [
      face(i, i.figure === null ? [] : [{ value: i.figure, dashed: false }], title),
    ]);
    const art = this.dial.firstElementChild;
    if (art) set(art, "aria-label", title);
    const hand = this.dial.querySelector(".needle");
    if (hand && i.figure !== null) set(hand, "d", needlePath(i.figure, i.low ?? 0, i.high ?? 1));
  }
}

/** A disc with rays where it is lit, with a cross where it isn't. */
function lampSymbol(lit: boolean): SVGSVGElement {
  const art = svg("svg", {
    viewBox: "0 0 28 28",
    class: lit ? "lamp lit" : "lamp",
    "aria-hidden": "true",
  });
  if (!lit) {
    art.append(
      svg("circle", { cx: 14, cy: 14, r: 8 }),
      svg("path", { d: "M8.3 8.3L19.7 19.7M19.7 8.3L8.3 19.7" }),
    );
    return art;
  }
  art.append(svg("circle", { cx: 14, cy: 14, r: 7 }));
  for (let n = 0; n < 8; n++) {
    const a = (n * Math.PI) / 4;
    const at = (r: number) =>
      `${(14 + r * Math.cos(a)).toFixed(1)} ${(14 + r * Math.sin(a)).toFixed(1)}`;
    art.append(svg("path", { d: `M${at(9)}L${at(13)}` }));
  }
  return art;
}

/** Its waves stand before it while it sounds. */
function hornSymbol(sounds: boolean): SVGSVGElement {
  return svg(
    "svg",
    { viewBox: "0 0 28 28", class: sounds ? "lamp lit" : "lamp", "aria-hidden": "true" },
    svg("path", { d: "M5 10.5h5v7h-5zM10 10.5L17 6v16L10 17.5" }),
    sounds && svg("path", { d: "M20 10q3 4 0 8M23 7q5 7 0 14" }),
  );
}

export function lightSymbol(show: Show, id: string, on: boolean): SVGSVGElement {
  return show.parts[id]?.kind === "sounder" ? hornSymbol(on) : lampSymbol(on);
}

export function lamp(show: Show, id: string, i: Indication): Node[] {
  const name = words(show.parts[id]?.label ?? id);
  return [
    lightSymbol(show, id, (i.figure ?? 0) > 0),
    el("span", { class: "light-name" }, name),
    el("span", { class: "light-state" }, i.reading),
  ];
}

/** The rail: every meter, every light, every gauge that tells when it is dead. */
export class Seat {
  readonly box = el(
    "section",
    { class: "seat", "aria-label": "What the seat shows" },
    el("h2", {}, "What the seat shows"),
  );
  private readonly slots = new Map<string, HTMLElement>();
  private readonly meters = new Map<string, Meter>();

  constructor(
    private readonly show: Show,
    first: State,
  ) {
    const meters = el("div", { class: "meters" });
    const lamps = el("ul", { class: "lights" });
    const others = el("ul", { class: "others" });
    for (const [id, i] of Object.entries(first.indications)) {
      const metered = isMeter(i);
      const slot = metered ? el("div") : el("li");
      (metered ? meters : isLamp(show, id) ? lamps : others).append(slot);
      this.slots.set(id, slot);
    }
    this.box.append(meters, lamps, others);
    this.update(first);
  }

  update(now: State): void {
    for (const [id, slot] of this.slots) slot.hidden = now.indications[id] === undefined;
    for (const [id, i] of Object.entries(now.indications)) this.one(id, i);
  }

  private one(id: string, i: Indication): void {
    let slot = this.slots.get(id);
    if (!slot) {
      slot = el("li");
      this.box.querySelector(".others")?.append(slot);
      this.slots.set(id, slot);
    }
    if (isMeter(i)) {
      const made = this.meters.get(id) ?? new Meter(this.show, id);
      this.meters.set(id, made);
      refresh(slot, "meter", () => [made.box]);
      made.update(i);
      return;
    }
    refresh(slot, JSON.stringify(i), () => {
      if (isLamp(this.show, id)) return lamp(this.show, id, i);
      const name = words(this.show.parts[id]?.label ?? id);
      return [el("span", {}, name), el("span", { title: i.says }, i.reading)];
    });
    if (isLamp(this.show, id)) set(slot, "class", (i.figure ?? 0) > 0 ? "light lit" : "light");
  }
}

const METERS_ABREAST = 3;

/** Volts, amps and lights of each phase as it should be; the present one stands out. */
export function normalTable(show: Show, normal: Map<string, State>, phase: string): HTMLElement {
  const first = normal.values().next().value as State | undefined;
  const meters = first
    ? Object.keys(first.indications).filter(
        (id) => first.indications[id]?.unit || show.parts[id]?.reads,
      )
    : [];
  const tables = Math.max(1, Math.ceil(meters.length / METERS_ABREAST));
  const abreast = Math.ceil(meters.length / tables);
  const all = Array.from({ length: tables }, (_, n) =>
    normalOf(show, normal, phase, meters.slice(n * abreast, (n + 1) * abreast), n === 0),
  );
  return el(
    "div",
    { class: "scroll normals", tabindex: "0", role: "region", "aria-label": "Normal readings" },
    ...all,
  );
}

function normalOf(
  show: Show,
  normal: Map<string, State>,
  phase: string,
  meters: string[],
  lights: boolean,
): HTMLElement {
  const head = el(
    "tr",
    {},
    el("th", { scope: "col" }, `Normal for ${brief(show.tail || show.name)}`),
  );
  for (const id of meters)
    head.append(el("th", { scope: "col", class: "number" }, words(show.parts[id]?.label ?? id)));
  const body = el("tbody");
  for (const [name, s] of normal) {
    const lit = Object.entries(s.indications)
      .filter(([id, i]) => lights && isLamp(show, id) && (i.figure ?? 0) > 0)
      .map(([id]) => brief(show.parts[id]?.label ?? id));
    const chosen: Record<string, string> =
      name === phase ? { class: "chosen", "aria-current": "true" } : {};
    const span = lit.length ? { rowspan: "2" } : {};
    const row = el("tr", chosen, el("th", { scope: "row", ...span }, words(name)));
    for (const id of meters) {
      const reading = whole(s.indications[id]?.reading ?? "");
      row.append(el("td", { class: "number", title: reading }, /\d/.test(reading) ? reading : "–"));
    }
    body.append(row);
    if (lit.length)
      body.append(
        el("tr", chosen, el("td", { colspan: `${meters.length || 1}` }, `lit: ${lit.join(", ")}`)),
      );
  }
  return el("table", { class: "normal" }, el("thead", {}, head), body);
}
