// The page: one aeroplane, one state, several views on it. Every change goes through `step`, which
// asks for a prediction first where that is wanted; everything that shows is drawn by `paint`.
import type { Finding, State } from "./answers.ts";
import { BenchView } from "./bench_view.ts";
import { type BenchState, copyState, fromAddress, plainState, toAddress } from "./bench_state.ts";
import { breakerRail, breakersSentence, breakersView } from "./breakers.ts";
import {
  controls,
  header,
  quietControls,
  showChosen,
  type ControlsHost,
  type View,
} from "./controls.ts";
import { afterWords, clockTime } from "./clock.ts";
import type { Core } from "./core.ts";
import { button, el, refresh, sentence, set, words } from "./dom.ts";
import { debrief, drillRail, drillWork, type Guess } from "./drill_view.ts";
import { Failures } from "./failures.ts";
import { seatSentence } from "./from_seat.ts";
import { handOut } from "./hand_out.ts";
import { hiddenInAddress, unhide } from "./hidden.ts";
import { printView, type Told, toldByPage, wall } from "./print_view.ts";
import { opened, Refused, Session } from "./session.ts";
import { continued, isTimed, untimed } from "./story.ts";

/** A view that only the instructor's page has. */
export interface Extra {
  view: View;
  open(app: App, box: HTMLElement): void;
  /** What goes to paper in place of the view. */
  printed?(): HTMLElement;
  /** The card of a text that was edited. */
  told?(session: Session): Told;
}

interface Drill {
  truth: string[];
  address: string;
  guess: Guess;
  log: string[];
  debrief: HTMLElement | null; // once it is named
}

const ON_PAPER =
  "For teaching only. The approved flight manual, the maintenance manual, local rules and " +
  "licensed people come before anything computed here.";

const REFUSED =
  "The address was to hide a failure, but it isn't of this aeroplane, or it was cut short.";

export class App implements ControlsHost {
  session: Session;
  view: View = "bench";
  readonly views: View[];
  predicting = false;
  chosen = "";
  drill: Drill | null = null;
  private paper = "card";
  private readonly told = toldByPage();
  private toldSince: { session: Session; told: Told } | null = null; // the text was edited
  private refusal = "";
  private asked: { id: string; go: () => void } | null = null; // "would you?"
  private readonly root = document.getElementById("app") as HTMLElement;
  private readonly status = el("p", { class: "sentence", role: "status", tabindex: -1 });
  private readonly aside = el("div", { class: "notes" });
  private readonly body = el("div", { class: "body" });
  private readonly top = el("div", { class: "tops" });
  private readonly bench: BenchView;
  private sheet: HTMLElement | null = null; // while the page is printed
  private failures: Failures;

  constructor(
    private readonly core: Core,
    private readonly text: string,
    private readonly extras: Extra[],
  ) {
    this.session = this.open(text, location.hash);
    this.views = ["bench", "breakers", "failures", "print", ...extras.map((e) => e.view)];
    this.bench = new BenchView(this);
    this.failures = new Failures(this);
    const told = el("div", { class: "told" }, this.status, this.bench.zoomBox);
    const caution = el("p", { class: "on-paper" }, ON_PAPER);
    this.root.append(this.top, el("main", {}, told, caution, this.aside, this.body));
    this.root.hidden = false;
    document.getElementById("plain")?.remove();
    window.addEventListener("hashchange", () => this.readAddress());
    window.addEventListener("resize", () => this.bench.resized() && this.paint());
    window.addEventListener("beforeprint", () => this.toPaper());
    window.addEventListener("afterprint", () => this.sheet?.remove());
    this.paint();
  }

  /** Another text of the aeroplane, from the editor. Throws what the core says against it. */
  replace(text: string): void {
    const next = this.open(text, toAddress(this.session.now));
    this.session.plane.close();
    this.session = next;
    this.failures = new Failures(this);
  }

  /** What the core finds in a text, as `check` tells it. */
  findingsOf(text: string): Finding[] {
    const plane = this.core.open(text);
    const { findings } = plane.ask<unknown>({ ask: "check" });
    plane.close();
    return findings;
  }

