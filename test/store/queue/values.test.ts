import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { arraysIn } from '../../../src/store/queue/bytes.ts';
import { bytesOf, createKeeper, fromText, toText } from '../../../src/store/queue/values.ts';

/** There and back: the typed arrays travel as copies of their bytes. */
function there(value: unknown): unknown {
  const keeper = createKeeper();
  const text = toText(value, keeper.keep);
  expect(arraysIn(text).sort()).toEqual(keeper.arrays.map((_, i) => i).sort());
  return fromText(text, (number) => Uint8Array.from(bytesOf(keeper.arrays[number]!)));
}

describe('values on their way through the database', () => {
  it('come back the same to the last bit, whatever they are', () => {
    const leaf = fc.oneof(
      fc.double(),
      fc.constantFrom(Number.NaN, -0, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY, undefined, null, true, false),
      fc.string({ unit: 'binary' }),
      // Lone halves of pairs, which are no text in a database.
      fc.string({ unit: fc.integer({ min: 0, max: 0xffff }).map((c) => String.fromCharCode(c)) }),
      fc.float32Array(),
      fc.float64Array(),
      fc.uint8Array(),
      fc.int16Array(),
    );
    const key = fc.oneof(fc.string(), fc.constantFrom('$', 'bytes', 'kind', 'constructor', '__proto__'));
    const value = fc.letrec((tie) => ({
      any: fc.oneof(
        { depthSize: 'small' },
        leaf,
        fc.array(tie('any')),
        fc.dictionary(key, tie('any'), { noNullPrototype: true }),
      ),
    })).any;
    fc.assert(
      fc.property(value, (v) => {
        // Not toStrictEqual: a key of the name `constructor` confuses it.
        expect(isDeepStrictEqual(there(v), v)).toBe(true);
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  it('a text of theirs that looks like one of our marks stays theirs', () => {
    for (const v of [{ $: 'NaN' }, { $: 'array', kind: 'Float32Array', bytes: 3 }, { $: { $: undefined } }])
      expect(there(v)).toStrictEqual(v);
  });

  it('memory that two values look at is written once, other parts of it apart', () => {
    const memory = new SharedArrayBuffer(64);
    const keeper = createKeeper();
    const text = toText(
      [
        new Float32Array(memory),
        { again: new Float32Array(memory) },
        new Float32Array(memory, 4, 3),
        new Uint8Array(0),
      ],
      keeper.keep,
    );
    expect(keeper.arrays).toHaveLength(3);
    expect(arraysIn(text).sort()).toEqual([0, 1, 2]);
  });

  it.each([[new Map()], [new Date(0)], [() => 1], [1n], [{ deep: [Symbol('s')] }], [new DataView(new ArrayBuffer(1))]])(
    'what would not come back is a fault of ours: %s',
    (v) => {
      expect(() => toText(v, () => 0)).toThrow(RangeError);
    },
  );
});
