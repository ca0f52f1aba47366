// Breakers by place, as the pilot finds them: plain discs with their ratings, to be pulled and
// pushed in. Beside them, what the label doesn't tell.
import type { Show, State } from "./answers.ts";
import { button, el, svg, words } from "./dom.ts";
import { losses } from "./lists.ts";
import type { Session } from "./session.ts";
import { untimed } from "./story.ts";

export interface BreakersHost {
  session: Session;
  chosen: string;
  operate(id: string): void;
  quiet?: boolean; // amps aren't told
}

const PROTECTS = new Set(["breaker", "fuse", "limiter"]);

export function protectors(show: Show): string[] {
  return Object.keys(show.parts).filter((id) => {
    const p = show.parts[id];
    return p && PROTECTS.has(p.kind) && p.reach !== "absent";
  });
}

/** From the seat: a fuse that has blown looks as it did, and what isn't on the panel isn't seen. */
export function isSeen(show: Show, id: string): boolean {
  const part = show.parts[id];
  return part?.reach === "seat" || (part?.reach === "no-pull" && !!part.place?.number);
}

export function isSeenOut(show: Show, now: State, fails: string[], id: string): boolean {
  const byItself = now.trips.includes(id) || fails.includes(`${id}=tripped`);
  return now.settings[id] === "out" || (show.parts[id]?.kind === "breaker" && byItself);
}

interface Shelf {
  title: string;
  ids: string[];
}

/** Rows of the panel in their order; what has no place comes last. */
export function shelves(show: Show): Shelf[] {
  const rows = new Map<string, string[]>();
  const rest: string[] = [];
  for (const id of protectors(show)) {
    const place = show.parts[id]?.place;
    if (!place || !place.number) {
      rest.push(id);
      continue;
    }
    const title =
      [place.panel, place.row ? `row ${place.row}` : ""].filter(Boolean).join(" ") || "panel";
    rows.set(title, [...(rows.get(title) ?? []), id]);
  }
  const number = (id: string) => show.parts[id]?.place?.number ?? 0;
  const out = [...rows]
    .sort(([a], [b]) => a.localeCompare(b, "en", { numeric: true }))
    .map(([title, ids]) => ({
      title: words(title),
      ids: ids.sort((a, b) => number(a) - number(b)),
    }));
  if (rest.length) out.push({ title: "Out of reach, or without a place", ids: rest });
  return out;
}

export function carried(show: Show, id: string): { id: string; amps: number | undefined }[] {
  const out: { id: string; amps: number | undefined }[] = [];
  for (const bus of show.buses)
    for (const row of bus.rows)
      if (row.breaker === id && row.id && row.end !== "nothing")
        out.push({ id: row.id, amps: row.amps });
  return out;
}

/** A disc; out: it stands off a solid collar. */
function disc(rating: string, out: boolean): SVGSVGElement {
  const art = svg("svg", {
    viewBox: "0 0 72 84",
    class: out ? "disc out" : "disc",
    "aria-hidden": "true",
  });
  if (out) art.append(svg("path", { class: "collar", d: "M8 34V56A28 28 0 0 0 64 56V34Z" }));
  const y = out ? 32 : 46;
  art.append(
    svg("circle", { cx: 36, cy: y, r: 28 }),
    svg("text", { x: 36, y: y + 7, "text-anchor": "middle" }, rating),
  );
  return art;
}

/** As the diagram tells it. */
function amps(value: number): string {
  const size = Math.abs(value);
  if (size >= 0.05) return `${size.toFixed(1)} A`;
  return size < 0.0005 ? "0 A" : `${(size * 1000).toFixed(0)} mA`;
}

function one(host: BreakersHost, now: State, id: string, tabbed: boolean): HTMLElement {
  const part = host.session.show.parts[id];
  const { show, now: set, hidden } = host.session;
  const fails = [...hidden, ...set.fail];
  const out = host.quiet ? isSeenOut(show, now, fails, id) : host.session.isOut(now, id);
  const rating = part?.rating !== undefined ? String(part.rating) : "";
  const state = out ? "out" : host.quiet ? "in" : amps(now.parts[id]?.amps ?? 0);
  const cell = el(
    "button",
    {
      type: "button",
      role: "switch",
      class: id === host.chosen ? "breaker chosen" : "breaker",
      "aria-checked": String(!out),
      "aria-label": `${part?.label ?? id}, ${rating} A, ${out ? "out" : "in"}`,
      tabindex: tabbed ? "0" : "-1",
      "data-keep": `breaker-${id}`,
      "data-id": id,
      click: () => host.operate(id),
      focus: () => undefined,
    },
    disc(rating, out),
    el("span", { class: "breaker-name" }, words(part?.label ?? id)),
    el("span", { class: out ? "breaker-state strong" : "breaker-state" }, state),
  );
  return cell;
}

