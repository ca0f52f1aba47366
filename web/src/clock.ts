// The clock: it runs, and the battery runs down. What has happened and what comes stands under it,
// with the low case beside the likely one: nobody can know in flight which it is.
import type { Run, RunEvent, Show } from "./answers.ts";
import { chart, type Drawn } from "./clock_chart.ts";
import { button, el, pause, refresh, say, set, whole, words } from "./dom.ts";
import type { Session } from "./session.ts";
import { LASTS } from "./story.ts";

export interface ClockHost {
  readonly session: Session;
  /** The clock stands here now. */
  tick(at: number): void;
}

const SPEEDS = [1, 10, 60, 600];
const FRAME = 100; // milliseconds
const MANY = 12;
const NEAR = 3600; // seconds

/** "12:40", "1:02:40". */
export function clockTime(seconds: number): string {
  const whole = Math.floor(seconds + 0.5);
  const two = (n: number) => String(n).padStart(2, "0");
  const minutes = Math.floor(whole / 60);
  return minutes < 60
    ? `${minutes}:${two(whole % 60)}`
    : `${Math.floor(minutes / 60)}:${two(minutes % 60)}:${two(whole % 60)}`;
}

/** "less than 1 min", "12 min"; never within what was looked at: "more than 4 h". */
export function afterWords(seconds: number | undefined, far: number): string {
  if (seconds === undefined) return `more than ${far / 3600} h`;
  const minutes = Math.floor(seconds / 60);
  return minutes < 1 ? "less than 1 min" : `${minutes} min`;
}

/** When each function is lost for good, as far as one looks: the last that is told of it. */
function lostAt(run: Run): Map<string, number> {
  const lost = new Map<string, number>();
  for (const e of run.events) {
    if (e.part === null) continue;
    if (e.what === "lost") lost.set(e.part, e.t);
    else if (e.what === "kept" || e.what === "reduced") lost.delete(e.part);
  }
  return lost;
}

/** When each function, and what somebody does, first comes. */
function firstLosses(run: Run): number[] {
  const first = new Map<string, number>();
  for (const e of run.events)
    if ((e.what === "lost" || e.by === "scenario") && e.what !== "end" && !first.has(e.words))
      first.set(e.words, e.t);
  return [...first.values()];
}

/** What comes if nobody does anything more, as far as one has looked. */
interface Coming {
  key: string;
  far: number; // seconds
  likely: Run;
  low: Run;
}

interface Told {
  t: number;
  words: string;
}

const ALIKE: Record<string, string> = {
  weak: "Weak",
  off: "Off",
  on: "Works again",
  lost: "Lost",
  reduced: "Reduced",
  kept: "Kept again",
};

/** What happens, one line each; what goes the same way within a minute shares a line. */
function told(run: Run, show: Show): Told[] {
  const out: Told[] = [];
  let open: { what: string; t: number; names: string[]; line: Told } | null = null;
  const name = (e: RunEvent) =>
    show.parts[e.part ?? ""]?.label ?? words(e.part ?? "").toLowerCase();
  for (const e of run.events) {
    if (e.what === "start" || e.what === "end") continue;
    const alike = ALIKE[e.what];
    if (alike && open?.what === e.what && e.t - open.t < 60) {
      open.names.push(name(e));
      const more = open.names.length - 6;
      const list = open.names.slice(0, 6).join(", ") + (more > 0 ? ` and ${more} more` : "");
      open.line.words = `${alike}: ${list}.`;
      continue;
    }
    const line = { t: e.t, words: alike ? `${alike}: ${name(e)}.` : e.words };
    if (alike) open = { what: e.what, t: e.t, names: [name(e)], line };
    out.push(line);
  }
  return out;
}

export class Clock {
  readonly box: HTMLDetailsElement;
  private running = 0; // of its timer; 0: it stands
  private speed = 60;
  private last = 0;
  private key = "";
  private comes: Coming | null = null;
  private drawn: Drawn | null = null;
  private readonly time = el("output", { class: "big", "aria-live": "off" });
  private readonly go = button("Run", () => this.toggle(), { class: "solid" });
  private readonly slider: HTMLInputElement;
  private readonly summary = el("p", { class: "sentence-small" });
  private readonly charts = el("div", { class: "clock-charts" });
  private readonly happens = el("ol", { class: "happens" });
  private readonly goes = el("div");

  constructor(private readonly host: ClockHost) {
    this.slider = el("input", {
      type: "range",
      min: 0,
      max: LASTS,
      step: 1,
      "aria-label": "Time since the start",
      input: () => this.jump(Number(this.slider.value)),
    });
    const { at, earlier } = host.session.now;
    this.box = el(
      "details",
      { class: "clock", open: at > 0 || earlier.length > 0, toggle: () => this.opened() },
      el("summary", {}, el("h2", {}, "Clock")),
      el("div", { class: "clock-top" }, this.time, this.go, this.speeds(), this.back()),
      this.slider,
      this.summary,
      this.charts,
      this.happens,
      this.goes,
      el(
        "p",
        { class: "caution" },
        "No minutes are promised: a battery's age, its charge and the cold decide. The approved " +
          "handbook comes first.",
      ),
    );
  }