  private open(text: string, address: string): Session {
    const plane = this.core.open(text);
    try {
      const handed = new URLSearchParams(address.slice(1)).get("drill");
      const secret = unhide(handed ?? "");
      // What has been set since stands in the address; at first only what was handed out.
      const begun = secret && !/(^#|&)phase=/.test(address) ? { ...secret, fail: [] } : null;
      const start = (usual: string) => begun ?? fromAddress(address, secret?.phase ?? usual);
      const session = new Session(plane, start, secret?.fail ?? []);
      const { refused } = session;
      this.refusal = refused && `The address can't be shown, and all is as usual: ${refused}`;
      if (handed && !session.hidden.length) this.refusal = REFUSED;
      if (session.hidden.length) {
        this.view = "bench";
        this.drill = {
          truth: session.hidden,
          address: handed ?? "",
          log: [],
          debrief: null,
          guess: { named: [{ part: "", kind: "" }], sure: 0 },
        };
      }
      return session;
    } catch (e) {
      plane.close();
      throw e;
    }
  }

  get canUndo(): boolean {
    return this.session.history.canUndo;
  }
  get canRedo(): boolean {
    return this.session.history.canRedo;
  }
  private get hiding(): boolean {
    return this.drill !== null && !this.drill.debrief;
  }

  // ---- what a person does
  operate(id: string): void {
    this.chosen = id;
    const { session } = this;
    const now = session.solve(session.now);
    const part = session.show.parts[id];
    const name = part?.label ?? id;
    if (session.outByItself(now, id)) {
      this.would(id, name);
      return;
    }
    const next = session.operated(id);
    const word = next.set[id] ?? session.normal(next.phase).settings[id] ?? "";
    const what =
      word === "out"
        ? `You pull ${name}.`
        : word === "in"
          ? `You push in ${name}.`
          : `You put ${name} to ${word}.`;
    this.log(what);
    this.step(next, what);
  }

  select(id: string): void {
    this.chosen = id;
    this.paint();
  }

  place(id: string, word: string): void {
    this.chosen = id;
    const name = this.session.show.parts[id]?.label ?? id;
    const what = `You put ${name} to ${word}.`;
    this.log(what);
    this.step(this.session.placed(id, word), what);
  }

  fail(id: string, kind: string): void {
    this.chosen = id;
    const name = this.session.show.parts[id]?.name ?? id;
    const mends = this.session.now.fail.includes(`${id}=${kind}`);
    this.step(
      this.session.failed(id, kind),
      mends ? `${name} is mended.` : `${name} fails: ${kind.replace(/-/g, " ")}.`,
    );
  }

  phase(name: string): void {
    this.step(this.session.inPhase(name), `The phase becomes ${words(name)}.`);
  }

  outside(id: string, word: string): void {
    const next = copyState(this.session.now);
    next.set[id] = word;
    if ((this.session.normal(next.phase).outside[id] === true) === (word === "yes"))
      delete next.set[id];
    this.step(next, `Outside: ${words(id)}, ${word}.`);
  }

  change(to: Partial<BenchState>): void {
    this.step({ ...copyState(this.session.now), ...to }, "It changes outside.");
  }

  undo(): void {
    this.bench.pending = null;
    this.session.history.undo();
    this.changed();
  }

  redo(): void {
    this.session.history.redo();
    this.changed();
  }

  reset(): void {
    this.bench.pending = null;
    const { history, now } = this.session;
    this.take(this.hiding ? history.first : plainState(now.phase));
  }

  predict(on: boolean): void {
    this.predicting = on;
    if (!on) this.bench.pending = null;
    this.paint();
  }

  go(view: View): void {
    this.view = view;
    this.paint();
  }

  /** From the table onto the bench. */
  load(id: string, kind: string): void {
    this.view = "bench";
    this.chosen = id;
    const next = copyState(untimed(this.session.now));
    next.fail = [`${id}=${kind}`];
    const name = this.session.show.parts[id]?.name ?? id;
    this.step(next, `${name} fails: ${kind.replace(/-/g, " ")}.`);
  }

  take(next: BenchState): void {
    try {
      this.session.solve(next);
    } catch (e) {
      if (!(e instanceof Refused)) throw e;
      this.bench.pending = null;
      this.say(e.message);
      return;
    }
    this.session.history.go(next);
    this.changed();
  }

  private addressLater = 0;

  tick(at: number): void {
    this.session.history.tick(at);
    this.asked = null;
    this.paint();
    clearTimeout(this.addressLater);
    this.addressLater = window.setTimeout(() => this.writeAddress(), 500);
  }

  private step(wanted: BenchState, what: string): void {
    const next = continued(this.session.now, wanted);
    if (this.predicting && !this.hiding) {
      this.view = "bench";
      this.bench.ask(next, what);
    } else this.take(next);
  }

  private log(what: string): void {
    const { at } = this.session.now;
    if (this.hiding) this.drill?.log.push(at ? `${clockTime(at)} ${what}` : what);
  }

  /** While a failure is hidden: the clock goes on, and can be taken back. */
  private wait(minutes: number): void {
    this.log(`You let ${minutes} min pass.`);
    const now = this.session.now;
    this.take({ ...copyState(now), at: now.at + 60 * minutes });
  }

  private isFuse(id: string): boolean {
    return this.session.show.parts[id]?.kind !== "breaker";
  }

  /** A breaker that opened by itself isn't simply pushed in again. */
  private would(id: string, name: string): void {
    const fuse = this.isFuse(id);
    this.log(fuse ? `You look at ${name}: it has blown.` : `You reach for ${name}, which is out.`);
    const mend = () => {
      const did = fuse ? `You put in another for ${name}` : `You push in ${name}`;
      this.log(`${did}. What opened it is still there: it opens again.`);
      this.asked = null;
      const now = this.session.now;
      const fail = now.fail.filter((f) => !opened(id).includes(f));
      const pushed = isTimed(now) ? [...now.pushed, id] : now.pushed;
      const next = continued(now, { ...copyState(now), fail, pushed });
      if (isTimed(now) || fail.length !== now.fail.length) this.take(next);
      else this.paint();
      this.status.replaceChildren(sentence(this.pushedIn(id, name)));
    };
    this.asked = { id, go: mend };
    this.paint();
    this.aside.querySelector("button")?.focus();
  }

  private pushedIn(id: string, name: string): string {
    const now = this.session.solve(this.session.now);
    return this.session.outByItself(now, id)
      ? `${name} opened again at once: what opened it is still there.`
      : `${name} stays in.`;
  }

  private changed(): void {
    this.asked = null;
    this.paint();
    // The address can wait until the picture stands.
    setTimeout(() => this.writeAddress());
  }

  private writeAddress(): void {
    const drill = this.drill ? `&drill=${this.drill.address}` : "";
    try {
      history.replaceState(null, "", toAddress(this.session.now) + drill);
    } catch {
      // Some readers of local files don't let a page change its address; all else works.
    }
  }

  private readAddress(): void {
    if (hiddenInAddress() !== (this.drill?.address ?? "")) {
      this.drill = null;
      this.bench.pending = null;
      this.session = this.open(this.session.plane.text, location.hash);
      this.paint();
      return;
    }
    const wanted = fromAddress(location.hash, this.session.now.phase);
    if (toAddress(wanted) !== toAddress(this.session.now)) this.take(wanted);
  }

  // ---- what it shows
  say(text: string): void {
    if (this.status.textContent !== text) this.status.replaceChildren(sentence(text));
  }

  paint(): void {
    const held = document.activeElement;
    const { session } = this;
    const now = session.solve(session.now);
    const normal = session.normal(session.now.phase);
    const { phase, charge, temperature, capacity } = session.now;
    const outside = [phase, charge, temperature, capacity, now.outside];
    const head = [session.serial, this.view, outside, this.predicting];
    const key = JSON.stringify([...head, this.canUndo, this.canRedo, this.hiding]);
    refresh(this.top, key, () => {
      requestAnimationFrame(() => showChosen(this.top.querySelector(".phases")));
      return [
        header(this, session.show, this.hiding),
        this.hiding ? quietControls(now) : controls(this, session.show, session.now, now, normal),
      ];
    });
    set(document.body, "data-view", this.hiding ? "breakers" : this.view);
    document.body.classList.toggle("hiding", this.hiding);
    this.paintNotes();
    if (this.hiding) this.paintDrill(now);
    else this.paintView(now, normal);
    if (document.activeElement === document.body && held !== document.body) this.holdAgain(held);
  }

  /** What was held was made anew, or has gone: then what came of it is read next. */
  private holdAgain(held: Element | null): void {
    const keep = CSS.escape(held?.getAttribute("data-keep") ?? "");
    const again = this.root.querySelector<HTMLElement>(`[data-keep="${keep}"]:enabled`);
    (again ?? this.status).focus({ preventScroll: true });
  }

  /** What somebody has opened there stays open while nothing in it changes. */
  private paintNotes(): void {
    const { serial, now } = this.session;
    const { phase, fail } = now;
    const of = [serial, phase, fail, this.view, this.hiding, this.bench.pending !== null];
    refresh(this.aside, JSON.stringify([...of, this.asked?.id]), () => this.notes());
  }

  private paintView(now: State, normal: State): void {
    const { session } = this;
    if (this.view === "bench") {
      this.bench.show(this.body, now, normal);
      const told = this.bench.pending ? null : this.drill?.debrief;
      // First of all where there is one column, else beside the diagram.
      const wide = matchMedia("(min-width: 1280px)").matches;
      if (!told) this.drill?.debrief?.remove();
      else (wide ? this.body.querySelector("aside.rail") : this.body)?.prepend(told);
    } else if (this.view === "breakers") {
      this.say(breakersSentence(session, now));
      this.body.replaceChildren(
        el("div", { class: "work" }, breakersView(this, now)),
        el("aside", { class: "rail" }, breakerRail(this, now)),
      );
    } else if (this.view === "failures") {
      this.body.replaceChildren();
      this.failures.open(this.body);
    } else if (this.view === "print") {
      this.say("What goes into the flight bag, and onto the wall.");
      const choose = (paper: string) => {
        this.paper = paper;
        this.paint();
      };
      const told = this.toldOf(session);
      this.body.replaceChildren(...printView({ session, told, paper: this.paper, choose }));
    } else this.extras.find((e) => e.view === this.view)?.open(this, this.body);
  }

  private toldOf(session: Session): Told {
    if (session.plane.text === this.text) return this.told;
    if (this.toldSince?.session !== session) {
      const told = this.extras.map((e) => e.told?.(session)).find((t) => t) ?? new Map();
      this.toldSince = { session, told };
    }
    return this.toldSince.told;
  }

  /** A screen's diagram would be cut at a page's end: the bench prints as a sheet for the wall. */
  private toPaper(): void {
    this.sheet?.remove();
    this.sheet = null;
    const bench = this.view === "bench" && !this.hiding;
    if (bench) this.sheet = wall(this.session);
    else if (!this.hiding)
      this.sheet = this.extras.find((e) => e.view === this.view)?.printed?.() ?? null;
    const more = bench && (this.bench.saysMore || this.drill !== null);
    document.body.dataset["sheet"] = this.sheet ? (more ? "first" : "only") : "";
    if (this.sheet) this.root.prepend(this.sheet);
  }

  private drillHost() {
    const drill = this.drill as Drill;
    return {
      session: this.session,
      chosen: this.chosen,
      guess: drill.guess,
      log: drill.log,
      operate: (id: string) => this.operate(id),
      place: (id: string, word: string) => this.place(id, word),
      wait: (minutes: number) => this.wait(minutes),
      repaint: () => this.paint(),
      name: () => {
        drill.debrief = debrief(this.drillHost(), drill.truth, () => this.goOn(drill.truth));
        this.view = "bench";
        this.paint();
        scrollTo(0, 0);
      },
    };
  }

  /** After the debrief it is a failure like any other. */
  private goOn(truth: string[]): void {
    const { session } = this;
    const failed = <T extends { fail: string[] }>(c: T): T => ({
      ...c,
      fail: [...truth, ...c.fail.filter((f) => !truth.includes(f))],
    });
    this.drill?.debrief?.remove();
    this.drill = null;
    session.hidden = [];
    const now = failed(copyState(session.now));
    this.take({ ...now, earlier: now.earlier.map(failed) });
  }

  private paintDrill(now: State): void {
    const { at } = this.session.now;
    this.say(seatSentence(this.session.show, now, at ? afterWords(at, at) : ""));
    this.body.replaceChildren(
      el("div", { class: "work" }, ...drillWork(this.drillHost(), now)),
      el("aside", { class: "rail" }, ...drillRail(this.drillHost(), now)),
    );
  }

  private notes(): HTMLElement[] {
    const out: HTMLElement[] = [];
    if (this.refusal) out.push(el("p", {}, this.refusal));
    if (this.asked) {
      const { id, go } = this.asked;
      const part = this.session.show.parts[id];
      const page = part?.handbook?.split(/[ ,]/)[0];
      const leave = () => {
        this.log(`You leave ${part?.label ?? id} out.`);
        this.asked = null;
        this.paint();
      };
      // From the seat a breaker that opened and one that somebody pulled look alike.
      const how = this.hiding ? "is out, and you didn't pull it" : "opened by itself";
      const [what, put] = this.isFuse(id)
        ? ["has blown. Would you put another in?", "Put another in"]
        : [`${how}. Would you push it in?`, "Push it in"];
      out.push(
        el(
          "div",
          { class: "would", role: "alertdialog", "aria-label": "Would you?" },
          el(
            "p",
            {},
            el("b", {}, `${part?.label ?? id} ${what} `),
            page
              ? `Your handbook, page ${page}, decides.`
              : "No handbook page is given for it: it stays out. " +
                  "Smoke, a smell or heat ends every diagnosis.",
          ),
          button("Leave it out", leave, { class: "solid" }),
          button(put, go, { class: "link" }),
        ),
      );
    }
    if (
      this.session.now.fail.length &&
      !this.hiding &&
      this.view === "bench" &&
      !this.bench.pending
    )
      out.push(handOut(this.session, this.extras.length === 0 && location.protocol !== "file:"));
    return out;
  }
}
