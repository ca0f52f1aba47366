// The diagram that one operates. The core draws it; here its spots become switches: one stop for
// the Tab key, arrows to move, Space or Enter to operate.
import type { Part, Show, State } from "./answers.ts";
import type { BarState } from "./bus_strip.ts";
import { set, svg } from "./dom.ts";
import { Drawing } from "./drawing.ts";

export interface Marks {
  /** ids of items marked as lost while predicting */
  lost: Set<string>;
  toggle(id: string): void;
  items: Set<string>;
}

export interface DiagramHost {
  show: Show;
  operate(id: string): void;
  select(id: string): void;
}

export function isOperable(part: Part | undefined): boolean {
  return !!part?.positions && part.positions.length > 1 && part.reach !== "absent";
}

/** Two positions, so that it is a switch and not a choice. */
export function isTwoWay(part: Part): boolean {
  return part.positions?.length === 2;
}

export function isClosed(part: Part, word: string): boolean {
  return word !== part.positions?.[0] && word !== "0%";
}

export class Diagram {
  readonly box: HTMLElement;
  private spots: SVGRectElement[] = [];
  private focused = "";
  private marked = false;
  private readonly drawing: Drawing;

  constructor(private readonly host: DiagramHost) {
    this.box = document.createElement("div");
    this.box.className = "drawing";
    this.drawing = new Drawing(this.box);
    this.box.addEventListener("click", (e) => this.click(e));
    this.box.addEventListener("keydown", (e) => this.key(e));
    this.box.addEventListener("focusin", (e) => this.enter(e));
  }

  get art(): SVGSVGElement | null {
    return this.drawing.root;
  }

  draw(text: string, state: State, chosen: string, marks: Marks | null): void {
    const had = this.box.contains(document.activeElement);
    // Marks are drawn over the diagram: it starts afresh with them and after them.
    if (marks || this.marked) this.box.replaceChildren();
    this.marked = marks !== null;
    for (const fresh of this.drawing.show(text)) {
      if (fresh.nodeName === "text") fresh.setAttribute("aria-hidden", "true");
      else if (fresh.matches(".spot")) fresh.setAttribute("rx", "6");
    }
    const art = this.drawing.root;
    if (!art) return;
    art.setAttribute("role", "group");
    art.removeAttribute("aria-labelledby");
    art.setAttribute("aria-label", "Diagram. Arrows move, a letter finds, Space operates.");
    this.spots = [];
    if (marks) this.dressForMarks(art, marks);
    else this.dress(art, state, chosen);
    const first = this.spots.find((s) => s.dataset["part"] === this.focused) ?? this.spots[0];
    for (const spot of this.spots) set(spot, "tabindex", spot === first ? "0" : "-1");
    if (had && document.activeElement !== first) first?.focus({ preventScroll: true });
  }

  showBus(id: string): void {
    const bar = this.box.querySelector(`rect.spot[data-kind="bus"][data-part="${CSS.escape(id)}"]`);
    bar?.scrollIntoView({ block: "start" });
  }

  /** The core tells it by the bar's class; a dead one is an outline that stands elsewhere. */
  bars(): Map<string, BarState> {
    const fed = new Map<string, BarState>();
    const out = new Map<string, BarState>();
    const of = "rect.c-draining, rect.c-live, rect.spot[data-kind=bus]";
    for (const bar of this.box.querySelectorAll<SVGRectElement>(of)) {
      const at = `${bar.getAttribute("x")} ${bar.getAttribute("y")}`;
      const id = bar.dataset["part"];
      const live = bar.classList.contains("c-live");
      // The spots are drawn after all bars.
      if (!id) fed.set(at, live || fed.get(at) === "live" ? "live" : "draining");
      else if (!out.has(id)) out.set(id, fed.get(at) ?? "dead");
    }
    return out;
  }

  private dress(art: SVGSVGElement, state: State, chosen: string): void {
    const spots = (of: string) => art.querySelectorAll<SVGRectElement>(`rect.spot${of}`);
    const is = `[data-part="${CSS.escape(chosen)}"]:not([data-kind=bus])`;
    for (const spot of spots(".chosen")) if (!spot.matches(is)) spot.classList.remove("chosen");
    for (const spot of spots(is)) spot.classList.add("chosen");
    const seen = new Set<string>();
    for (const spot of spots("[data-kind=symbol]")) {
      const id = spot.dataset["part"] ?? "";
      const part = this.host.show.parts[id];
      if (!part || seen.has(id)) continue;
      seen.add(id);
      this.dressSymbol(spot, id, part, state);
    }
  }

  private dressSymbol(spot: SVGRectElement, id: string, part: Part, state: State): void {
    const word = state.settings[id] ?? "";
    const operable = isOperable(part);
    spot.classList.toggle("operable", operable);
    const two = operable && isTwoWay(part);
    set(spot, "role", two ? "switch" : "button");
    if (two) set(spot, "aria-checked", String(isClosed(part, word)));
    set(spot, "aria-label", word ? `${part.name}, ${word}` : part.name);
    this.spots.push(spot);
  }

