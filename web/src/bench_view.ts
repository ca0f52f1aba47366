// The bench with everything that stands on it: the diagram, the lists under it, the seat beside it;
// and its two other faces, while predicting and after it.
import type { State } from "./answers.ts";
import type { BenchState } from "./bench_state.ts";
import { Diagram, type Marks } from "./diagram.ts";
import { Clock } from "./clock.ts";
import { button, el, pause, refresh } from "./dom.ts";
import { Inspector } from "./inspector.ts";
import { Lists } from "./lists.ts";
import { Pinch } from "./pinch.ts";
import {
  elseLost,
  gapList,
  gaps,
  noPrediction,
  type Prediction,
  questions,
  reveal,
  revealSentence,
} from "./predict.ts";
import { busStrip } from "./bus_strip.ts";
import { isShorter, roomIn } from "./room.ts";
import { isLamp, normalTable, Seat } from "./seat.ts";
import type { Session } from "./session.ts";

export interface BenchHost {
  readonly session: Session;
  chosen: string;
  operate(id: string): void;
  select(id: string): void;
  place(id: string, word: string): void;
  fail(id: string, kind: string): void;
  paint(): void;
  say(text: string): void;
  /** The clock stands here now. */
  tick(at: number): void;
  /** Takes the step that was predicted. */
  take(next: BenchState): void;
}

export interface Pending {
  next: BenchState;
  what: string; // "You pull RADIO 2."
  prediction: Prediction;
  committed: boolean;
}

export class BenchView {
  pending: Pending | null = null;
  private readonly diagram: Diagram;
  private readonly below = el("div", { class: "below" });
  private lists: Lists | null = null;
  private readonly strip = el("nav", { class: "bus-strip", "aria-label": "Buses" });
  private readonly seatSlot = el("div", { class: "on-sheet" });
  private seat: Seat | null = null;
  private readonly partSlot = el("div", { class: "on-sheet" });
  private inspector: Inspector | null = null;
  private awaited = 0;
  private rested = 0; // the aeroplane whose lists beside the bench have been made
  private readonly clockSlot = el("div");
  private clock: Clock | null = null;
  private readonly normalSlot = el("div", { class: "on-sheet" });
  private readonly askSlot = el("div");
  private readonly rail = el("aside", { class: "rail" });
  private readonly work: HTMLElement;
  /** Beside the sentence, where the drawing can't come. */
  readonly zoomBox: HTMLElement;
  private zoom = 1;
  private width = 0;

  constructor(private readonly host: BenchHost) {
    const session = () => this.host.session;
    this.diagram = new Diagram({
      get show() {
        return session().show;
      },
      operate: (id) => this.operate(id),
      select: (id) => this.host.select(id),
    });
    this.zoomBox = this.zoomButtons();
    this.work = el(
      "div",
      { class: "work" },
      this.strip,
      el("div", { class: "stack" }, this.diagram.box, this.below),
    );
  }

  ask(next: BenchState, what: string): void {
    const { session } = this.host;
    this.clock?.stop();
    const lit = Object.entries(session.solve(session.now).indications)
      .filter(([id, i]) => isLamp(session.show, id) && (i.figure ?? 0) > 0)
      .map(([id]) => id);
    this.pending = { next, what, prediction: noPrediction(lit), committed: false };
    this.host.paint();
    this.rail.scrollTop = 0;
  }

  private operate(id: string): void {
    const p = this.pending;
    if (!p || p.committed) {
      this.host.operate(id);
      return;
    }
    if (!p.prediction.lost.delete(id)) p.prediction.lost.add(id);
    this.host.paint();
  }

  /** Whether there is more to it than what stands on a sheet for the wall. */
  get saysMore(): boolean {
    return this.pending !== null || this.clockSlot.querySelector("details[open]") !== null;
  }

  resized(): boolean {
    if (!this.work.isConnected || Math.abs(this.room() - this.width) <= 4) return false;
    this.width = 0;
    return true;
  }

  private room(): number {
    const guess =
      document.documentElement.clientWidth -
      (document.documentElement.clientWidth >= 1280 ? 400 : 48);
    const room = this.diagram.box.clientWidth || guess;
    return Math.max(300, Math.min(1750, Math.round(room / this.zoom)));
  }

  show(body: HTMLElement, now: State, normal: State): void {
    if (!body.contains(this.work)) {
      body.replaceChildren(this.work, this.rail);
      this.width = 0;
    }
    // Asking for the room lays the page out: only where it may have changed.
    this.width ||= this.room();
    const p = this.pending;
    if (p && !p.committed) this.showQuestions(p, now);
    else if (p) this.showReveal(p, now);
    else this.showState(now, normal);
  }

  private draw(now: State, marks: Marks | null): void {
    const { session, chosen } = this.host;
    this.diagram.draw(
      session.drawing(session.now, this.width, matchMedia("(pointer: coarse)").matches),
      now,
      chosen,
      marks,
    );
    const bars = this.diagram.bars();
    const said = session.show.buses.map((b) => [bars.get(b.id), now.nodes[b.id]?.volts.toFixed(1)]);
    refresh(this.strip, this.key("strip", said), () =>
      busStrip(session.show, now, bars, (id) => this.diagram.showBus(id)),
    );
  }

