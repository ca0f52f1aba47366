// What has been done when, since the clock started: kept as chapters, and told to the core as a
// scenario, which the same page of text also is for `deadbus run`.
import type { BenchState, Chapter } from "./bench_state.ts";

/** Looks this far ahead. */
export const LASTS = 4 * 3600;

export type Case = "middle" | "low";

/** What the phase says of a switch or a condition by itself. */
export type Usual = (phase: string, id: string) => string | undefined;

export function isTimed(s: BenchState): boolean {
  return s.at > 0 || s.earlier.length > 0;
}

/** As it is set, with the clock at its start. */
export function untimed(s: BenchState): BenchState {
  return { ...s, at: 0, from: 0, pushed: [], earlier: [] };
}

function said(c: Chapter): string {
  return JSON.stringify([c.phase, c.set, c.fail, c.pushed]);
}

/** A change while the clock stands later than the last one begins another chapter. */
export function continued(now: BenchState, next: BenchState): BenchState {
  if (next.at <= now.from || said(now) === said(next)) return next;
  const { from, phase, set, fail, pushed } = now;
  const mine = next.pushed.filter((id) => !pushed.includes(id));
  return {
    ...next,
    from: next.at,
    pushed: mine,
    earlier: [...now.earlier, { from, phase, set, fail, pushed }],
  };
}

const faults = (list: string[]) => Object.fromEntries(list.map((one) => one.split("=", 2)));

function step(before: Chapter, now: Chapter, usual: Usual): object {
  const set: Record<string, string> = {};
  for (const [id, word] of Object.entries(now.set)) if (before.set[id] !== word) set[id] = word;
  for (const id of Object.keys(before.set))
    if (!(id in now.set)) set[id] = usual(now.phase, id) ?? "on";
  for (const id of now.pushed) set[id] = "in";
  return {
    at: `${now.from} s`,
    ...(now.phase === before.phase ? {} : { phase: now.phase }),
    set,
    fail: faults(now.fail.filter((one) => !before.fail.includes(one))),
    repair: faults(before.fail.filter((one) => !now.fail.includes(one))),
  };
}

export interface Telling {
  which: Case;
  lasts: number; // seconds
  record: string[];
}

/** The scenario's text. JSON is YAML: the core reads it as it reads a lesson. */
export function storyOf(s: BenchState, how: Telling, usual: Usual): string {
  const chapters = [...s.earlier, s];
  const first = chapters[0] ?? s;
  return JSON.stringify({
    scenario: 1,
    title: "On the bench",
    start: {
      phase: first.phase,
      set: first.set,
      fail: faults(first.fail),
      ...(s.charge ? { charge: s.charge } : {}),
      ...(s.temperature ? { temperature: s.temperature } : {}),
      ...(s.capacity ? { capacity: s.capacity } : {}),
      case: how.which,
    },
    ...(how.record.length ? { record: how.record } : {}),
    happens: chapters.slice(1).map((c, i) => step(chapters[i] ?? first, c, usual)),
    ends: { at: `${how.lasts} s` },
  });
}
