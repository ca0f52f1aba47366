// How long it lasts once the sources are lost, in many flights: what isn't known of the aeroplane
// is drawn anew for each. A few are flown at a time, so that the page stays alive and one can stop.
import type { Answer, Question } from "./answers.ts";
import type { App, Extra } from "./app.ts";
import { questionOf } from "./bench_state.ts";
import { afterWords } from "./clock.ts";
import { button, el, say, words } from "./dom.ts";

const FLIGHTS = 500;
const LOOKS = 14400; // seconds, as the command does
const AT_ONCE = 8; // flights: the core flies so many side by side
const PATIENCE = 60; // milliseconds that a few flights may take
const TOLD = 5; // unknowns

interface Cases {
  low: number | null;
  median: number | null;
  high: number | null;
}

interface Flown {
  flown: number;
}

interface Endurance {
  flights: number;
  seed: number;
  failed: string[];
  must_stay: { first: string | null; lasts: Cases };
  functions: Record<string, Cases>;
  reduced: Record<string, Cases>;
  unknowns: { what: string; share: number }[];
}

/** "12 min", never parted. */
const about = (seconds: number | null) =>
  afterWords(seconds ?? undefined, LOOKS).replace(/(\d) /, "$1\u00a0");

const soonest = (c: Cases) => [c.low, c.median, c.high].map((t) => t ?? Infinity);

/** What goes first in the low case comes first. */
function inOrder(of: Record<string, Cases>): [string, Cases][] {
  const before = (a: Cases, b: Cases) => {
    const [x, y] = [soonest(a), soonest(b)];
    const at = x.findIndex((t, i) => t !== y[i]);
    return at < 0 ? 0 : (x[at] ?? 0) - (y[at] ?? 0);
  };
  return Object.entries(of)
    .filter(([, c]) => c.low !== null)
    .sort(([, a], [, b]) => before(a, b));
}

/** What is reduced sooner than it is lost, as far as minutes show it. */
function before(e: Endurance): Record<string, Cases> {
  const told = (c: Cases | undefined) => [c?.low, c?.median, c?.high].map((t) => about(t ?? null));
  const sooner = ([name, c]: [string, Cases]) => told(c).join() !== told(e.functions[name]).join();
  return Object.fromEntries(Object.entries(e.reduced).filter(sooner));
}

class EnduranceView implements Extra {
  readonly view = "endurance";
  private app: App | null = null;
  private timer = 0; // 0: nothing flies
  private atOnce = AT_ONCE;
  private asked = ""; // what has been flown, or is
  private readonly go = button("", () => this.toggle(), { class: "solid" });
  private readonly bar = el("progress", { max: FLIGHTS, "aria-label": "Flights flown" });
  private readonly count = el("span", { "aria-live": "polite" });
  private readonly result = el("div", { class: "flown" });

  open(app: App, box: HTMLElement): void {
    this.app = app;
    if (JSON.stringify(this.question(app)) !== this.asked) this.clear();
    app.say(
      app.session.now.fail.length
        ? "How long it lasts with the failures that stand on the bench."
        : "How long it lasts once every source is lost, with what is on now.",
    );
    box.replaceChildren(
      el(
        "div",
        { class: "endurance" },
        el(
          "p",
          {},
          "What isn't known of the aeroplane, its battery and the cold is drawn anew for each " +
            "flight, which begins with the charge that is set above, whatever the clock says. " +
            `The command "endurance --flights ${FLIGHTS}" gives the same figures.`,
        ),
        el("div", { class: "clock-top" }, this.go, this.bar, this.count),
        this.result,
        el(
          "p",
          { class: "caution" },
          "No minutes are promised, and the low case isn't the worst: nobody can know in flight " +
            "which of these flights it is. The approved handbook comes first.",
        ),
      ),
    );
  }

  /** As the bench is set, at the start of the clock; with failures of its own only those. */
  private question(app: App): Question {
    return { ...questionOf(app.session.now), ask: "endurance", flights: String(FLIGHTS) };
  }

  private clear(): void {
    this.stop();
    this.asked = "";
    say(this.count, "");
    this.bar.value = 0;
    this.bar.hidden = true;
    this.result.replaceChildren();
  }

  private stop(): void {
    window.clearTimeout(this.timer);
    this.timer = 0;
    say(this.go, `Fly ${FLIGHTS}`);
  }

  private toggle(): void {
    const { app } = this;
    if (!app) return;
    if (this.timer) {
      this.stop();
      say(this.count, `Stopped after ${this.bar.value} of ${FLIGHTS}`);
      return;
    }
    const question = this.question(app);
    // What was stopped goes on where it was.
    if (JSON.stringify(question) !== this.asked || this.result.childElementCount) this.clear();
    this.asked = JSON.stringify(question);
    this.bar.hidden = false;
    say(this.go, "Stop");
    this.timer = window.setTimeout(() => this.fly(app, question));
  }

  private fly(app: App, question: Question): void {
    const start = performance.now();
    if (JSON.stringify(this.question(app)) !== this.asked) return this.clear();
    const text = app.session.plane.askText(question, this.atOnce);
    const { answer, findings } = JSON.parse(text) as Answer<Flown | Endurance>;
    const took = performance.now() - start;
    if (took > PATIENCE) this.atOnce = Math.max(1, this.atOnce / 2);
    else if (took < PATIENCE / 3) this.atOnce = Math.min(64, this.atOnce * 2);
    if (answer && "flown" in answer) {
      this.bar.value = answer.flown;
      say(this.count, `${answer.flown} of ${FLIGHTS}`);
      this.timer = window.setTimeout(() => this.fly(app, question));
      return;
    }
    this.stop();
    this.bar.hidden = true;
    if (answer) this.show(answer);
    else say(this.count, findings[0] ? `${findings[0].text}. ${findings[0].hint}` : "No answer.");
  }

  private show(e: Endurance): void {
    say(this.count, `${e.flights} flights, seed ${e.seed}.`);
    const { first, lasts } = e.must_stay;
    const [low, middle, high] = [about(lasts.low), about(lasts.median), about(lasts.high)];
    const lead = first
      ? `Low case, worse in one flight of twenty: ${words(first).toLowerCase()} is the first of ` +
        `what must stay to be reduced or lost, after ${low}. The first of them goes after ` +
        `${middle} in the median flight, and in 5 % not before ${high}.`
      : "In the low case nothing that must stay is reduced or lost.";
    const most = e.unknowns
      .filter((u) => u.share >= 0.005)
      .slice(0, TOLD)
      .map((u) => `${u.what} ${Math.round(100 * u.share)} %`);
    this.result.replaceChildren(
      el("p", { class: "sentence-small" }, lead),
      el(
        "div",
        { class: "both" },
        this.table("Lost", e.functions),
        this.table("Reduced before", before(e)),
      ),
      el("p", {}, `Which unknown matters: ${most.join(", ")}.`),
    );
  }

  private table(title: string, of: Record<string, Cases>): HTMLElement {
    const heads = [title, "Low 5\u00a0%", "Median", "95\u00a0%"].map((h) =>
      el("th", { scope: "col" }, h),
    );
    const table = el("table", { class: "goes" }, el("tr", {}, ...heads));
    for (const [name, c] of inOrder(of))
      table.append(
        el(
          "tr",
          {},
          el("th", { scope: "row" }, words(name)),
          ...[c.low, c.median, c.high].map((t) => el("td", {}, about(t))),
        ),
      );
    return el(
      "div",
      { class: "scroll", tabindex: "0", role: "region", "aria-label": title },
      table,
    );
  }
}

export const enduranceView: Extra = new EnduranceView();
