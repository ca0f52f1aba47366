// The cards for the flight bag, as they are printed: black on white, nothing that is a procedure.
import type { Show, State } from "./answers.ts";
import { carried, shelves } from "./breakers.ts";
import { parseDrawing } from "./drawing.ts";
import { button, el, words } from "./dom.ts";
import { face, isLamp, isMeter } from "./seat.ts";
import type { Session } from "./session.ts";

const EATERS = 5;

export interface PrintHost {
  session: Session;
  paper: string;
  choose(paper: string): void;
}

function foot(show: Show, side: string): HTMLElement {
  const date = show.papers["equipment-list"];
  return el(
    "footer",
    {},
    el(
      "span",
      {},
      [
        show.tail || show.name,
        date ? `equipment list ${date}` : "no equipment list date",
        `file ${show.revision}`,
      ].join(", "),
    ),
    el("span", {}, side),
  );
}

function head(show: Show, first: string, second: string): HTMLElement {
  return el(
    "header",
    {},
    el("h2", {}, show.tail || show.name),
    el("div", {}, el("p", {}, first), el("p", {}, el("b", {}, second))),
  );
}

function dead(show: Show, session: Session): string {
  const sources = Object.entries(show.parts).filter(
    ([, p]) => p.faults.includes("dead") && /^(battery|alternator|generator)$/.test(p.kind),
  );
  const fail = sources.slice(0, 8).map(([id]) => `${id}=dead`);
  const state = session.look({ ask: "state", phase: session.now.phase, fail });
  const kept = Object.entries(state.functions)
    .filter(([, f]) => f.status === "kept")
    .map(([id]) => words(id).toLowerCase());
  return kept.join(", ") || "nothing";
}

function normal(show: Show, all: Map<string, State>): HTMLElement {
  const one = [...all.values()][0];
  const meters = Object.keys(one?.indications ?? {}).filter((id) => show.parts[id]?.reads);
  const table = el(
    "table",
    {},
    el(
      "tr",
      {},
      el("th", {}, "Phase"),
      ...meters.map((id) => el("th", { class: "number" }, words(show.parts[id]?.label ?? id))),
      el("th", {}, "Lights lit"),
    ),
  );
  for (const [name, s] of all) {
    const lit = Object.entries(s.indications)
      .filter(([id, i]) => isLamp(show, id) && (i.figure ?? 0) > 0)
      .map(([id]) => show.parts[id]?.label ?? id);
    table.append(
      el(
        "tr",
        {},
        el("td", {}, words(name)),
        ...meters.map((id) => el("td", { class: "number" }, s.indications[id]?.reading ?? "")),
        el("td", {}, lit.join(", ") || "none"),
      ),
    );
  }
  return table;
}

function eaters(show: Show): HTMLElement {
  const all = show.buses
    .flatMap((b) => b.rows)
    .filter((r) => r.end === "item" && r.id && r.amps !== undefined);
  const seen = new Map(all.map((r) => [r.id ?? "", r.amps ?? 0]));
  const most = [...seen].sort((a, b) => b[1] - a[1]).slice(0, EATERS);
  const table = el("table");
  for (const [id, amps] of most)
    table.append(
      el(
        "tr",
        {},
        el("td", {}, words(show.parts[id]?.label ?? id)),
        el("td", { class: "number" }, `${amps.toFixed(1)} A`),
      ),
    );
  return table;
}

function ammeter(show: Show, s: State): HTMLElement | null {
  const found = Object.entries(s.indications).find(
    ([id, i]) => isMeter(i) && i.unit === "A" && show.parts[id]?.reads,
  );
  if (!found) return null;
  const [id, i] = found;
  const zero = (i.low ?? 0) < 0;
  const box = el(
    "section",
    {},
    el("h3", {}, `This ${show.parts[id]?.kind ?? "meter"} sits at ${show.parts[id]?.reads ?? ""}`),
  );
  const told = zero
    ? [
        ["Left of 0:", "the battery carries the loads. The needle shows the load, not full scale."],
        ["At 0:", "four causes. Voltmeter and one load tell them apart."],
        ["Far right, stays:", "regulator, flat battery, starter still engaged."],
      ]
    : [["Zero:", "no output. It is never negative."]];
  box.append(
    el(
      "div",
      { class: "card-meter" },
      face(i, [], "face of the meter"),
      el("div", {}, ...told.map(([a, b]) => el("p", {}, el("b", {}, a ?? ""), ` ${b ?? ""}`))),
    ),
  );
  return box;
}

