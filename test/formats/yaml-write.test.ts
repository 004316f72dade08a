import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import { writeYamlRecord } from '../../src/formats/yaml-write.ts';

const example = (name: string) => readFileSync(new URL(`../../examples/${name}`, import.meta.url), 'utf8');
const read = (text: string) => parseYamlRecord(text, 'f').value;

/** Plain values as records have them. The reader gives -0 as 0 or -0 alike, so it is left out. */
const plain = fc.letrec((tie) => ({
  value: fc.oneof(
    { maxDepth: 4 },
    fc.string(),
    fc.string({ unit: 'binary' }).filter((text) => !/[\0\p{Surrogate}]/u.test(text)),
    fc.double({ noNaN: true, noDefaultInfinity: true }).map((x) => x + 0),
    fc.integer(),
    fc.boolean(),
    fc.constant(null),
    fc.array(tie('value'), { maxLength: 4 }),
    tie('mapping'),
  ),
  mapping: fc.dictionary(
    fc.string({ minLength: 1 }).filter((key) => key !== '__proto__'),
    tie('value'),
    { maxKeys: 5 },
  ),
})).mapping;

describe('writeYamlRecord', () => {
  it('reads back as the value (inverse)', () => {
    fc.assert(
      fc.property(plain, (value) => {
        expect(read(writeYamlRecord({ a: 1, ...value }))).toEqual({ a: 1, ...value });
      }),
      { seed: 1, numRuns: 500 },
    );
  });

  it('reads back as the value whatever text it was made from', () => {
    fc.assert(
      fc.property(plain, plain, (before, value) => {
        expect(read(writeYamlRecord({ a: 1, ...value }, writeYamlRecord({ a: 1, ...before })))).toEqual({
          a: 1,
          ...value,
        });
      }),
      { seed: 1, numRuns: 500 },
    );
    fc.assert(
      fc.property(plain, fc.string(), (value, before) => {
        expect(read(writeYamlRecord({ a: 1, ...value }, before))).toEqual({ a: 1, ...value });
      }),
      { seed: 1, numRuns: 300 },
    );
  });

  it('what has not changed stays letter by letter', () => {
    for (const name of ['alder-3.yaml', 'bare-board.yaml', 'hut-kaldra.yaml', 'tarnwick-shed.yaml'])
      expect(writeYamlRecord(read(example(name)), example(name))).toBe(example(name));
  });

  it('a change touches its own line only', () => {
    const text = example('hut-kaldra.yaml');
    const value = read(text) as {
      tilt_deg: number;
      horizon: { elevation_deg: number }[];
      climate: { monthly: { source: string } };
    };
    value.tilt_deg = 62.5;
    value.horizon[2]!.elevation_deg = 12;
    value.climate.monthly.source = 'measured: my own';
    const after = writeYamlRecord(value, text).split('\n');
    const changed = text.split('\n').flatMap((line, i) => (line === after[i] ? [] : [after[i]]));
    expect(after).toHaveLength(text.split('\n').length);
    expect(changed).toEqual([
      'tilt_deg: 62.5',
      '  - { azimuth_deg: 20, elevation_deg: 12 }',
      '    source: "measured: my own"',
    ]);
  });

  it('new keys come at the end of their group, gone ones go, comments stay', () => {
    const before = '# mine\nname: a # the name\npanel: # flat\n  power_W: 3\n  tilt_deg: 10\n';
    const after = writeYamlRecord({ name: 'a', panel: { power_W: 4, area_cm2: 200 }, mode: 'full' }, before);
    expect(after).toBe('# mine\nname: a # the name\npanel:\n  # flat\n  power_W: 4\n  area_cm2: 200\nmode: full\n');
  });

  it('a text with anchors is written anew, since one value may stand for several', () => {
    const before = 'a: &x [1, 2]\nb: *x\n';
    expect(read(writeYamlRecord({ a: [1, 2], b: [1, 3] }, before))).toEqual({ a: [1, 2], b: [1, 3] });
  });
});
