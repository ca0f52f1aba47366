// The hidden failure as the student meets it: switches, breakers, and what the seat shows. The
// diagram, the amps and the sentences that would tell stay away until the failure is named.
import type { Show, State } from "./answers.ts";
import { breakersView } from "./breakers.ts";
import { isOperable } from "./diagram.ts";
import { button, el, words } from "./dom.ts";
import { howSure } from "./predict.ts";
import { face, isLamp, isMeter, lamp } from "./seat.ts";
import type { Session } from "./session.ts";

export interface Guess {
  part: string;
  kind: string;
  sure: number;
}

export interface DrillHost {
  session: Session;
  chosen: string;
  guess: Guess;
  log: string[];
  operate(id: string): void;
  place(id: string, word: string): void;
  repaint(): void;
  name(): void;
}

const STATES: Record<string, string> = {
  on: "works",
  weak: "weak",
  off: "dark",
  "no-data": "on, no data",
  unused: "off",
};

/** Only what is read off the panel. */
export function seatSentence(show: Show, now: State): string {
  const meters = Object.entries(now.indications)
    .filter(([, i]) => isMeter(i))
    .map(([id, i]) => `${words(show.parts[id]?.label ?? id)} ${i.reading}.`);
  const lit = Object.entries(now.indications)
    .filter(([id, i]) => isLamp(show, id) && (i.figure ?? 0) > 0)
    .map(([id]) => show.parts[id]?.label ?? id);
  return `Something has failed. ${meters.join(" ")} Lit: ${lit.join(", ") || "nothing"}.`;
}

function switches(host: DrillHost, now: State): HTMLElement {
  const box = el("section", { class: "switches" }, el("h2", {}, "Switches"));
  for (const [id, part] of Object.entries(host.session.show.parts)) {
    if (
      !isOperable(part) ||
      part.reach !== "seat" ||
      /^(breaker|fuse|limiter|engine|external-power)$/.test(part.kind)
    )
      continue;
    const row = el(
      "div",
      { class: "switch-row", role: "group", "aria-label": part.name },
      el("span", {}, part.label),
    );
    const set = el("span", { class: "choices" });
    for (const word of part.positions ?? [])
      set.append(
        button(word, () => host.place(id, word), {
          "aria-pressed": now.settings[id] === word ? "true" : "false",
          "data-keep": `${id}-${word}`,
        }),
      );
    row.append(set);
    box.append(row);
  }
  return box;
}

function noticed(show: Show, now: State): HTMLElement {
  const list = el("ul");
  for (const [id, e] of Object.entries(now.equipment))
    list.append(
      el(
        "li",
        {},
        el("span", {}, words(show.parts[id]?.label ?? id)),
        el("b", {}, STATES[e.status] ?? e.status),
      ),
    );
  return el("section", { class: "noticed" }, el("h2", {}, "What you notice"), list);
}

export function drillWork(host: DrillHost, now: State): Node[] {
  return [
    breakersView(
      {
        session: host.session,
        chosen: host.chosen,
        operate: (id) => host.operate(id),
        quiet: true,
      },
      now,
    ),
    switches(host, now),
    noticed(host.session.show, now),
  ];
}

function quietSeat(show: Show, now: State): HTMLElement {
  const box = el(
    "section",
    { class: "seat", "aria-label": "What the seat shows" },
    el("h2", {}, "What the seat shows"),
  );
  const lamps = el("ul", { class: "lights" });
  for (const [id, i] of Object.entries(now.indications)) {
    const name = words(show.parts[id]?.label ?? id);
    if (isMeter(i)) {
      const marks = i.figure === null ? [] : [{ value: i.figure, dashed: false }];
      box.append(
        el(
          "div",
          { class: "meter-head" },
          el("h3", {}, name),
          el("span", { class: "big" }, i.reading),
        ),
        face(i, marks, `${name}: ${i.reading}`),
      );
    } else if (isLamp(show, id))
      lamps.append(
        el("li", { class: (i.figure ?? 0) > 0 ? "light lit" : "light" }, ...lamp(show, id, i)),
      );
  }
  box.append(lamps);
  return box;
}

