// What is set on the bench: kept small, compared with what the phase says, written into the
// address so that it can be handed on.
import type { Question } from "./answers.ts";

/** How things are set from a time of the clock on. */
export interface Chapter {
  from: number; // seconds
  phase: string;
  set: Record<string, string>;
  fail: string[]; // "alternator=dead"
  pushed: string[]; // breakers that had opened by themselves, pushed in then
}

export interface BenchState extends Chapter {
  charge: string; // "" as the file says
  temperature: string;
  capacity: string; // what age has left of the batteries, "" by the clock's case
  at: number; // what the clock says, seconds
  earlier: Chapter[];
}

export function plainState(phase: string): BenchState {
  const chapter = { from: 0, phase, set: {}, fail: [], pushed: [] };
  return { ...chapter, charge: "", temperature: "", capacity: "", at: 0, earlier: [] };
}

export function copyState(s: BenchState): BenchState {
  return { ...s, set: { ...s.set }, fail: [...s.fail] };
}

export function questionOf(s: BenchState): Question {
  const q: Question = { ask: "state", phase: s.phase };
  if (Object.keys(s.set).length) q.set = s.set;
  if (s.fail.length) q.fail = s.fail;
  if (s.charge) q.charge = s.charge;
  if (s.temperature) q.temperature = s.temperature;
  return q;
}

const MOST_FAULTS = 8;
const LONGEST = 4000;
const LATEST = 4 * 3600;

export function canFail(s: BenchState): boolean {
  return s.fail.length < MOST_FAULTS;
}

/** "#phase=cruise&set=key:BOTH&fail=alternator:dead" */
export function toAddress(s: BenchState): string {
  const out = new URLSearchParams();
  out.set("phase", s.phase);
  for (const [id, word] of Object.entries(s.set)) out.append("set", `${id}:${word}`);
  for (const one of s.fail) out.append("fail", one.replace("=", ":"));
  if (s.charge) out.set("charge", s.charge);
  if (s.temperature) out.set("temperature", s.temperature);
  if (s.capacity) out.set("capacity", s.capacity);
  if (s.at) out.set("at", String(s.at));
  if (s.earlier.length) out.set("since", JSON.stringify([s.from, s.pushed, ...s.earlier]));
  return `#${out.toString()}`;
}

function isChapter(c: unknown): c is Chapter {
  const { from, phase, set, fail, pushed } = (c ?? {}) as Record<string, unknown>;
  const texts = (list: unknown) => Array.isArray(list) && list.every((t) => typeof t === "string");
  return (
    typeof from === "number" &&
    typeof phase === "string" &&
    typeof set === "object" &&
    texts(Object.values(set ?? {})) &&
    texts(fail) &&
    texts(pushed)
  );
}

/** What was set before, by the clock. */
function readSince(text: string | null, into: BenchState): void {
  if (!text) return;
  try {
    const [from, pushed, ...earlier] = JSON.parse(text) as unknown[];
    const now = { ...into, from, pushed };
    if (!isChapter(now) || !earlier.every(isChapter)) return;
    Object.assign(into, { from: now.from, pushed: now.pushed, earlier });
  } catch {
    // An address that somebody has cut short: without its past.
  }
}

/** Reads what an address says; anything odd in it is left out, the core refuses the rest. */
export function fromAddress(hash: string, otherwise: string): BenchState {
  const state = plainState(otherwise);
  if (hash.length < 2 || hash.length > LONGEST) return state;
  const given = new URLSearchParams(hash.slice(1));
  state.phase = given.get("phase") ?? otherwise;
  for (const pair of given.getAll("set")) {
    const at = pair.indexOf(":");
    if (at > 0) state.set[pair.slice(0, at)] = pair.slice(at + 1);
  }
  for (const pair of given.getAll("fail").slice(0, MOST_FAULTS)) {
    const at = pair.indexOf(":");
    if (at > 0) state.fail.push(`${pair.slice(0, at)}=${pair.slice(at + 1)}`);
  }
  state.charge = given.get("charge") ?? "";
  state.temperature = given.get("temperature") ?? "";
  // Only the clock asks with it: what the core would refuse then is left out now.
  const capacity = Number(/^(\d{1,3})%$/.exec(given.get("capacity") ?? "")?.[1]);
  if (capacity >= 5 && capacity <= 120) state.capacity = `${capacity}%`;
  state.at = Math.min(LATEST, Math.max(0, Number(given.get("at")) || 0));
  readSince(given.get("since"), state);
  return state;
}

/** Done steps and those taken back. */
export class History {
  private done: BenchState[] = [];
  private undone: BenchState[] = [];
  /** As it was opened. */
  readonly first: BenchState;

  constructor(private present: BenchState) {
    this.first = present;
  }

  get now(): BenchState {
    return this.present;
  }
  get canUndo(): boolean {
    return this.done.length > 0;
  }
  get canRedo(): boolean {
    return this.undone.length > 0;
  }
  go(next: BenchState): void {
    this.done.push(this.present);
    if (this.done.length > 200) this.done.shift();
    this.present = next;
    this.undone = [];
  }
  /** The clock goes on: nothing to take back. */
  tick(at: number): void {
    this.present = { ...this.present, at };
  }
  undo(): void {
    const last = this.done.pop();
    if (!last) return;
    this.undone.push(this.present);
    this.present = last;
  }
  redo(): void {
    const next = this.undone.pop();
    if (!next) return;
    this.done.push(this.present);
    this.present = next;
  }
}
