import {MessageChannel, receiveMessageOnPort} from "node:worker_threads";
import {describe, expect, it} from "vitest";
import {movable} from "../../src/app/worker/movable.ts";

const table = Float64Array.of(1, NaN, 3);
const words = {codes: Int32Array.of(0, -1), words: ["K1"]};
const logs = {
  id: "a",
  none: null,
  columns: {table, words},
  read: {again: {words}, view: table},
  part: new Uint8Array([9, 8, 7, 6]).subarray(1, 3),
  findings: [{line: 1}],
  byName: new Map([["x", 1]]),
};

function moved<T>(value: T): T {
  const {port1, port2} = new MessageChannel();
  const {value: copy, buffers} = movable(value);
  port1.postMessage(copy, buffers);
  const received = receiveMessageOnPort(port2) as {message: T};
  port1.close();
  return received.message;
}

describe("movable(value)", () => {
  it("arrives as it is", () => {
    expect(moved(logs)).toEqual(logs);
    expect(moved(undefined)).toBe(undefined);
  });

  it("leaves what is given usable", () => {
    moved(logs);
    expect([...table]).toEqual([1, NaN, 3]);
    expect([...logs.part]).toEqual([8, 7]);
  });

  it("keeps one object one, and moves each table once", () => {
    const {columns, read} = moved(logs);
    expect(read.again.words).toBe(columns.words);
    expect(read.view).toBe(columns.table);
    expect(movable(logs).buffers).toHaveLength(3);
  });
});