  /** The lists go where the drawing leaves room for them. */
  private settle(): void {
    const { art } = this.diagram;
    const plain = art && this.zoom === 1 && !matchMedia("(pointer: coarse)").matches;
    const found = plain ? roomIn(art) : null;
    const there = this.work.classList.contains("roomy");
    const room = found && art && isShorter(found, this.below, art, there) ? found : null;
    this.work.classList.toggle("roomy", room !== null);
    this.below.style.marginLeft = room ? `${room.x}px` : "";
    this.below.style.marginTop = room ? `${room.y}px` : "";
    this.below.style.width = room ? `${room.width}px` : "";
  }

  private showState(now: State, normal: State): void {
    const { session } = this.host;
    this.host.say(now.sentence);
    this.draw(now, null);
    const { show } = session;
    const { chosen } = this.host;
    refresh(this.below, this.key("lists", ""), () => {
      this.lists = new Lists();
      return [this.lists.box];
    });
    this.lists?.update(show, now, normal);
    this.settle();
    refresh(this.seatSlot, this.key("seat", ""), () => {
      this.seat = new Seat(show, now);
      return [this.seat.box];
    });
    this.seat?.update(now);
    this.put(this.seatSlot, this.clockSlot, this.partSlot, this.normalSlot);
    if (this.rested !== session.serial) {
      this.fillLater(session.serial);
      return;
    }
    refresh(this.clockSlot, this.key("clock", ""), () => {
      this.clock?.stop();
      this.clock = new Clock(this.host);
      return [this.clock.box];
    });
    this.clock?.update();
    refresh(this.partSlot, this.key("part", ""), () => {
      this.inspector = new Inspector(this.inspectorHost());
      return [this.inspector.box];
    });
    this.inspector?.update(session.now, now, chosen);
    refresh(this.normalSlot, this.key("normal", session.now.phase), () => [
      normalTable(show, session.normals(), session.now.phase),
    ]);
  }

  /** The bench can be operated already; the long lists beside it come in the next pause. */
  private fillLater(serial: number): void {
    if (this.awaited === serial) return;
    this.awaited = serial;
    pause(() => {
      this.rested = serial;
      // Another view isn't to be painted anew meanwhile: one may be writing in it.
      if (this.work.isConnected) this.host.paint();
    });
  }

  private inspectorHost() {
    const { host } = this;
    return {
      show: host.session.show,
      place: (id: string, word: string) => host.place(id, word),
      fail: (id: string, kind: string) => host.fail(id, kind),
      select: (id: string) => host.select(id),
    };
  }

  /** Another aeroplane changes everything. */
  private key(what: string, of: unknown): string {
    return `${what} ${this.host.session.serial} ${JSON.stringify(of)}`;
  }

  private put(...slots: HTMLElement[]): void {
    const same = slots.length === this.rail.childElementCount;
    if (!same || slots.some((s, i) => this.rail.children[i] !== s))
      this.rail.replaceChildren(...slots);
  }

  private predictHost() {
    return {
      show: this.host.session.show,
      repaint: () => this.host.paint(),
      commit: () => this.commit(),
      cancel: () => this.leave(),
    };
  }

  private showQuestions(p: Pending, now: State): void {
    this.host.say(`${p.what} Mark what you expect to lose.`);
    const items = new Set(Object.keys(now.equipment));
    this.draw(now, { lost: p.prediction.lost, items, toggle: (id) => this.operate(id) });
    this.fill(this.below, elseLost(this.predictHost(), p.prediction, now));
    this.settle();
    this.fill(this.askSlot, questions(this.predictHost(), p.prediction, now));
    this.put(this.askSlot);
  }

  private fill(slot: HTMLElement, content: HTMLElement): void {
    refresh(slot, `once ${++this.times}`, () => [content]);
  }

  private times = 0;

  private commit(): void {
    const p = this.pending;
    if (!p) return;
    p.committed = true;
    this.before = this.host.session.solve(this.host.session.now);
    this.host.take(p.next);
    // From the button at its foot to the head of what came of it.
    this.rail.scrollTop = 0;
    if (getComputedStyle(this.rail).position !== "sticky") this.below.scrollIntoView();
  }

  private before: State | null = null;

  private showReveal(p: Pending, now: State): void {
    const before = this.before ?? now;
    const list = gaps(this.host.session.show, p.prediction, before, now);
    this.host.say(revealSentence(list));
    this.draw(now, null);
    this.fill(this.below, gapList(list));
    this.settle();
    const again = () => {
      const { next, what } = p;
      this.leave();
      this.host.session.history.undo();
      this.ask(next, what);
    };
    this.fill(
      this.askSlot,
      reveal(this.predictHost(), p.prediction, list, before, now, () => this.leave(), again),
    );
    this.put(this.askSlot);
  }

  leave(): void {
    this.pending = null;
    this.before = null;
    this.host.paint();
  }

  private zoomButtons(): HTMLElement {
    const pinch = new Pinch(this.diagram.box);
    const set = (zoom: number) => {
      this.zoom = Math.min(2.5, Math.max(0.6, zoom));
      this.width = 0;
      this.diagram.box.style.setProperty("--zoom", String(this.zoom > 1 ? this.zoom : 1));
      this.host.paint();
    };
    return el(
      "div",
      { class: "zoom", role: "group", "aria-label": "Size of the diagram" },
      button("−", () => set(this.zoom / 1.25), { "aria-label": "Smaller" }),
      button("+", () => set(this.zoom * 1.25), { "aria-label": "Larger" }),
      button("Fit", () => {
        pinch.reset();
        set(1);
      }),
    );
  }
}
