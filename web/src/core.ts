// The computing core: the same C code as the command line's, as a WebAssembly module that imports
// nothing. One question in JSON goes in, one answer in JSON comes out.
import type { Answer, Question } from "./answers.ts";

// What wasm/exports.txt lists; a test compares the two.
interface Exports {
  memory: WebAssembly.Memory;
  _initialize(): void;
  module_memory(size: number): number;
  module_release(block: number): void;
  module_open(file: number, length: number): number;
  module_close(opened: number): void;
  module_ask_json(opened: number, question: number, length: number): number;
  module_fly(opened: number, question: number, length: number, flights: number): number;
  module_out(answer: number): number;
  module_out_length(answer: number): number;
  module_forget(answer: number): void;
}

const encoder = new TextEncoder();
const decoder = new TextDecoder();

export class NoMemory extends Error {}

/** One aircraft, read and compiled once. */
export class Plane {
  constructor(
    private readonly core: Exports,
    private readonly handle: number,
    readonly text: string,
  ) {}

  /** The answer's bytes as the command line writes them; of so many flights more, if any. */
  askText(question: Question, flights = 0): string {
    const { core, handle } = this;
    const words = encoder.encode(JSON.stringify(question));
    const at = put(core, words);
    const answer = flights
      ? core.module_fly(handle, at, words.length, flights)
      : core.module_ask_json(handle, at, words.length);
    core.module_release(at);
    if (answer === 0) throw new NoMemory();
    const out = this.core.module_out(answer);
    const length = this.core.module_out_length(answer);
    const text = out ? decoder.decode(new Uint8Array(this.core.memory.buffer, out, length)) : "";
    this.core.module_forget(answer);
    if (out === 0) throw new NoMemory();
    return text;
  }

  ask<T>(question: Question): Answer<T> {
    return JSON.parse(this.askText(question)) as Answer<T>;
  }

  close(): void {
    this.core.module_close(this.handle);
  }
}

function put(core: Exports, bytes: Uint8Array): number {
  const at = core.module_memory(Math.max(1, bytes.length));
  if (at === 0) throw new NoMemory();
  new Uint8Array(core.memory.buffer, at, bytes.length).set(bytes);
  return at;
}

export class Core {
  private constructor(private readonly exports: Exports) {}

  static async start(bytes: ArrayBuffer): Promise<Core> {
    const { instance } = await WebAssembly.instantiate(bytes, {});
    const exports = instance.exports as unknown as Exports;
    exports._initialize();
    return new Core(exports);
  }

  open(text: string): Plane {
    const bytes = encoder.encode(text);
    const at = put(this.exports, bytes);
    const handle = this.exports.module_open(at, bytes.length);
    this.exports.module_release(at);
    if (handle === 0) throw new NoMemory();
    return new Plane(this.exports, handle, text);
  }
}
