import { isDeepStrictEqual } from 'node:util';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { fieldChanges, valueText } from '../../src/app/field-changes.ts';
import { isKey, keyFrom } from '../../src/app/record-file.ts';

describe('keys', () => {
  it.each([
    ['Alder 3', 'alder-3'],
    ['Hut Kaldra (upper)', 'hut-kaldra-upper'],
    ['Ärger & Söhne', 'arger-sohne'],
    ['46.4, -10.25', '46.4-10.25'],
    ['../../etc/passwd', 'etc-passwd'],
    ['谷の家', '谷の家'],
    ['!!!', 'kit'],
  ])('of %s', (name, key) => expect(keyFrom(name, 'kit')).toBe(key));

  it('of any name are keys, fit for a file', () => {
    const run = fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (name) => {
      const key = keyFrom(name, 'perch');
      expect(isKey(key), key).toBe(true);
      expect(key).not.toMatch(/[\\/:*?"<>|\s\p{Cc}]|^\.|\.$|--/u);
      expect(keyFrom(key, 'perch')).toBe(key);
    });
    fc.assert(run, { seed: 1, numRuns: 2000 });
  });
});

describe('field changes', () => {
  it('are told by the path of each single value', () => {
    const before = { name: 'A', panel: { tilt_deg: 60 }, parts: [{ duty: 1 }, { duty: 0.5 }], gone: null };
    const after = { name: 'A', panel: { tilt_deg: 70, azimuth_deg: 180 }, parts: [{ duty: 1 }], constructor: 1 };
    expect(fieldChanges(before, after)).toEqual([
      { field: 'panel.tilt_deg', before: 60, after: 70 },
      { field: 'panel.azimuth_deg', after: 180 },
      { field: 'parts[1]', before: { duty: 0.5 } },
      { field: 'gone', before: null },
      { field: 'constructor', after: 1 },
    ]);
    expect(valueText({ a: 'x'.repeat(90) })).toHaveLength(58);
    expect([valueText(undefined), valueText(Number.NaN), valueText('a')]).toEqual(['absent', 'NaN', '"a"']);
  });

  it('are none just when nothing differs, and the same the other way round', () => {
    const value = fc.object({
      maxDepth: 3,
      key: fc.constantFrom('a', 'b', 'c', 'toString'),
      values: [fc.nat(2), fc.constant(null), fc.constantFrom('', 'x')],
    });
    const run = fc.property(value, value, (a, b) => {
      const there = fieldChanges(a, b);
      expect(there.length === 0).toBe(isDeepStrictEqual(structuredClone(a), structuredClone(b)));
      const back = fieldChanges(b, a);
      expect(back.map(({ field }) => field).sort()).toEqual(there.map(({ field }) => field).sort());
      expect(fieldChanges(a, structuredClone(a))).toEqual([]);
    });
    fc.assert(run, { seed: 1, numRuns: 3000 });
  });
});
