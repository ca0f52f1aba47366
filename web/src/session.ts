// One aeroplane on the bench: what is set, what the core answers, what is normal.
import type { Answer, Question, Run, Show, State } from "./answers.ts";
import { type BenchState, copyState, History, plainState, questionOf } from "./bench_state.ts";
import type { Plane } from "./core.ts";
import { type Case, isTimed, LASTS, storyOf } from "./story.ts";

export class Refused extends Error {}

function must<T>(answer: Answer<T>): T {
  if (answer.answer === null || answer.exit > 1) {
    const first = answer.findings.find((f) => f.severity === "error") ?? answer.findings[0];
    throw new Refused(first ? `${first.text}. ${first.hint}` : "no answer");
  }
  return answer.answer;
}

let sessions = 0;

/** The failures that a breaker or fuse has when it opened by itself. */
export const opened = (id: string) => [`${id}=tripped`, `${id}=blown`];

export class Session {
  readonly serial = ++sessions;
  readonly show: Show;
  readonly history: History;
  private readonly base = new Map<string, State>();
  private solved: { key: string; answer: Answer<State> } | null = null;

  constructor(
    readonly plane: Plane,
    start: (usual: string) => BenchState,
    hidden: string[] = [],
  ) {
    this.hidden = hidden;
    this.show = must(plane.ask<Show>({ ask: "show" }));
    // The usual phase by its own name gets the same answer: that isn't worked out again.
    const answer = plane.ask<State>({ ask: "state" });
    const state = must(answer);
    const usual = state.phase;
    this.base.set(usual, state);
    this.solved = { key: JSON.stringify(questionOf(plainState(usual))), answer };
    this.history = new History(this.valid(start(usual), usual));
  }

  /** What the core said against the state it was to begin with; "" if nothing. */
  refused = "";

  /** A state that the core refuses (an old address, another aeroplane) gives way to a plain one. */
  private valid(wanted: BenchState, usual: string): BenchState {
    try {
      this.solve(wanted);
      return wanted;
    } catch (e) {
      if (!(e instanceof Refused)) throw e;
      this.hidden = [];
      this.refused = e.message;
      return plainState(usual);
    }
  }

  get now(): BenchState {
    return this.history.now;
  }

  /** A failure that isn't to be told: in every answer, in no address. */
  hidden: string[];

  question(s: BenchState = this.now): Question {
    if (isTimed(s)) return { ask: "state", scenario: this.story(s, "middle"), at: `${s.at}s` };
    return questionOf(this.withHidden(s));
  }

  /** How it would look if these failed instead. */
  lookWith(s: BenchState, fail: string[]): State {
    const { hidden } = this;
    this.hidden = fail;
    try {
      return this.look(this.question({ ...s, fail: [] }));
    } finally {
      this.hidden = hidden;
    }
  }

  /** The bus with most on it, and each battery. */
  private recorded(): string[] {
    const { buses, parts } = this.show;
    const [bus] = [...buses].sort((a, b) => b.rows.length - a.rows.length);
    const batteries = Object.keys(parts).filter((id) => parts[id]?.kind === "battery");
    return [...(bus ? [bus.id] : []), ...batteries.flatMap((id) => [`${id} amps`, `${id} charge`])];
  }

  private withHidden<T extends { fail: string[] }>(s: T): T {
    return this.hidden.length ? { ...s, fail: [...this.hidden, ...s.fail] } : s;
  }

  private story(s: BenchState, which: Case, lasts = LASTS): string {
    const all = { ...this.withHidden(s), earlier: s.earlier.map((c) => this.withHidden(c)) };
    return storyOf(all, { which, lasts, record: this.recorded() }, (phase, id) => {
      const { settings, outside } = this.normal(phase);
      if (typeof outside[id] === "boolean") return outside[id] ? "yes" : "no";
      return settings[id];
    });
  }

  /** From the start of the clock on, and on from now if nobody does anything more. */
  run(which: Case, lasts: number): Run {
    const scenario = this.story(this.now, which, lasts);
    return must(this.plane.ask<Run>({ ask: "run", scenario }));
  }

  /** Whether a breaker or fuse stands out, by hand or by itself. */
  isOut(now: State, id: string): boolean {
    return now.settings[id] === "out" || this.outByItself(now, id);
  }

  outByItself(now: State, id: string): boolean {
    const fails = [...this.hidden, ...this.now.fail];
    return now.trips.includes(id) || fails.some((f) => opened(id).includes(f));
  }

  solve(s: BenchState): State {
    return must(this.answer(s));
  }

  /** The last answer is remembered: a step asks for it more than once. */
  private answer(s: BenchState): Answer<State> {
    const question = this.question(s);
    const key = JSON.stringify(question);
    if (this.solved?.key !== key) this.solved = { key, answer: this.plane.ask<State>(question) };
    return this.solved.answer;
  }

  /** Asks without disturbing what is remembered. */
  look(question: Question): State {
    return must(this.plane.ask<State>(question));
  }

  drawing(s: BenchState, width: number, touch = false): string {
    const q: Question = { ...this.question(s), ask: "draw", theme: "page", width: String(width) };
    if (touch) q.touch = true;
    return must(this.plane.ask<string>(q));
  }

  /** The diagram as a sheet to print. */
  sheet(): string {
    return must(this.plane.ask<string>({ ...this.question(), ask: "draw", theme: "print" }));
  }

  /** The phase as it should be. */
  normal(phase: string): State {
    let state = this.base.get(phase);
    if (!state) {
      state = this.look({ ask: "state", phase });
      this.base.set(phase, state);
    }
    return state;
  }

  normals(): Map<string, State> {
    return new Map(this.show.phases.map((p) => [p.name, this.normal(p.name)]));
  }

  // ---- changes: each gives the state that would follow
  placed(id: string, word: string): BenchState {
    const next = copyState(this.now);
    const back = this.normal(next.phase).settings[id];
    if (back === word) delete next.set[id];
    else next.set[id] = word;
    return this.settle(next, id);
  }

  /** A rocker's other half may refuse what was set before: the last hand on it wins. */
  private settle(next: BenchState, moved: string): BenchState {
    if (isTimed(next)) return next; // in a scenario the last hand wins by itself
    for (let i = 0; i < 8; i++) {
      const answer = this.answer(next);
      if (answer.answer) return next;
      const clash = answer.findings.find((f) => f.code === "positions-conflict");
      if (!clash) return next;
      const other = Object.keys(next.set).find(
        (id) => id !== moved && clash.text.includes(this.show.parts[id]?.label ?? id),
      );
      const first = other ?? Object.keys(next.set).find((id) => id !== moved);
      if (!first) return next;
      delete next.set[first];
    }
    return next;
  }

  operated(id: string): BenchState {
    const positions = this.show.parts[id]?.positions ?? [];
    const at = positions.indexOf(this.solve(this.now).settings[id] ?? "");
    const word = positions[(at + 1) % positions.length] ?? "";
    return this.placed(id, word);
  }

  failed(id: string, kind: string): BenchState {
    const next = copyState(this.now);
    const one = `${id}=${kind}`;
    const others = next.fail.filter((f) => !f.startsWith(`${id}=`));
    if (next.fail.includes(one)) next.fail = others;
    else next.fail = [...others, one];
    return next;
  }

  inPhase(phase: string): BenchState {
    const next = copyState(this.now);
    return { ...next, phase, set: isTimed(next) ? next.set : {} };
  }
}
