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

  function ask(command, name, file, options) {
    const words = Buffer.from([command, name, ...options].map((word) => `${word}\0`).join(""));
    const wordsAt = put(words);
    const fileAt = put(file);
    const answer = core.module_ask(wordsAt, words.length, fileAt, file.length);
    assert.notEqual(answer, 0, "no answer");
    const result = {
      exit: core.module_exit(answer),
      out: text(core.module_out(answer), core.module_out_length(answer)),
      messages: text(core.module_messages(answer), core.module_messages_length(answer)),
    };
    core.module_forget(answer);
    core.module_release(wordsAt);
    core.module_release(fileAt);
    return result;
  }
  return { ask };
}
