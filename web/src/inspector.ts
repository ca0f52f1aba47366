// One part at a time: its positions, and how it can fail.
import type { Show, State } from "./answers.ts";
import type { BenchState } from "./bench_state.ts";
import { canFail } from "./bench_state.ts";
import { button, el, refresh, words } from "./dom.ts";

export interface InspectorHost {
  show: Show;
  place(id: string, word: string): void;
  fail(id: string, kind: string): void;
  select(id: string): void;
}

const DEFAULT_KINDS = /^(tripped|dead|open|stuck-open|failed|blown)$/;

function placeWords(show: Show, id: string): string {
  const place = show.parts[id]?.place;
  if (!place) return "";
  const row = place.row ? `row ${place.row}` : "";
  return [place.panel, row, place.number ? `no ${place.number}` : ""].filter(Boolean).join(" ");
}

/** A choice of all parts that can fail, those on the panel first. */
function picker(host: InspectorHost): HTMLSelectElement {
  const list = el("select", { id: "part-choice", change: () => host.select(list.value) });
  list.append(el("option", { value: "" }, "Choose a part"));
  const kinds = new Map<string, string[]>();
  for (const [id, part] of Object.entries(host.show.parts)) {
    if (!part.faults.length && !part.positions) continue;
    const group = kinds.get(part.kind) ?? [];
    group.push(id);
    kinds.set(part.kind, group);
  }
  for (const [kind, ids] of [...kinds].sort(([a], [b]) => (a < b ? -1 : 1))) {
    const group = el("optgroup", { label: words(kind) });
    for (const id of ids)
      group.append(el("option", { value: id }, host.show.parts[id]?.name ?? id));
    list.append(group);
  }
  return list;
}

function choices(
  label: string,
  all: string[],
  now: (word: string) => boolean,
  act: (word: string) => void,
): HTMLElement {
  const row = el("div", { class: "choices", role: "group", "aria-label": label });
  for (const word of all)
    row.append(
      button(words(word), () => act(word), { "aria-pressed": now(word) ? "true" : "false" }),
    );
  return row;
}

/** Stays from one state to the next: hundreds of choices are made and laid out once. */
export class Inspector {
  readonly box: HTMLElement;
  private readonly picker: HTMLSelectElement;
  private readonly part = el("div");

  constructor(private readonly host: InspectorHost) {
    this.picker = picker(host);
    this.box = el(
      "section",
      { class: "inspector", "aria-label": "Part" },
      el("h2", {}, "Move or break"),
      el(
        "div",
        { class: "field" },
        el("label", { for: "part-choice" }, "A part, and what fails"),
        this.picker,
      ),
      this.part,
    );
  }

  update(state: BenchState, now: State, chosen: string): void {
    this.picker.value = chosen;
    if (this.picker.selectedIndex < 0) this.picker.value = "";
    refresh(this.part, JSON.stringify([chosen, state.fail, now.settings[chosen]]), () => [
      ...details(this.host, state, now, chosen),
      list(this.host, state),
    ]);
  }
}

function details(
  host: InspectorHost,
  state: BenchState,
  now: State,
  chosen: string,
): HTMLElement[] {
  const part = host.show.parts[chosen];
  if (!part) return [];
  const at = now.settings[chosen] ?? "";
  const out: HTMLElement[] = [
    el("h3", {}, part.name),
    el(
      "p",
      { class: "quiet" },
      [words(part.kind), placeWords(host.show, chosen)].filter(Boolean).join(", "),
    ),
  ];
  if (part.positions)
    out.push(
      choices(
        "Position",
        part.positions,
        (w) => w === at,
        (w) => host.place(chosen, w),
      ),
    );
  if (!part.faults.length) return out;
  const failed = (kind: string) => state.fail.includes(`${chosen}=${kind}`);
  const kinds = [...part.faults].sort(
    (a, b) => Number(DEFAULT_KINDS.test(b)) - Number(DEFAULT_KINDS.test(a)),
  );
  out.push(
    el("h4", {}, "Fails"),
    choices("Fails", kinds, failed, (kind) => host.fail(chosen, kind)),
  );
  if (!canFail(state)) out.push(el("p", { class: "quiet" }, "At most 8 faults at a time."));
  return out;
}

/** What fails now, each to be mended. */
function list(host: InspectorHost, state: BenchState): HTMLElement {
  const ul = el("ul", { class: "failed-list" });
  for (const one of state.fail) {
    const [id = "", kind = ""] = one.split("=");
    ul.append(
      el(
        "li",
        {},
        el("span", {}, `${host.show.parts[id]?.name ?? id}: ${kind.replace(/-/g, " ")}`),
        button("Mend", () => host.fail(id, kind), {
          "aria-label": `Mend ${host.show.parts[id]?.name ?? id}`,
        }),
      ),
    );
  }
  return ul;
}
