// The hidden failure as the student meets it: switches, breakers, and what the seat shows. The
// diagram, the amps and the sentences that would tell stay away until the failure is named.
import type { State } from "./answers.ts";
import { breakersView } from "./breakers.ts";
import { isOperable } from "./diagram.ts";
import { clockTime } from "./clock.ts";
import { button, el, words } from "./dom.ts";
import { differences, noticedList, quietSeat, type Seen } from "./from_seat.ts";
import { howSure, SURE } from "./predict.ts";
import type { Session } from "./session.ts";
import { LASTS, untimed } from "./story.ts";

interface Named {
  part: string;
  kind: string;
}

export interface Guess {
  named: Named[];
  sure: number;
}

const MOST_NAMED = 3;

export interface DrillHost {
  session: Session;
  chosen: string;
  guess: Guess;
  log: string[];
  operate(id: string): void;
  place(id: string, word: string): void;
  wait(minutes: number): void;
  repaint(): void;
  name(): void;
}

function switches(host: DrillHost, now: State): HTMLElement {
  const box = el("section", { class: "switches" }, el("h2", {}, "Switches"));
  const handles = new Set<string>();
  for (const [id, part] of Object.entries(host.session.show.parts)) {
    if (
      !isOperable(part) ||
      part.reach !== "seat" ||
      /^(breaker|fuse|limiter|engine|external-power)$/.test(part.kind)
    )
      continue;
    // Two poles that one handle moves stand at one place.
    const handle = JSON.stringify([part.label, part.place]);
    if (part.place && handles.has(handle)) continue;
    handles.add(handle);
    const row = el(
      "div",
      { class: "switch-row", role: "group", "aria-label": part.name },
      el("span", {}, words(part.label)),
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

export function drillWork(host: DrillHost, now: State): Node[] {
  const breakers = breakersView(
    {
      session: host.session,
      chosen: host.chosen,
      operate: (id) => host.operate(id),
      quiet: true,
    },
    now,
  );
  const panel = el("div", { class: "panel" }, breakers, switches(host, now));
  return [panel, noticedList(host.session.show, now)];
}

const STEPS = [1, 5, 20]; // minutes

/** Some failures show only as the battery runs down. */
function waiting(host: DrillHost): HTMLElement {
  const { at } = host.session.now;
  const steps = el("div", { class: "choices" });
  for (const n of STEPS)
    steps.append(
      button(`${n} min on`, () => host.wait(n), {
        disabled: at + 60 * n > LASTS,
      }),
    );
  return el(
    "section",
    { class: "wait", "aria-label": "Time" },
    el("h2", {}, "Let time pass"),
    el("p", {}, `It failed at 0:00; the clock says ${clockTime(at)}.`),
    steps,
  );
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

function whichPart(host: DrillHost, one: Named, number: string): HTMLElement {
  const { parts } = host.session.show;
  const name = (id: string) => parts[id]?.name ?? id;
  const ids = Object.keys(parts)
    .filter((id) => parts[id]?.faults.length)
    .sort((a, b) => name(a).localeCompare(name(b)));
  const options = ids.map((id): [string, string] => [id, name(id)]);
  return choice(`guess-part${number}`, "The part", "Which part?", options, one.part, (id) => {
    one.part = id;
    one.kind = "";
    host.repaint();
  });
}

function whatIsWrong(host: DrillHost, one: Named, number: string): HTMLElement {
  const kinds = host.session.show.parts[one.part]?.faults ?? [];
  const options = kinds.map((k): [string, string] => [k, k.replace(/-/g, " ")]);
  const label = "What is wrong with it";
  return choice(`guess-kind${number}`, label, "How?", options, one.kind, (kind) => {
    one.kind = kind;
    host.repaint();
  });
}

/** One failure after the other: how many there are isn't told. */
function naming(host: DrillHost): Node[] {
  const { named } = host.guess;
  const out: Node[] = named.flatMap((one, n) => {
    const number = n ? `-${n + 1}` : "";
    return [whichPart(host, one, number), whatIsWrong(host, one, number)];
  });
  const change = (act: () => void) => () => {
    act();
    host.repaint();
  };
  const more = change(() => named.push({ part: "", kind: "" }));
  const less = change(() => named.pop());
  if (named.length > 1) out.push(button("Not this one", less, { class: "link" }));
  if (named.length < MOST_NAMED && named.every((one) => one.kind))
    out.push(button("Something else failed too", more, { class: "link" }));
  return out;
}

export function drillRail(host: DrillHost, now: State): Node[] {
  const { guess, session } = host;
  const sure = howSure(guess.sure, (n) => {
    guess.sure = n;
    host.repaint();
  });
  const done = guess.sure && guess.named.every((one) => one.kind);
  const box = el(
    "section",
    { class: "predict", "aria-label": "Name the failure" },
    el("h2", {}, "Name the failure"),
    ...naming(host),
    el("h3", {}, "How sure are you?"),
    sure,
    button("Commit and see", () => host.name(), {
      class: "solid",
      disabled: !done,
    }),
    el(
      "p",
      { class: "quiet center" },
      done
        ? "Nothing is shown until you commit."
        : "Name the part, what is wrong with it, and how sure you are.",
    ),
    ...logOf(host),
  );
  return [quietSeat(session.show, now, session.normal(now.phase)), waiting(host), box];
}

function logOf(host: DrillHost): Node[] {
  if (!host.log.length) return [];
  const list = el("ul", { class: "log" }, ...host.log.map((l) => el("li", {}, l)));
  return [el("h3", {}, "What you did"), list];
}

/** What was named against what it was. */
function verdict(named: string[], truth: string[], name: (one: string) => string): string {
  const part = (one: string) => one.split("=")[0];
  const right = named.filter((one) => truth.includes(one)).map(name);
  const rest = named.filter((one) => !truth.includes(one));
  const missed = truth.filter((one) => !named.includes(one));
  const more = missed.length ? " There was more." : "";
  if (!rest.length) return more ? `Right.${more}` : "That is it.";
  const near = rest.some((one) => missed.some((t) => part(t) === part(one)));
  if (near) return "The right part, but what is wrong with it is something else.";
  return right.length ? `Right about one: ${right.join("; ")}.${more}` : "That isn't it.";
}

/** After the failure is named: what it was, what was done, and what looks the same. */
export function debrief(host: DrillHost, truth: string[], goOn: () => void): HTMLElement {
  const { session, guess } = host;
  const { show, now } = session;
  const named = [...new Set(guess.named.map((one) => `${one.part}=${one.kind}`))];
  const name = (one: string) => {
    const [id = "", kind = ""] = one.split("=");
    return `${show.parts[id]?.name ?? id}, ${kind.replace(/-/g, " ")}`;
  };
  const seen = (fail: string[], begun: boolean): Seen => {
    const at = begun ? now : untimed(session.history.first);
    return { state: session.lookWith(at, fail), fails: fail };
  };
  const right = named.length === truth.length && named.every((one) => truth.includes(one));
  const box = el(
    "section",
    { class: "predict", "aria-label": "Debrief" },
    el("h2", {}, "Debrief"),
    el("p", {}, el("b", {}, "It was: "), truth.map(name).join("; "), "."),
    el("p", {}, el("b", {}, "You named: "), named.map(name).join("; "), ". "),
    el("p", {}, verdict(named, truth, name), ` ${SURE[guess.sure] ?? ""}.`),
  );
  if (!right) {
    const other = differences(show, seen(named, true), seen(truth, true));
    box.append(
      el(
        "p",
        {},
        other.length
          ? `What you named would have looked different: ${other.slice(0, 4).join("; ")}.`
          : "As the switches stand, the two look the same from the seat: no needle, no light " +
              "and nothing that works or doesn't tells them apart.",
      ),
    );
    if (guess.sure === 3)
      box.append(el("p", {}, "A surprise while sure is the one worth keeping."));
  }
  const told = differences(show, seen(truth, false), seen([], false));
  box.append(
    el(
      "p",
      {},
      el("b", {}, "What showed it: "),
      told.length ? `${told.join("; ")}.` : "nothing, before a switch was tried.",
    ),
    ...logOf(host),
    button("Go on", goOn, { class: "solid" }),
  );
  return box;
}