  /** While predicting every item's row carries a box to cross. */
  private dressForMarks(art: SVGSVGElement, marks: Marks): void {
    const seen = new Set<string>();
    for (const spot of art.querySelectorAll<SVGRectElement>("rect.spot[data-kind=row]")) {
      const id = spot.dataset["part"] ?? "";
      if (!marks.items.has(id) || seen.has(id)) continue;
      seen.add(id);
      const row = rowOf(spot);
      const on = marks.lost.has(id);
      const amps = clearRow(art, row, on);
      // Where the amps stand under a long name, the box does.
      const top = Math.max(row.y + Math.min(15, row.h / 2) - 11, amps - 17);
      const x = row.mirror ? row.x : row.x + row.w - 22;
      art.append(svg("rect", { class: "check-box", x, y: top, width: 22, height: 22, rx: 4 }));
      if (on)
        art.append(svg("path", { class: "cross", d: `M${x + 5} ${top + 5}l12 12m0 -12l-12 12` }));
      spot.setAttribute("role", "checkbox");
      spot.setAttribute("aria-checked", String(on));
      spot.setAttribute("aria-label", `${this.host.show.parts[id]?.name ?? id} is lost`);
      spot.setAttribute("tabindex", "-1");
      spot.classList.add("operable");
      spot.dataset["mark"] = id;
      art.append(spot);
      this.spots.push(spot);
    }
  }

  private click(e: Event): void {
    const spot = (e.target as Element).closest<SVGRectElement>("rect.spot");
    if (!spot) return;
    this.act(spot);
  }

  private act(spot: SVGRectElement): void {
    const id = spot.dataset["part"] ?? "";
    const show = this.host.show;
    this.focused = id;
    if (spot.dataset["mark"]) {
      this.host.operate(id);
      return;
    }
    const paths = (spot.dataset["paths"] ?? "").split(" ").filter((p) => isOperable(show.parts[p]));
    if (spot.dataset["kind"] === "row" && paths.length) {
      // The row is the target: its switch, or its breaker where it has none.
      this.focused = paths[paths.length - 1] ?? id;
      this.host.operate(this.focused);
    } else if (isOperable(show.parts[id])) this.host.operate(id);
    else if (show.parts[id]) this.host.select(id);
  }

  private enter(e: Event): void {
    const spot = (e.target as Element).closest<SVGRectElement>("rect.spot");
    if (!spot) return;
    this.spots.forEach((s) => s.setAttribute("tabindex", s === spot ? "0" : "-1"));
    this.focused = spot.dataset["part"] ?? "";
  }

  private key(e: KeyboardEvent): void {
    const spot = (e.target as Element).closest<SVGRectElement>("rect.spot");
    if (!spot) return;
    if (e.key === " " || e.key === "Enter") {
      e.preventDefault();
      this.act(spot);
      return;
    }
    const plain = !e.ctrlKey && !e.metaKey && !e.altKey;
    const next = e.key.length === 1 && plain ? this.named(spot, e.key) : this.neighbor(spot, e.key);
    if (!next) return;
    e.preventDefault();
    this.rove(next);
  }

  private rove(to: SVGRectElement): void {
    this.spots.forEach((s) => s.setAttribute("tabindex", s === to ? "0" : "-1"));
    to.focus();
  }

  /** The next one whose name begins with the letter. */
  private named(from: SVGRectElement, letter: string): SVGRectElement | null {
    const at = this.spots.indexOf(from) + 1;
    const begins = (s: SVGRectElement) =>
      s.getAttribute("aria-label")?.toLowerCase().startsWith(letter.toLowerCase());
    return [...this.spots.slice(at), ...this.spots.slice(0, at)].find(begins) ?? null;
  }

  private neighbor(from: SVGRectElement, key: string): SVGRectElement | null {
    if (key === "Home") return this.spots[0] ?? null;
    if (key === "End") return this.spots[this.spots.length - 1] ?? null;
    const at = middle(from);
    let best: SVGRectElement | null = null;
    let least = Infinity;
    for (const spot of this.spots) {
      if (spot === from) continue;
      const to = middle(spot);
      const dx = to.x - at.x;
      const dy = to.y - at.y;
      const along =
        key === "ArrowDown"
          ? dy
          : key === "ArrowUp"
            ? -dy
            : key === "ArrowRight"
              ? dx
              : key === "ArrowLeft"
                ? -dx
                : 0;
      if (along <= 2) continue;
      const across = key === "ArrowDown" || key === "ArrowUp" ? Math.abs(dx) : Math.abs(dy);
      const cost = along + across * 3;
      if (cost < least) {
        least = cost;
        best = spot;
      }
    }
    return best;
  }
}

interface Row {
  x: number;
  y: number;
  w: number;
  h: number;
  mirror: boolean; // its bar stands to the right, its amps to the left
}

function rowOf(spot: SVGRectElement): Row {
  const of = (name: string) => Number(spot.getAttribute(name));
  const mirror = spot.dataset["bar"] === "right";
  return { x: of("x"), y: of("y"), w: of("width"), h: of("height"), mirror };
}

const MIRRORED_AMPS = 60; // they end at one line, or begin at the row's far end

/** Makes room for the box where the amps stand, tells their line, and strikes what is marked. */
function clearRow(art: SVGSVGElement, row: Row, on: boolean): number {
  let amps = 0;
  const right = row.x + row.w;
  for (const text of art.querySelectorAll("text")) {
    const tx = Number(text.getAttribute("x"));
    const ty = Number(text.getAttribute("y"));
    if (ty < row.y || ty > row.y + row.h || tx < row.x - 1 || tx > right + 1) continue;
    const at = text.classList;
    const far = row.mirror ? tx < row.x + MIRRORED_AMPS : at.contains("e") && right - tx < 2;
    if (far) {
      text.remove();
      amps ||= ty;
    } else if (on && at.contains("e") === row.mirror && !at.contains("m")) at.add("struck");
  }
  return amps;
}

function middle(spot: SVGRectElement): { x: number; y: number } {
  const of = (name: string) => Number(spot.getAttribute(name));
  return { x: of("x") + of("width") / 2, y: of("y") + of("height") / 2 };
}
