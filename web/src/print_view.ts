// The cards for the flight bag, as they are printed: black on white, nothing that is a procedure.
import type { Show, State } from "./answers.ts";
import { carried, shelves } from "./breakers.ts";
import { parseDrawing } from "./drawing.ts";
import { brief, button, el, words } from "./dom.ts";
import { face, isLamp, isMeter } from "./seat.ts";
import type { Session } from "./session.ts";

/** What the plain page tells of the card, by its names; the core's own words. */
export type Told = Map<string, Element>;

export function toldByPage(): Told {
  const all = document.querySelectorAll("#plain [id^=card-]");
  return new Map([...all].map((e) => [e.id.slice("card-".length), e]));
}

export interface PrintHost {
  session: Session;
  told: Told;
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
        brief(show.tail || show.name),
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

function normal(show: Show, all: Map<string, State>): HTMLElement {
  const one = [...all.values()][0];
  const meters = Object.keys(one?.indications ?? {}).filter((id) => show.parts[id]?.reads);
  // A word as long as that is cut anywhere; others keep their columns wide enough.
  const long = meters.some((id) => /\S{15}/.test(show.parts[id]?.label ?? id));
  const table = el(
    "table",
    {
      class: ["card-normal", meters.length > 3 && "many", long && "long"].filter(Boolean).join(" "),
    },
    el(
      "tr",
      {},
      el("th", {}, "Phase"),
      ...meters.map((id) => el("th", { class: "number" }, words(show.parts[id]?.label ?? id))),
    ),
  );
  // Phases that read the same share a row.
  const rows = new Map<string, string[]>();
  for (const [name, s] of all) {
    const lit = Object.entries(s.indications)
      .filter(([id, i]) => isLamp(show, id) && (i.figure ?? 0) > 0)
      .map(([id]) => brief(show.parts[id]?.label ?? id));
    const said = [
      ...meters.map((id) => (s.indications[id]?.reading ?? "").replace(/^reads (its )?/, "")),
      lit.join(", "),
    ];
    const key = JSON.stringify(said);
    rows.set(key, [
      ...(rows.get(key) ?? []),
      rows.has(key) ? words(name).toLowerCase() : words(name),
    ]);
  }
  for (const [key, names] of rows) {
    const said = JSON.parse(key) as string[];
    const lit = said.pop() ?? "";
    table.append(
      el(
        "tr",
        lit ? { class: "with-lights" } : {},
        el("td", {}, names.join(", ")),
        ...said.map((reading) => el("td", { class: "number" }, reading)),
      ),
    );
    if (lit) table.append(el("tr", {}, el("td", { colspan: said.length + 1 }, `lit: ${lit}`)));
  }
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
    el(
      "h3",
      {},
      `This ${show.parts[id]?.kind ?? "meter"} sits at ${brief(show.parts[id]?.reads ?? "")}`,
      el("span", {}, " (face: on the wall)"),
    ),
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
      p.handbook ? [brief(p.handbook.split(/[ ,]/)[0] ?? "")] : [],
    ),
  );
  return pages.size
    ? `Procedures: approved handbook, pages ${[...pages].join(", ")}.`
    : "Procedures: the approved handbook.";
}

/** As told, or a line to write on. */
function line(told: Told, name: string): Element {
  const found = told.get(name)?.cloneNode(true) as Element | undefined;
  found?.removeAttribute("id");
  return found ?? el("p", { class: "blank" });
}

/** One paragraph after its title: where the room is short. */
function runIn(title: string, content: Element): HTMLElement {
  const said = [...content.children].filter((e) => e.nodeName === "LI").map((e) => e.textContent);
  const rest = said.length ? `${said.join("; ")}.` : content.textContent;
  if (!rest || content.classList.contains("blank")) return block(title, content);
  return el("section", {}, el("p", {}, el("b", {}, `${title}: `), rest));
}

function block(title: string, content: Element): HTMLElement {
  return el("section", {}, el("h3", {}, title), content);
}

function lists(told: Told, as: typeof block): HTMLElement {
  return el(
    "div",
    { class: as === block ? "two" : "" },
    as("Biggest eaters", line(told, "eaters")),
    as("Fades as volts fall, in this order", line(told, "fading")),
  );
}

