// Every single failure of the phase, computed here by the same core: sorted, filtered, and put on
// the bench at a tap.
import type { Show, State } from "./answers.ts";
import { button, el, whole, words } from "./dom.ts";
import { openHidden } from "./hand_out.ts";
import { losses } from "./lists.ts";
import { face, isLamp, isMeter } from "./seat.ts";
import type { Session } from "./session.ts";

export interface Failure {
  id: string;
  kind: string;
  name: string;
  lost: string[];
  sentence: string;
  state: State;
  look: string; // what the seat shows, as one key
}

export interface FailuresHost {
  session: Session;
  view: string;
  load(id: string, kind: string): void;
  say(text: string): void;
}

const SLICE = 12; // milliseconds of work between two looks at the person
const MANY = 9; // names in a row

function seatKey(s: State): string {
  return Object.values(s.indications)
    .map((i) => i.reading)
    .join("|");
}

function allFaults(show: Show): [string, string][] {
  return Object.entries(show.parts).flatMap(([id, p]) =>
    p.faults.map((k): [string, string] => [id, k]),
  );
}

function lostWords(lost: string[]): string {
  if (lost.length <= MANY) return lost.join(", ") || "nothing at once";
  return `${lost.slice(0, MANY - 1).join(", ")} and ${lost.length - MANY + 1} more`;
}

export class Failures {
  private list: Failure[] = [];
  private phase = "";
  private run = 0;
  private by: "lost" | "name" | "look" = "lost";
  private wanted = "";
  private quiet = false;
  private readonly box = el("div", { class: "failures" });
  private readonly table = el("div", {
    class: "scroll",
    tabindex: "0",
    role: "region",
    "aria-label": "Failures",
  });
  private readonly progress = el("p", { class: "quiet", "aria-live": "off" });

  constructor(private readonly host: FailuresHost) {}

  open(box: HTMLElement): void {
    const { session } = this.host;
    const phase = session.now.phase;
    box.append(this.box);
    const handed = openHidden(session.show);
    this.box.replaceChildren(handed, this.filters(), this.progress, this.table);
    if (phase !== this.phase) {
      this.phase = phase;
      this.list = [];
      void this.compute(++this.run);
    } else this.finish();
  }

  private async compute(run: number): Promise<void> {
    const { session } = this.host;
    const all = allFaults(session.show);
    const normal = session.normal(this.phase);
    let until = performance.now() + SLICE;
    for (const [n, [id, kind]] of all.entries()) {
      if (performance.now() > until) {
        this.progress.textContent = `${n} of ${all.length} worked out`;
        await new Promise((go) => setTimeout(go, 0));
        if (run !== this.run) return;
        until = performance.now() + SLICE;
      }
      this.list.push(this.one(id, kind, normal));
    }
    this.finish();
  }

  private one(id: string, kind: string, normal: State): Failure {
    const { session } = this.host;
    const state = session.look({ ask: "state", phase: this.phase, fail: [`${id}=${kind}`] });
    return {
      id,
      kind,
      state,
      name: `${session.show.parts[id]?.name ?? id}: ${kind.replace(/-/g, " ")}`,
      lost: losses(session.show, state, normal).flatMap((l) => l.names),
      sentence: state.sentence,
      look: seatKey(state),
    };
  }

  private finish(): void {
    if (this.host.view !== "failures") return;
    const same = this.list.filter((f) => f.look === seatKey(this.host.session.normal(this.phase)));
    this.progress.textContent = "";
    this.host.say(
      `${this.list.length} single failures in ${this.phase.replace(/-/g, " ")}. ` +
        `${same.length} change nothing that the seat shows.`,
    );
    this.draw();
  }

