// The page: one state, one aeroplane, several views on it. Every change goes through `change`,
// which asks the core and draws everything that shows.
import type { State } from "./answers.ts";
import { type BenchState, copyState, fromAddress, plainState, toAddress } from "./bench_state.ts";
import { controls, header, type ControlsHost, type View } from "./controls.ts";
import type { Core, Plane } from "./core.ts";
import { Diagram } from "./diagram.ts";
import { button, el, sentence } from "./dom.ts";
import { inspector } from "./inspector.ts";
import { lists } from "./lists.ts";
import { normalTable, seat } from "./seat.ts";
import { Session } from "./session.ts";

export interface Extra {
  view: View;
  open(app: App, box: HTMLElement): void;
}

export class App implements ControlsHost {
  session: Session;
  view: View = "bench";
  views: View[] = ["bench"];
  predicting = false;
  chosen = "";
  private readonly root: HTMLElement;
  private readonly status = el("p", { class: "sentence", role: "status" });
  private readonly body = el("div", { class: "body" });
  private readonly top = el("div", { class: "tops" });
  private readonly diagram: Diagram;
  private zoom = 1;
  private width = 0;

  constructor(
    readonly core: Core,
    text: string,
    readonly extras: Extra[],
  ) {
    this.session = this.start(core.open(text));
    this.views = ["bench", ...extras.map((e) => e.view)];
    this.diagram = new Diagram({
      show: this.session.show,
      operate: (id) => this.operate(id),
      select: (id) => this.select(id),
    });
    this.root = document.getElementById("app") as HTMLElement;
    this.root.append(this.top, el("main", {}, this.status, this.body));
    this.root.hidden = false;
    document.getElementById("plain")?.remove();
    window.addEventListener("hashchange", () => this.readAddress());
    window.addEventListener("resize", () => this.resized());
    this.paint();
  }

  private start(plane: Plane): Session {
    return new Session(plane, (usual) => fromAddress(location.hash, usual));
  }

  get canUndo(): boolean {
    return this.session.history.canUndo;
  }
  get canRedo(): boolean {
    return this.session.history.canRedo;
  }

  // ---- what a person does
  operate(id: string): void {
    this.chosen = id;
    this.change(this.session.operated(id));
  }
  select(id: string): void {
    this.chosen = id;
    this.paint();
  }
  place(id: string, word: string): void {
    this.go_on(this.session.placed(id, word));
  }
  fail(id: string, kind: string): void {
    this.chosen = id;
    this.change(this.session.failed(id, kind));
  }
  phase(name: string): void {
    this.change(this.session.inPhase(name));
  }
  outside(id: string, word: string): void {
    const next = copyState(this.session.now);
    next.set[id] = word;
    if ((this.session.normal(next.phase).outside[id] === true) === (word === "yes"))
      delete next.set[id];
    this.change(next);
  }
  undo(): void {
    this.session.history.undo();
    this.changed();
  }
  redo(): void {
    this.session.history.redo();
    this.changed();
  }
  reset(): void {
    this.change(plainState(this.session.now.phase));
  }
  predict(on: boolean): void {
    this.predicting = on;
    this.paint();
  }
  go(view: View): void {
    this.view = view;
    this.paint();
  }

  change(to: Partial<BenchState>): void {
    this.go_on({ ...copyState(this.session.now), ...to });
  }

  private go_on(next: BenchState): void {
    this.session.history.go(next);
    this.changed();
  }

  private changed(): void {
    try {
      history.replaceState(null, "", toAddress(this.session.now));
    } catch {
      // Some readers of local files don't let a page change its address; all else works.
    }
    this.paint();
  }

  private readAddress(): void {
    const wanted = fromAddress(location.hash, this.session.now.phase);
    if (toAddress(wanted) !== toAddress(this.session.now)) this.change(wanted);
  }

  private resized(): void {
    if (Math.abs(this.diagramWidth() - this.width) > 4) this.paint();
  }

  // ---- what it shows
  paint(): void {
    const held = document.activeElement?.getAttribute("data-keep");
    const now = this.session.solve(this.session.now);
    const normal = this.session.normal(this.session.now.phase);
    this.top.replaceChildren(
      header(this, this.session.show),
      controls(this, this.session.show, this.session.now, now, normal),
    );
    document.body.dataset["view"] = this.view;
    const extra = this.extras.find((e) => e.view === this.view);
    if (extra) {
      this.body.replaceChildren();
      extra.open(this, this.body);
    } else this.bench(now, normal);
    if (held) this.root.querySelector<HTMLElement>(`[data-keep="${CSS.escape(held)}"]`)?.focus();
  }

  say(text: string): void {
    if (this.status.textContent !== text) this.status.replaceChildren(sentence(text));
  }

  private diagramWidth(): number {
    const room =
      this.diagram.box.clientWidth || Math.min(1100, document.documentElement.clientWidth - 48);
    return Math.max(300, Math.min(1750, Math.round(room / this.zoom)));
  }

  private bench(now: State, normal: State): void {
    this.say(now.sentence);
    if (!this.body.contains(this.diagram.box) || !this.body.querySelector(".work"))
      this.body.replaceChildren(
        el(
          "div",
          { class: "work" },
          this.zoomButtons(),
          this.diagram.box,
          el("div", { class: "below" }),
        ),
        el("aside", { class: "rail" }),
      );
    this.width = this.diagramWidth();
    this.diagram.draw(this.session.drawing(this.session.now, this.width), now, this.chosen, null);
    this.body.querySelector(".below")?.replaceChildren(lists(this.session.show, now, normal));
    this.body
      .querySelector(".rail")
      ?.replaceChildren(
        seat(this.session.show, now),
        inspector(this, this.session.now, now, this.chosen),
        normalTable(this.session.show, this.session.normals(), this.session.now.phase),
      );
  }

  private zoomButtons(): HTMLElement {
    const set = (zoom: number) => {
      this.zoom = Math.min(2.5, Math.max(0.6, zoom));
      this.diagram.box.style.setProperty("--zoom", String(this.zoom));
      this.paint();
    };
    return el(
      "div",
      { class: "zoom", role: "group", "aria-label": "Size of the diagram" },
      button("−", () => set(this.zoom / 1.25), { "aria-label": "Smaller" }),
      button("+", () => set(this.zoom * 1.25), { "aria-label": "Larger" }),
      button("Fit", () => set(1)),
    );
  }

  get show() {
    return this.session.show;
  }
}
