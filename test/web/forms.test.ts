import { readdirSync, readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import { writeYamlRecord } from '../../src/formats/yaml-write.ts';
import { newKitText } from '../../src/records/index.ts';
import { DARK, LIGHT } from '../../src/report/theme.ts';
import { withField } from '../../src/web/forms/edit-value.ts';
import { KIT_FORM, PERCH_FORM } from '../../src/web/forms/main-fields.ts';
import { fieldReader } from '../../src/web/forms/schema-fields.ts';
import { csvText, fileName } from '../../src/web/parts/csv.ts';

const value = (text: string) => parseYamlRecord(text, 'text').value;

describe('changing a field', () => {
  const kit = newKitText();

  it('leaves the text as its maker wrote it, but for the one line', () => {
    const after = writeYamlRecord(withField(value(kit), ['cells', 'count'], 5), kit);
    const changed = after.split('\n').filter((line) => !kit.split('\n').includes(line));
    expect(changed).toHaveLength(1);
    expect(changed[0]).toMatch(/^ {2}count: 5 +# in parallel$/);
  });

  it('makes groups that are missing, puts them in place of a word, and takes empty ones away', () => {
    const perch = { climate: 'nearest' };
    const snowy = withField(perch, ['snow', 'snowfall_cm'], [1, 2]);
    expect(snowy).toEqual({ climate: 'nearest', snow: { snowfall_cm: [1, 2] } });
    expect(withField(snowy, ['snow', 'snowfall_cm'], undefined)).toEqual(perch);
    expect(withField(perch, ['climate', 'nearest'], 'Davos')).toEqual({ climate: { nearest: 'Davos' } });
    expect(withField(perch, ['snow', 'snowfall_cm'], undefined)).toEqual(perch);
    expect(withField(undefined, ['panel', 0, 'power_W'], 2)).toEqual({ panel: [{ power_W: 2 }] });
    expect(perch).toEqual({ climate: 'nearest' });
  });

  it('is undone by putting the old value back', () => {
    const key = fc.constantFrom('a', 'b', 'c');
    const { record } = fc.letrec((tie) => ({
      record: fc.dictionary(key, fc.oneof({ maxDepth: 3 }, fc.integer(), tie('record')), { minKeys: 1 }),
    }));
    const at = (v: unknown, path: readonly string[]) =>
      path.reduce<unknown>((here, step) => (here as Record<string, unknown> | undefined)?.[step], v);
    fc.assert(
      fc.property(record, fc.array(key, { minLength: 1, maxLength: 3 }), fc.integer(), (before, path, put) => {
        // Only where the way is through groups: in place of a plain value the way back is another.
        const way = path.slice(0, -1).map((_, i) => at(before, path.slice(0, i + 1)));
        if (way.some((v) => typeof v !== 'object')) return;
        const after = withField(before, path, put);
        expect(at(after, path)).toBe(put);
        expect(withField(after, path, at(before, path))).toEqual(before);
      }),
      { seed: 1, numRuns: 300 },
    );
  });
});

describe('fields of the forms', () => {
  it('are all in the schemas, each with its words', () => {
    for (const [kind, form] of [
      ['kit', KIT_FORM],
      ['perch', PERCH_FORM],
    ] as const) {
      const read = fieldReader(kind);
      for (const { path } of form.flatMap((group) => group.fields)) {
        const field = read(path);
        expect(field.description, path.join('.')).not.toBe('');
        if (field.kind === 'number' || field.kind === 'whole') {
          expect(field.minimum).toBeTypeOf('number');
          expect(field.maximum).toBeGreaterThan(field.minimum!);
        }
      }
    }
    expect(() => fieldReader('kit')(['panel', 'colour'])).toThrow(RangeError);
  });

  it('know kind, limits and choices', () => {
    const kit = fieldReader('kit');
    expect(kit(['cells', 'count'])).toMatchObject({ kind: 'whole', minimum: 1, maximum: 1000 });
    expect(kit(['charger', 'type']).choices).toContain('tracking');
    expect(kit(['charger', 'power_path'])).toMatchObject({ kind: 'yes-no', fallback: true });
    const perch = fieldReader('perch');
    expect(perch(['albedo'])).toMatchObject({ kind: 'number', monthly: true, minimum: 0, maximum: 1, fallback: 0.2 });
    expect(perch(['snow', 'snowfall_cm'])).toMatchObject({ kind: 'monthly', maximum: 1000 });
  });
});

describe('files', () => {
  it('writes commas, quotes and lines so that they come back, and no formula', () => {
    expect(csvText([['a', 'b,c', 'd"e', 'f\ng', null, 1.5, Number.NaN]])).toBe('a,"b,c","d""e","f\ng",,1.5,\n');
    expect(csvText([['=1+1', '@x', '-5 m', 'plain']])).toBe("'=1+1,'@x,'-5 m,plain\n");
  });
  it('names files plainly', () => {
    expect(fileName('Alder 3 at Hut Käldra / ../x', 'svg')).toBe('alder-3-at-hut-käldra-x.svg');
    expect(fileName('???', 'csv')).toBe('sunperch.csv');
  });
});

describe('style', () => {
  it('has the colours of the pictures, in both themes', () => {
    const css = readFileSync('src/web/style/base.css', 'utf8').toLowerCase();
    for (const [name, colour] of Object.entries(LIGHT)) expect(css).toContain(`--${name}: ${colour.toLowerCase()};`);
    for (const [name, colour] of Object.entries(DARK))
      expect(css.split(`--${name}: ${colour.toLowerCase()};`)).toHaveLength(3);
  });
  it('has no inline style or script in the page', () => {
    const page = readFileSync('src/web/index.html', 'utf8');
    expect(page).not.toMatch(/<style|style=|<script(?![^>]*src=)|\son\w+=/);
    expect(readdirSync('src/web/public').sort()).toEqual([
      'icon-192.png',
      'icon-512.png',
      'icon.svg',
      'manifest.webmanifest',
    ]);
  });
});
