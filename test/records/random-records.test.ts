import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { UserError } from '../../src/core/units/index.ts';
import { parseSetting } from '../../src/formats/setting.ts';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import {
  editDistance,
  kitSchema,
  nearestWord,
  newKitText,
  perchSchema,
  readKit,
  readPerch,
} from '../../src/records/index.ts';
import { example, kitOf } from './reading.ts';

/** Whatever happens, it is a value or a sentence with a file. */
function only(read: () => unknown): void {
  try {
    read();
  } catch (problem) {
    if (!(problem instanceof UserError)) throw problem;
    expect(problem.problems.length).toBeGreaterThan(0);
    for (const { message, code } of problem.problems) {
      expect(message).toMatch(/^[^\n]{5,900}$/);
      expect(code).toMatch(/^[a-z-]+$/);
    }
  }
}
const both = (text: string) => {
  only(() => readKit(parseYamlRecord(text, 'f.yaml')));
  only(() => readPerch(parseYamlRecord(text, 'f.yaml')));
};

const KEYS = [
  ...Object.keys(kitSchema.shape),
  ...Object.keys(perchSchema.shape),
  'part',
  'tilt',
  'count',
  'none',
  'monthly',
  'table',
  'constructor',
  'toString',
];
const scalar = fc.oneof(
  fc.double(),
  fc.integer(),
  fc.string({ maxLength: 8 }),
  fc.boolean(),
  fc.constant(null),
  fc.constantFrom('none', 'nearest', 'full', 'plain', 'charger-flat-85'),
);
const anyRecord = fc.letrec((tie) => ({
  value: fc.oneof(
    { depthSize: 'small', withCrossShrink: true },
    scalar,
    fc.array(tie('value'), { maxLength: 13 }),
    tie('mapping'),
  ),
  mapping: fc.dictionary(fc.constantFrom(...KEYS), tie('value'), { maxKeys: 8 }),
}));

describe('records from anywhere', () => {
  it('mappings of known keys with any values', () => {
    const property = fc.property(anyRecord.mapping, (value) => {
      const source = { value, placeOf: () => ({ file: 'f' }), placeOfKey: () => ({ file: 'f' }) };
      only(() => readKit(source));
      only(() => readPerch(source));
    });
    fc.assert(property, { seed: 1, numRuns: 800 });
  });

  it('a good file with a part of it replaced', () => {
    const texts = [example('alder-3.yaml'), example('hut-kaldra.yaml'), example('reference/kit.yaml'), newKitText()];
    const property = fc.property(
      fc.constantFrom(...texts),
      fc.nat(),
      fc.nat({ max: 30 }),
      fc.oneof(
        fc.string({ unit: 'binary', maxLength: 12 }),
        fc.constantFrom(': ', '- ', '[', '{', '\t', '\n', '.nan', '-1e400', '~', '*a', '&a ', '"', '<<: '),
      ),
      (text, start, length, insert) => {
        const at = start % text.length;
        both(text.slice(0, at) + insert + text.slice(at + length));
      },
    );
    fc.assert(property, { seed: 2, numRuns: 500 });
  });

  it('any setting of a good file', () => {
    const text = example('alder-3.yaml');
    const step = fc.oneof(
      fc.constantFrom(...KEYS, 'panel', 'load', 'parts', 'power_W'),
      fc.constantFrom('[0]', '[1]', '[9]'),
    );
    const property = fc.property(fc.array(step, { minLength: 1, maxLength: 4 }), anyRecord.value, (steps, value) => {
      const left = `kit.${steps.join('.').replaceAll('.[', '[')}`;
      only(() => kitOf(text, [`${left}=${JSON.stringify(value) ?? ''}`]));
      only(() => parseSetting(left));
    });
    fc.assert(property, { seed: 3, numRuns: 400 });
  });
});

describe('nearest word', () => {
  it('distance is a metric on the samples: zero to itself, symmetric (law), and the textbook pairs', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 8 }), fc.string({ maxLength: 8 }), (a, b) => {
        expect(editDistance(a, b)).toBe(editDistance(b, a));
        expect(editDistance(a, a)).toBe(0);
        expect(editDistance(a, b)).toBeLessThanOrEqual(Math.max(a.length, b.length));
      }),
      { seed: 1, numRuns: 300 },
    );
    expect(editDistance('kitten', 'sitting')).toBe(3); // the usual textbook pair
    expect(editDistance('ca', 'ac')).toBe(1); // one swap of neighbours
  });

  it('finds across units and short forms, and keeps silent when nothing is near', () => {
    const known = ['tilt_deg', 'azimuth_deg', 'latitude_deg', 'capacity_mAh', 'power_W'];
    expect(
      ['tilt', 'tilt_degrees', 'Tilt_Deg', 'lat', 'capactiy_mAh', 'capacity_Ah', 'powerW'].map((w) =>
        nearestWord(w, known),
      ),
    ).toEqual(['tilt_deg', 'tilt_deg', 'tilt_deg', 'latitude_deg', 'capacity_mAh', 'capacity_mAh', 'power_W']);
    expect(nearestWord('frobnicate', known)).toBeUndefined();
  });
});