function handbook(show: Show): string {
  const pages = new Set(
    Object.values(show.parts).flatMap((p) =>
      p.handbook ? [p.handbook.split(/[ ,]/)[0] ?? ""] : [],
    ),
  );
  return pages.size
    ? `Procedures: approved handbook, pages ${[...pages].join(", ")}.`
    : "Procedures: the approved handbook.";
}

function sideOne(session: Session): HTMLElement {
  const { show } = session;
  const all = session.normals();
  const s = session.normal(session.now.phase);
  return el(
    "article",
    { class: "card" },
    head(
      show,
      "SYSTEM NOTES, NOT A CHECKLIST",
      "The handbook comes first. Void after any equipment change.",
    ),
    el(
      "section",
      { class: "framed" },
      el("h3", {}, "Everything electrical dead: still works"),
      el("p", {}, dead(show, session)),
    ),
    el("section", {}, el("h3", {}, "Normal for this tail"), normal(show, all)),
    ammeter(show, s),
    el(
      "div",
      { class: "two" },
      el("section", {}, el("h3", {}, "Biggest eaters"), eaters(show)),
      el(
        "section",
        {},
        el("h3", {}, "Order of fading on battery"),
        el("p", { class: "blank" }, ""),
      ),
    ),
    el("p", {}, handbook(show)),
    el(
      "p",
      { class: "sign" },
      "Checked by ",
      el("span", { class: "line" }),
      " on ",
      el("span", { class: "line short" }),
    ),
    foot(show, "1 of 2"),
  );
}

function sideTwo(session: Session): HTMLElement {
  const { show } = session;
  const box = el(
    "article",
    { class: "card" },
    head(show, "BREAKERS BY PLACE", "What each carries beyond its label"),
  );
  const table = el("div", { class: "card-breakers" });
  for (const shelf of shelves(show)) {
    const part = el("table", {}, el("tr", {}, el("th", { colspan: 4 }, shelf.title)));
    for (const id of shelf.ids) {
      const p = show.parts[id];
      const label = (p?.label ?? id).toLowerCase();
      const beyond = carried(show, id)
        .map((c) => (show.parts[c.id]?.label ?? c.id).replace(/-/g, " "))
        .filter((n) => !label.startsWith(n.toLowerCase().slice(0, 4)));
      part.append(
        el(
          "tr",
          {},
          el("td", {}, p?.place?.number ? String(p.place.number) : ""),
          el("td", {}, el("b", {}, p?.label ?? id)),
          el("td", { class: "number" }, String(p?.rating ?? "")),
          el("td", {}, beyond.join(", ")),
        ),
      );
    }
    table.append(part);
  }
  box.append(
    table,
    el(
      "p",
      {},
      "A popped and a pulled breaker look alike: both are out. " +
        "Out stays out unless the handbook page says otherwise.",
    ),
    foot(show, "2 of 2"),
  );
  return box;
}

export function printView(host: PrintHost): Node[] {
  const { session } = host;
  const bar = el("div", { class: "print-bar" });
  for (const [value, label] of [
    ["card", "Card, two on a sheet"],
    ["wall", "Wall diagram"],
  ] as const)
    bar.append(
      button(label, () => host.choose(value), {
        class: "phase",
        "aria-pressed": host.paper === value ? "true" : "false",
      }),
    );
  bar.append(button("Print", () => window.print(), { class: "solid" }));
  if (host.paper === "wall") {
    const answer = session.plane.ask<string>({
      ...session.question(),
      ask: "draw",
      theme: "page",
      width: "1500",
    });
    const art = answer.answer ? parseDrawing(answer.answer) : null;
    const sheet = el(
      "article",
      { class: "wall" },
      el(
        "header",
        {},
        el("h2", {}, `${session.show.name}, ${session.show.tail}`),
        el(
          "p",
          {},
          `How power gets to every item, ${words(session.now.phase)}. ` +
            "System notes, not a checklist.",
        ),
      ),
    );
    if (art) sheet.append(art);
    sheet.append(
      el(
        "p",
        {},
        "Void after any equipment change. For teaching; the approved handbook comes first.",
      ),
      foot(session.show, ""),
    );
    return [bar, sheet];
  }
  return [bar, el("div", { class: "sheet" }, sideOne(session), sideTwo(session))];
}