function arrows(grid: HTMLElement, e: KeyboardEvent): void {
  const all = [...grid.querySelectorAll<HTMLElement>("button.breaker")];
  const at = all.indexOf(document.activeElement as HTMLElement);
  if (at < 0) return;
  const here = all[at]?.getBoundingClientRect();
  let next: HTMLElement | undefined;
  if (e.key === "ArrowRight") next = all[at + 1];
  else if (e.key === "ArrowLeft") next = all[at - 1];
  else if (e.key === "Home") next = all[0];
  else if (e.key === "End") next = all[all.length - 1];
  else if ((e.key === "ArrowDown" || e.key === "ArrowUp") && here) {
    const side = e.key === "ArrowDown" ? 1 : -1;
    const far = (b: HTMLElement) => {
      const r = b.getBoundingClientRect();
      const dy = (r.top - here.top) * side;
      return dy < 8 ? Infinity : dy * 4 + Math.abs(r.left - here.left);
    };
    next = all.reduce<HTMLElement | undefined>(
      (best, b) => (far(b) < (best ? far(best) : Infinity) ? b : best),
      undefined,
    );
  } else return;
  e.preventDefault();
  if (!next) return;
  all.forEach((b) => b.setAttribute("tabindex", b === next ? "0" : "-1"));
  next.focus();
}

export function breakersSentence(session: Session, now: State): string {
  const { show } = session;
  const all = protectors(show);
  const out = all.filter((id) => session.isOut(now, id));
  const names = out.map((id) => show.parts[id]?.label ?? id).join(", ");
  const rest = out.length === 0 ? "all in." : `${out.length} out: ${names}.`;
  return `${all.length} breakers and fuses, ${rest}`;
}

export function breakersView(host: BreakersHost, now: State): HTMLElement {
  const grid = el("div", { class: "shelves" });
  grid.addEventListener("keydown", (e) => arrows(grid, e as KeyboardEvent));
  let first = !host.chosen || !protectors(host.session.show).includes(host.chosen);
  const { show } = host.session;
  for (const shelf of shelves(show)) {
    const ids = shelf.ids.filter((id) => !host.quiet || isSeen(show, id));
    if (!ids.length) continue;
    const row = el(
      "div",
      { class: "shelf", role: "group", "aria-label": shelf.title },
      el("h2", {}, shelf.title),
    );
    const cells = el("div", { class: "cells" });
    for (const id of ids) {
      cells.append(one(host, now, id, first || id === host.chosen));
      first = false;
    }
    row.append(cells);
    grid.append(row);
  }
  return grid;
}

function carriesTable(show: Show, id: string, now: State): HTMLElement {
  const table = el("table");
  for (const c of carried(show, id))
    table.append(
      el(
        "tr",
        {},
        el("th", { scope: "row" }, words(show.parts[c.id]?.label ?? c.id)),
        el("td", { class: "number" }, amps(now.equipment[c.id]?.amps ?? 0)),
      ),
    );
  table.append(
    el(
      "tr",
      { class: "sum" },
      el("th", { scope: "row" }, "Now through it"),
      el("td", { class: "number" }, amps(now.parts[id]?.amps ?? 0)),
    ),
  );
  return table;
}

/** The rail: what the chosen breaker carries, and what its loss takes away. */
export function breakerRail(host: BreakersHost, now: State): HTMLElement {
  const { show } = host.session;
  const id = host.chosen;
  const part = show.parts[id];
  const box = el("section", { class: "breaker-rail", "aria-label": "Breaker" });
  if (!part || !PROTECTS.has(part.kind)) {
    box.append(
      el("h2", {}, "What each carries"),
      el("p", {}, "Pull a breaker to see what hangs on it beyond its label."),
    );
    return box;
  }
  const out = host.session.isOut(now, id);
  box.append(
    el("h2", { class: "serif-name" }, part.label),
    el("p", {}, `${part.rating ?? ""} A. ${out ? "Out." : "In."}`),
  );
  box.append(el("h3", {}, "Carries"), carriesTable(show, id, now));
  const without = host.session.look({
    ...host.session.question(untimed(host.session.now)),
    set: { ...host.session.now.set, [id]: "out" },
  });
  const lost = losses(show, without, host.session.normal(host.session.now.phase)).flatMap(
    (l) => l.names,
  );
  box.append(
    el("h3", {}, "If it is out"),
    el("p", {}, lost.length ? `Lost: ${lost.join(", ")}.` : "Nothing is lost in this phase."),
  );
  box.append(
    el("h3", {}, "Back in?"),
    el(
      "p",
      {},
      part.handbook
        ? `Your handbook, page ${part.handbook.split(/[ ,]/)[0] ?? ""}, decides.`
        : "No handbook page is given for it. It stays out.",
    ),
  );
  // What opened by itself isn't offered as the thing to do next.
  const plain = out && host.session.outByItself(now, id) ? "link" : "solid";
  box.append(
    button(`${out ? "Push in" : "Pull"} ${part.label}`, () => host.operate(id), { class: plain }),
  );
  return box;
}