  private speeds(): HTMLElement {
    const list = el("select", { change: () => (this.speed = Number(list.value)) });
    for (const s of SPEEDS)
      list.append(el("option", { value: s, selected: s === this.speed }, `${s} times`));
    return el("label", { class: "outside" }, el("span", {}, "Speed"), list);
  }

  private back(): HTMLElement {
    return button("To the start", () => this.jump(0), { class: "plain" });
  }

  private opened(): void {
    if (!this.box.open) this.stop();
    this.update();
  }

  private jump(at: number): void {
    this.stop();
    this.host.tick(at);
  }

  private toggle(): void {
    if (this.running) {
      this.stop();
      return;
    }
    if (this.host.session.now.at >= LASTS) this.host.tick(0);
    this.last = performance.now();
    this.running = window.setTimeout(() => this.run(), FRAME);
    say(this.go, "Pause");
  }

  stop(): void {
    window.clearTimeout(this.running);
    this.running = 0;
    say(this.go, "Run");
  }

  private run(): void {
    const now = performance.now();
    const passed = Math.min(1, (now - this.last) / 1000) * this.speed;
    this.last = now;
    const at = Math.min(LASTS, Math.round((this.host.session.now.at + passed) * 10) / 10);
    if (!this.box.isConnected || at >= LASTS) this.stop();
    this.host.tick(at);
    // A slow reader gets fewer pictures, not a slower clock.
    const rest = Math.max(FRAME / 4, FRAME - (performance.now() - now));
    if (this.running) this.running = window.setTimeout(() => this.run(), rest);
  }

  /** After every change: what comes is worked out anew only where something else was done. */
  update(): void {
    const { session } = this.host;
    const { at, ...story } = session.now;
    say(this.time, clockTime(at));
    if (!this.box.open) return;
    const key = JSON.stringify([session.serial, session.hidden, story]);
    if (key !== this.key) {
      this.key = key;
      pause(() => this.look(key));
    }
    if (this.comes) this.show(this.comes, at);
  }

  /** Looks ahead, farther where nothing happens soon. */
  private look(key: string): void {
    if (key !== this.key) return;
    const { session } = this.host;
    for (const far of [NEAR, LASTS]) {
      const [low, likely] = [session.run("low", far), session.run("middle", far)];
      this.comes = { key, far, low, likely };
      if (firstLosses(low).length || far <= session.now.at * 1.2) break;
    }
    this.update();
  }

  private show(c: Coming, at: number): void {
    const { show } = this.host.session;
    const soon = Math.max(1800, ...firstLosses(c.likely).map((t) => t * 1.2), at * 1.1);
    const end = Math.min(c.far, Math.ceil(soon / 600) * 600);
    set(this.slider, "max", String(end));
    this.slider.value = String(at);
    this.slider.setAttribute("aria-valuetext", clockTime(at));
    refresh(this.charts, `${c.key} ${end}`, () => {
      this.drawn = chart(show, c.likely, c.low, end);
      return [this.drawn.art];
    });
    this.drawn?.at(at);
    const all = told(c.likely, show).map((e): [Told, boolean] => [e, e.t <= at]);
    const passed = all.filter(([, past]) => past).length;
    refresh(this.happens, `${c.key} ${passed}`, () => this.lines(all, passed));
    refresh(this.goes, c.key, () => this.whatGoes(show, c));
  }

  private lines(all: [Told, boolean][], passed: number): HTMLElement[] {
    // What was done last stays in sight however much comes of it in that moment.
    const last = all.findIndex(([e]) => e.t === all[passed - 1]?.[0].t);
    const first = Math.max(0, Math.min(passed - 4, last, all.length - MANY));
    return all.slice(first, first + MANY).map(([e, past]) =>
      el(
        "li",
        past ? { class: "past" } : {},
        button(clockTime(e.t), () => this.jump(e.t), { "aria-label": `To ${clockTime(e.t)}` }),
        el("span", {}, e.words),
      ),
    );
  }

  private whatGoes(show: Show, c: Coming): HTMLElement[] {
    const inLow = lostAt(c.low);
    const inLikely = lostAt(c.likely);
    const about = (at: number | undefined) => afterWords(at, c.far);
    const names = Object.keys(show.functions).filter((f) => inLow.has(f) || inLikely.has(f));
    names.sort((a, b) => (inLow.get(a) ?? Infinity) - (inLow.get(b) ?? Infinity));
    const first = names[0];
    say(
      this.summary,
      first
        ? `Low case: ${words(first).toLowerCase()} lost after ${about(inLow.get(first))}; ` +
            `likely ${about(inLikely.get(first))}.`
        : `Nothing is lost within ${c.far / 3600} h, the low case included.`,
    );
    if (!first) return [];
    const table = el(
      "table",
      { class: "goes" },
      el("tr", {}, el("th", {}, "Lost"), el("th", {}, "Low case"), el("th", {}, "Likely")),
    );
    for (const f of names)
      table.append(
        el(
          "tr",
          {},
          el("th", { scope: "row" }, words(f)),
          el("td", {}, whole(about(inLow.get(f)))),
          el("td", {}, whole(about(inLikely.get(f)))),
        ),
      );
    return [
      el(
        "details",
        { class: "when" },
        el("summary", {}, "When each function is lost, from the start of the clock"),
        el("div", { class: "scroll", tabindex: "0", role: "region", "aria-label": "Lost" }, table),
      ),
    ];
  }
}
