// What is set on the bench: kept small, compared with what the phase says, written into the
// address so that it can be handed on.
import type { Question } from "./answers.ts";

export interface BenchState {
  phase: string;
  set: Record<string, string>;
  fail: string[]; // "alternator=dead"
  charge: string; // "" as the file says
  temperature: string;
}

export function plainState(phase: string): BenchState {
  return { phase, set: {}, fail: [], charge: "", temperature: "" };
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
  return `#${out.toString()}`;
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
  return state;
}

/** Done steps and those taken back. */
export class History {
  private done: BenchState[] = [];
  private undone: BenchState[] = [];

  constructor(private present: BenchState) {}

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
