// The module as its tests use it: a question worded as on the command line, and its answer.
import assert from "node:assert/strict";
import { readFileSync } from "node:fs";

export function openModule(path) {
  const module = new WebAssembly.Module(readFileSync(path));
  const { exports: core } = new WebAssembly.Instance(module, {});
  core._initialize();

  function put(data) {
    const at = core.module_memory(Math.max(1, data.length));
    assert.notEqual(at, 0, "no memory");
    new Uint8Array(core.memory.buffer, at, data.length).set(data);
    return at;
  }

  function text(at, length) {
    return Buffer.from(core.memory.buffer, at, length).toString("utf8");
  }

  /** `beside`: a second file, with its name; see ask_beside.c. */
  function ask(command, name, file, options, beside = null) {
    const words = Buffer.from([command, name, ...options].map((word) => `${word}\0`).join(""));
    const wordsAt = put(words);
    const fileAt = file ? put(file) : 0; // `schema` takes none
    const blocks = [wordsAt, fileAt];
    const question = [wordsAt, words.length, fileAt, file?.length ?? 0];
    let answer;
    if (beside) {
      const besideAt = put(beside.bytes);
      const nameAt = put(Buffer.from(`${beside.name}\0`));
      blocks.push(besideAt, nameAt);
      answer = core.module_ask_beside(...question, besideAt, beside.bytes.length, nameAt);
    } else answer = core.module_ask(...question);
    assert.notEqual(answer, 0, "no answer");
    const result = {
      exit: core.module_exit(answer),
      out: text(core.module_out(answer), core.module_out_length(answer)),
      messages: text(core.module_messages(answer), core.module_messages_length(answer)),
    };
    core.module_forget(answer);
    for (const block of blocks) core.module_release(block);
    return result;
  }
  return { ask };
}
