// The shapes of questions and answers; the keys are the command line's.

export interface Question {
  ask: "state" | "draw" | "show" | "check" | "run" | "endurance" | "card";
  phase?: string;
  set?: Record<string, string>;
  fail?: string[];
  charge?: string;
  temperature?: string;
  theme?: string;
  width?: string;
  faults?: boolean;
  touch?: boolean;
  scenario?: string;
  at?: string;
  flights?: string;
}

export interface RunEvent {
  t: number;
  what: string;
  part: string | null;
  words: string;
  by: "scenario" | "circuit";
  seen: Record<string, string>;
}

export interface Run {
  events: RunEvent[];
  trace: {
    t: number[];
    nodes: Record<string, number[]>;
    parts: Record<string, number[]>;
    batteries: Record<string, number[]>;
  };
}

export interface Finding {
  severity: "error" | "warning" | "note";
  line: number;
  column: number;
  offset: number;
  length: number;
  code: string;
  text: string;
  hint: string;
}

export interface Answer<T> {
  exit: number;
  ask: string;
  findings: Finding[];
  answer: T | null;
}

export interface Indication {
  reading: string;
  says: string;
  figure: number | null;
  normal: number | null;
  unit?: string;
  low?: number;
  high?: number;
}

export interface Item {
  status: "on" | "weak" | "off" | "no-data" | "unused";
  volts: number;
  amps: number;
  reason: string;
  causes: string[];
}

export interface FunctionState {
  status: "kept" | "reduced" | "lost";
  by: string[];
  without_volts: boolean;
}

export interface State {
  phase: string;
  settled: string;
  sentence: string;
  nodes: Record<string, { volts: number }>;
  parts: Record<string, { amps: number }>;
  equipment: Record<string, Item>;
  functions: Record<string, FunctionState>;
  indications: Record<string, Indication>;
  batteries: Record<string, { volts: number; amps: number; charge: number }>;
  sources: Record<string, { volts: number; amps: number; mode: string }>;
  settings: Record<string, string>;
  outside: Record<string, boolean | number> & { temperature: number; night: boolean };
  trips: string[];
  may_trip: string[];
  handbook: Record<string, string>;
  notes: string[];
  cautions: string[];
}

export interface Part {
  kind: string;
  label: string;
  name: string;
  place?: { panel: string; row: number; number: number };
  rating?: number;
  handbook?: string;
  reach: "seat" | "away" | "no-pull" | "absent";
  hand: boolean;
  positions?: string[];
  reads?: string;
  faults: string[];
}

export interface Row {
  breaker: string | null;
  rating: number | null;
  place: string;
  through: { id: string; at?: string }[];
  end: string;
  id: string | null;
  amps?: number;
  basis?: string;
}

export interface Bus {
  id: string;
  label: string;
  kind: string;
  rows: Row[];
}

export interface Show {
  name: string;
  tail: string;
  nominal: number;
  buses: Bus[];
  without_volts: { id: string; kind: string; gives?: string[]; gives_partly?: string[] }[];
  functions: Record<string, { gives: string[]; gives_partly: string[]; kept_by?: string[] }>;
  parts: Record<string, Part>;
  phases: { name: string; airborne: boolean; night: boolean; temperature: number }[];
  papers: Record<string, string>;
  revision: string;
  caution: string;
}
