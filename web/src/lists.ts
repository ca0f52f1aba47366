// Lost, reduced and kept, by function, each with its reason.
import type { Show, State } from "./answers.ts";
import { arrange, el, say, words } from "./dom.ts";

export interface Loss {
  ids: string[]; // functions, or an item
  names: string[];
  reason: string;
}

function worse(now: State, normal: State, id: string, to: string): boolean {
  return now.functions[id]?.status === to && normal.functions[id]?.status !== to;
}

/** The first reason among the items that give a function. */
export function reasonOf(show: Show, now: State, id: string): string {
  const f = show.functions[id];
  const givers = [...(f?.gives ?? []), ...(f?.gives_partly ?? [])];
  for (const item of givers) {
    const reason = now.equipment[item]?.reason;
    if (reason) return reason;
  }
  // A function with routes of its own: any item named in them.
  const routes = ` ${(f?.kept_by ?? []).join(" ")} `.toLowerCase();
  for (const [item, e] of Object.entries(now.equipment)) {
    const names = [item.replace(/-/g, " "), show.parts[item]?.label.toLowerCase()];
    if (e.reason && names.some((name) => name && routes.includes(` ${name} `))) return e.reason;
  }
  const off = givers.length && givers.every((item) => now.equipment[item]?.status === "unused");
  return off ? "Off now, and it wouldn't come on" : "";
}

export function itemWent(now: State, normal: State, id: string): boolean {
  const was = normal.equipment[id]?.status;
  const is = now.equipment[id]?.status;
  return (was === "on" || was === "weak") && (is === "off" || is === "no-data");
}

/** What went: functions first, then items that give none that went. The same reason stands once. */
export function losses(show: Show, now: State, normal: State): Loss[] {
  const out: Loss[] = [];
  const covered = new Set<string>();
  const add = (id: string, name: string, reason: string) => {
    const same = reason ? out.find((l) => l.reason === reason) : undefined;
    if (same) {
      same.names.push(name);
      same.ids.push(id);
    } else out.push({ ids: [id], names: [name], reason });
  };
  for (const id of Object.keys(now.functions)) {
    if (!worse(now, normal, id, "lost")) continue;
    add(id, words(id), reasonOf(show, now, id));
    for (const item of show.functions[id]?.gives ?? []) covered.add(item);
  }
  for (const id of Object.keys(now.equipment)) {
    if (!itemWent(now, normal, id) || covered.has(id)) continue;
    add(id, words(show.parts[id]?.label ?? id), now.equipment[id]?.reason ?? "");
  }
  return out;
}

export function reduced(show: Show, now: State, normal: State): Loss[] {
  const out: Loss[] = [];
  for (const [id, f] of Object.entries(now.functions)) {
    if (!worse(now, normal, id, "reduced")) continue;
    const names = f.by.map((b) => words(show.parts[b]?.label ?? b));
    const by = names.join(", ").replace(/, ([^,]*)$/, " and $1");
    const reason = reasonOf(show, now, id);
    out.push({
      ids: [id],
      names: [words(id)],
      reason: [by && `only by ${by}`, reason].filter(Boolean).join(": "),
    });
  }
  return out;
}

function section(title: string, list: Loss[]): HTMLElement {
  const dl = el("dl");
  for (const l of list)
    dl.append(el("dt", {}, l.names.join(", ")), l.reason && el("dd", {}, l.reason));
  return el("section", { class: "list" }, el("h2", {}, title), dl);
}

/** Most of what one has stays: only what comes or goes is laid out. */
class Kept {
  private readonly title = el("h2");
  private readonly list = el("ul", { class: "kept" });
  private readonly box = el("section", { class: "list" }, this.title, this.list);
  private readonly made = new Map<string, HTMLElement>();

  show(title: string, ids: string[]): HTMLElement {
    say(this.title, title);
    const item = (id: string) => {
      const one = this.made.get(id) ?? el("li", {}, words(id));
      this.made.set(id, one);
      return one;
    };
    arrange(this.list, ids.map(item));
    return this.box;
  }
}

function keptTitle(now: State, allKept: boolean): string {
  const draining = Object.values(now.batteries).some((b) => b.amps > 0.5);
  if (allKept) return draining ? "You have, while the battery lasts" : "Nothing lost. You have";
  return draining ? "Kept, while the battery lasts" : "Kept";
}

/** Kept from one state to the next: only a list that says something else is made anew. */
export class Lists {
  readonly box = el("div", { class: "lists" });
  private made = new Map<string, HTMLElement>();
  private readonly wet = new Kept();
  private readonly dry = new Kept();

  update(show: Show, now: State, normal: State): void {
    const lost = losses(show, now, normal);
    const less = reduced(show, now, normal);
    const kept = Object.keys(now.functions).filter((id) => now.functions[id]?.status === "kept");
    const dry = kept.filter((id) => now.functions[id]?.without_volts);
    const wet = kept.filter((id) => !now.functions[id]?.without_volts);
    const before = this.made;
    this.made = new Map();
    const put = <T>(title: string, said: T[], make: (title: string, said: T[]) => HTMLElement) => {
      if (!said.length) return;
      const key = JSON.stringify([title, said]);
      this.made.set(key, before.get(key) ?? make(title, said));
    };
    put("Lost", lost, section);
    put("Reduced", less, section);
    const title = keptTitle(now, !lost.length && !less.length);
    if (wet.length) this.made.set("wet", this.wet.show(title, wet));
    if (dry.length) this.made.set("dry", this.dry.show("Without the aeroplane's volts", dry));
    put("To note", now.notes, (title, said) =>
      el("section", { class: "list" }, el("h2", {}, title), ...said.map((n) => el("p", {}, n))),
    );
    put("", now.cautions, (_, said) =>
      el("section", { class: "list cautions" }, ...said.map((c) => el("p", {}, c))),
    );
    arrange(this.box, [...this.made.values()]);
  }
}