// Lines of the table and of what fades with which lists side by side have no room any more, and
// then the meter's face.
const CROWDED = 18;
const FULL = 22;

function sideOne(session: Session, told: Told): HTMLElement {
  const { show } = session;
  const all = session.normals();
  const s = session.normal(session.now.phase);
  const table = normal(show, all);
  const fading = told.get("fading")?.childElementCount ?? 0;
  const lines = table.childElementCount + fading;
  const as = lines > CROWDED ? runIn : block;
  return el(
    "article",
    {
      class: ["card", lines > CROWDED && "crowded", lines > FULL && "full"]
        .filter(Boolean)
        .join(" "),
    },
    head(
      show,
      "SYSTEM NOTES, NOT A CHECKLIST",
      "The handbook comes first. Void after any equipment change.",
    ),
    el(
      "section",
      { class: "framed" },
      el("h3", {}, "Everything electrical dead: still works"),
      line(told, "dead"),
    ),
    block("Normal for this tail, and the lights lit", table),
    ammeter(show, s),
    lists(told, as),
    as("How long it lasts", line(told, "lasts")),
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

const LONG = 9; // items of one breaker: as many as half a sheet has room for

function shortName(show: Show, id: string): string {
  return brief(show.parts[id]?.label ?? id).replace(/-/g, " ");
}

function sideTwo(session: Session): HTMLElement {
  const { show } = session;
  const box = el(
    "article",
    { class: "card" },
    head(show, "BREAKERS BY PLACE", "What each carries beyond its label"),
  );
  const list = el("div", { class: "card-breakers" });
  for (const shelf of shelves(show)) {
    const part = el("ul");
    for (const id of shelf.ids) {
      const p = show.parts[id];
      const label = (p?.label ?? id).toLowerCase();
      const beyond = carried(show, id).flatMap((c) => {
        const name = shortName(show, c.id);
        if (show.parts[c.id]?.kind !== "bus")
          return label.startsWith(name.toLowerCase().slice(0, 4)) ? [] : [name];
        // What hangs on a bus goes with its feeder; a source's own breaker isn't on the panel.
        const rows = p?.place?.number ? (show.buses.find((b) => b.id === c.id)?.rows ?? []) : [];
        const ids = new Set(rows.flatMap((r) => (r.id && r.end !== "nothing" ? [r.id] : [])));
        const names = [...ids].map((i) => shortName(show, i));
        const told = names.length > LONG ? `${names.length} items` : names.join(", ");
        return [[name, told].filter(Boolean).join(": ")];
      });
      const said = el(
        "span",
        {},
        el("b", {}, `${brief(p?.label ?? id)} `),
        String(p?.rating ?? ""),
      );
      if (beyond.length) said.append(`: ${beyond.join(", ")}`);
      part.append(el("li", {}, el("span", {}, String(p?.place?.number || "")), said));
    }
    list.append(el("h3", {}, shelf.title), part);
  }
  box.append(
    list,
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

// Units of the sheet that are its own margin: the paper has one already.
const SIDES = 36;
const ENDS = 20;

/** One sheet, laid out by the core for A4 on its side, with its own heading and cautions. */
export function wall(session: Session): HTMLElement {
  const said = session.sheet();
  // Its colors are the page's: black here. A style of its own the page's policy wouldn't let in.
  const art = parseDrawing(said.replace(/<style>[^<]*<\/style>/, ""));
  const box = el("article", { class: "wall drawing", tabindex: "0", "aria-label": "Wall diagram" });
  if (!art) return box;
  const [, , width = 0, height = 0] = (art.getAttribute("viewBox") ?? "").split(" ").map(Number);
  const room = [SIDES, ENDS, width - 2 * SIDES, height - 2 * ENDS].join(" ");
  art.setAttribute("viewBox", room);
  box.append(art);
  return box;
}

export function printView(host: PrintHost): Node[] {
  const { session, told } = host;
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
  if (host.paper === "wall") return [bar, wall(session)];
  const sides = el("div", { class: "sheet" }, sideOne(session, told), sideTwo(session));
  return [bar, el("div", { class: "print-sheet" }, sides)];
}