  private filters(): HTMLElement {
    const { show } = this.host.session;
    const gone = el(
      "select",
      {
        change: () => {
          this.wanted = gone.value;
          this.draw();
        },
      },
      el("option", { value: "" }, "anything"),
    );
    for (const id of Object.keys(show.functions))
      gone.append(
        el(
          "option",
          id === this.wanted ? { value: words(id), selected: true } : { value: words(id) },
          words(id),
        ),
      );
    const order = el("select", {
      change: () => {
        this.by = order.value as "lost";
        this.draw();
      },
    });
    for (const [v, t] of [
      ["lost", "most lost first"],
      ["name", "name"],
      ["look", "what the seat shows"],
    ])
      order.append(el("option", { value: v, selected: v === this.by }, t ?? ""));
    const quiet = button(
      "Only those that take something away",
      () => {
        this.quiet = !this.quiet;
        quiet.setAttribute("aria-checked", String(this.quiet));
        this.draw();
      },
      { role: "checkbox", class: "tick-box", "aria-checked": String(this.quiet) },
    );
    return el(
      "div",
      { class: "filters" },
      el("label", { class: "outside" }, "Takes away", gone),
      el("label", { class: "outside" }, "Order", order),
      quiet,
    );
  }

  private chosen(): Failure[] {
    const some = this.list.filter(
      (f) => (!this.quiet || f.lost.length) && (!this.wanted || f.lost.includes(this.wanted)),
    );
    if (this.by === "name") return some.sort((a, b) => a.name.localeCompare(b.name));
    if (this.by === "lost")
      return some.sort((a, b) => b.lost.length - a.lost.length || a.look.localeCompare(b.look));
    return some.sort((a, b) => a.look.localeCompare(b.look) || b.lost.length - a.lost.length);
  }

  private draw(): void {
    const { show } = this.host.session;
    const groups = new Map<string, number>();
    for (const f of this.list) groups.set(f.look, (groups.get(f.look) ?? 0) + 1);
    const normal = this.host.session.normal(this.phase);
    const meters = Object.keys(normal.indications).filter(
      (id) => normal.indications[id] && isMeter(normal.indications[id]),
    );
    const head = el(
      "tr",
      {},
      el("th", { scope: "col" }, "Failure"),
      el("th", { scope: "col" }, "Lost"),
    );
    for (const id of meters)
      head.append(el("th", { scope: "col", class: "number" }, words(show.parts[id]?.label ?? id)));
    head.append(
      el("th", { scope: "col" }, "Lights lit"),
      el("th", { scope: "col" }, "From the seat"),
    );
    const body = el("tbody");
    const usual = seatKey(normal);
    const list = this.chosen();
    list.forEach((f, n) => {
      const [before, after] = [list[n - 1]?.look === f.look, list[n + 1]?.look === f.look];
      const row = this.row(f, meters, groups.get(f.look) ?? 1, f.look === usual);
      if (before || after) row.lastElementChild?.classList.add("tied");
      row.classList.toggle("like-above", before);
      row.classList.toggle("like-below", after);
      body.append(row);
    });
    this.table.replaceChildren(
      el("table", { class: "failure-table" }, el("thead", {}, head), body),
    );
  }

  private row(f: Failure, meters: string[], alike: number, plain: boolean): HTMLElement {
    const { show } = this.host.session;
    const row = el(
      "tr",
      {},
      el(
        "th",
        { scope: "row" },
        button(f.name, () => this.host.load(f.id, f.kind), { class: "link" }),
      ),
      el("td", { title: f.lost.length > MANY ? f.lost.join(", ") : undefined }, lostWords(f.lost)),
    );
    for (const id of meters) {
      const i = f.state.indications[id];
      const cell = el("td", { class: "number" });
      // "−60 A, left stop" in two lines: the column is as wide as a figure.
      if (i?.figure !== null && i)
        cell.append(
          face(i, [{ value: i.figure, dashed: false }], ""),
          el("b", {}, i.reading.replace(", ", ",\n")),
        );
      else {
        cell.append(whole(i?.reading ?? ""));
        cell.classList.add("said");
      }
      // On a phone no head stands over it; a single meter needs no name.
      if (meters.length > 1 || cell.classList.contains("said"))
        cell.dataset["meter"] = words(show.parts[id]?.label ?? id);
      row.append(cell);
    }
    const lit = Object.entries(f.state.indications).filter(
      ([id, i]) => isLamp(show, id) && (i.figure ?? 0) > 0,
    );
    row.append(
      el("td", {}, lit.map(([id]) => show.parts[id]?.label ?? id).join(", ") || "none"),
      el(
        "td",
        {},
        plain
          ? "looks normal"
          : alike > 1
            ? `like ${alike - 1} other${alike > 2 ? "s" : ""}`
            : "by itself",
      ),
    );
    return row;
  }
}