/** A list to choose from; what is chosen is `now`. */
function choice(
  id: string,
  label: string,
  first: string,
  options: [string, string][],
  now: string,
  choose: (value: string) => void,
): HTMLElement {
  const list = el(
    "select",
    { id, "data-keep": id, change: () => choose(list.value) },
    el("option", { value: "" }, first),
  );
  for (const [value, text] of options)
    list.append(el("option", { value, selected: value === now }, text));
  return el("div", { class: "field" }, el("label", { for: id }, label), list);
}

function whichPart(host: DrillHost): HTMLElement {
  const { parts } = host.session.show;
  const name = (id: string) => parts[id]?.name ?? id;
  const ids = Object.keys(parts)
    .filter((id) => parts[id]?.faults.length)
    .sort((a, b) => name(a).localeCompare(name(b)));
  const options = ids.map((id): [string, string] => [id, name(id)]);
  return choice("guess-part", "The part", "Which part?", options, host.guess.part, (id) => {
    host.guess.part = id;
    host.guess.kind = "";
    host.repaint();
  });
}

function whatIsWrong(host: DrillHost): HTMLElement {
  const kinds = host.session.show.parts[host.guess.part]?.faults ?? [];
  const options = kinds.map((k): [string, string] => [k, k.replace(/-/g, " ")]);
  const label = "What is wrong with it";
  return choice("guess-kind", label, "How?", options, host.guess.kind, (kind) => {
    host.guess.kind = kind;
    host.repaint();
  });
}

export function drillRail(host: DrillHost, now: State): Node[] {
  const sure = howSure(host.guess.sure, (n) => {
    host.guess.sure = n;
    host.repaint();
  });
  const box = el(
    "section",
    { class: "predict", "aria-label": "Name the failure" },
    el("h2", {}, "Name the failure"),
    whichPart(host),
    whatIsWrong(host),
    el("h3", {}, "How sure are you?"),
    sure,
    button("Commit and see", () => host.name(), {
      class: "solid",
      disabled: !host.guess.kind || !host.guess.sure,
      "data-keep": "commit",
    }),
    el("p", { class: "quiet center" }, "Nothing is shown until you commit."),
  );
  if (host.log.length)
    box.append(
      el("h3", {}, "What you did"),
      el("ul", { class: "log" }, ...host.log.map((l) => el("li", {}, l))),
    );
  return [quietSeat(host.session.show, now), box];
}

/** After the failure is named: what it was, what was done, and what looks the same. */
export function debrief(host: DrillHost, truth: string[], now: State): HTMLElement {
  const { show } = host.session;
  const said = `${host.guess.part}=${host.guess.kind}`;
  const name = (one: string) => {
    const [id = "", kind = ""] = one.split("=");
    return `${show.parts[id]?.name ?? id}, ${kind.replace(/-/g, " ")}`;
  };
  const right = truth.includes(said);
  const yours = host.session.look({
    ask: "state",
    phase: host.session.now.phase,
    set: host.session.now.set,
    fail: [said],
  });
  const look = (s: State) =>
    Object.values(s.indications)
      .map((i) => i.reading)
      .join("|");
  const alike = !right && look(yours) === look(now);
  const box = el("section", { class: "predict", "aria-label": "Debrief" }, el("h2", {}, "Debrief"));
  box.append(
    el("p", {}, el("b", {}, "It was: "), truth.map(name).join("; "), "."),
    el("p", {}, el("b", {}, "You named: "), name(said), right ? ": that is it." : "."),
  );
  if (alike)
    box.append(
      el("p", {}, "From the seat the two look the same: no reading and no light tells them apart."),
    );
  else if (!right)
    box.append(
      el("p", {}, "Yours would have looked different: ", differences(show, yours, now), "."),
    );
  if (host.log.length)
    box.append(
      el("h3", {}, "What you did"),
      el("ul", { class: "log" }, ...host.log.map((l) => el("li", {}, l))),
    );
  return box;
}

function differences(show: Show, yours: State, now: State): string {
  const out: string[] = [];
  for (const [id, i] of Object.entries(now.indications)) {
    const other = yours.indications[id];
    if (other && other.reading !== i.reading)
      out.push(`${words(show.parts[id]?.label ?? id)} ${other.reading} instead of ${i.reading}`);
  }
  return out.slice(0, 3).join(", ") || "what works differs";
}
