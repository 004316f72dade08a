import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { UserError } from '../../src/core/units/index.ts';
import { parseSetting } from '../../src/formats/setting.ts';
import { parseYamlRecord, RECORD_LIMITS } from '../../src/formats/yaml-record.ts';

/** The problems of a text, as `line:column code`. */
function faults(text: string): string[] {
  try {
    parseYamlRecord(text, 'f.yaml');
  } catch (problem) {
    if (!(problem instanceof UserError)) throw problem;
    return problem.problems.map((p) => `${p.place?.line ?? '-'}:${p.place?.column ?? '-'} ${p.code}`);
  }
  return [];
}

describe('values and places (YAML 1.2.2, chapter 10: core schema)', () => {
  const text = 'name: Alder 3\npanel:\n  - tilt_deg: 60\n    power_W: 3.2\nhorizon: [{ azimuth_deg: 90 }]\n';
  const record = parseYamlRecord(text, 'kit.yaml');

  it('reads mappings, lists and scalars', () => {
    expect(record.value).toEqual({
      name: 'Alder 3',
      panel: [{ tilt_deg: 60, power_W: 3.2 }],
      horizon: [{ azimuth_deg: 90 }],
    });
    expect(parseYamlRecord('a: 0x1F\nb: 1e3\nc: .inf\nd: ~\ne: yes\nf: "1"\n', 'f').value).toEqual({
      a: 31,
      b: 1000,
      c: Number.POSITIVE_INFINITY,
      d: null,
      e: 'yes',
      f: '1',
    });
  });

  it('tells where a value, a key, and what is not there stand', () => {
    expect(record.placeOf(['panel', 0, 'power_W'])).toEqual({ file: 'kit.yaml', line: 4, column: 14 });
    expect(record.placeOfKey(['panel', 0, 'power_W'])).toEqual({ file: 'kit.yaml', line: 4, column: 5 });
    expect(record.placeOf(['horizon', 0, 'azimuth_deg'])).toEqual({ file: 'kit.yaml', line: 5, column: 26 });
    expect(record.placeOf(['panel', 0, 'vmp_V'])).toEqual({ file: 'kit.yaml', line: 3, column: 5 });
    expect(record.placeOf(['cells', 'count'])).toEqual({ file: 'kit.yaml', line: 1, column: 1 });
  });

  it('counts lines alike with every kind of line end and with a byte-order mark', () => {
    for (const end of ['\n', '\r\n', '\r']) {
      const read = parseYamlRecord(`\uFEFFa: 1${end}b:${end}  c: 2${end}`, 'f');
      expect(read.value).toEqual({ a: 1, b: { c: 2 } });
      expect(read.placeOf(['b', 'c'])).toMatchObject({ line: 3, column: 6 });
    }
  });

  it('reads JSON, indented with tabs too, at the same places', () => {
    const json = '{\n\t"panel": {\n\t\t"power_W": 3.2\n\t}\n}\n';
    const read = parseYamlRecord(json, 'kit.json');
    expect(read.value).toEqual(JSON.parse(json));
    expect(read.placeOf(['panel', 'power_W'])).toMatchObject({ line: 3, column: 14 });
  });

  it('gives JSON values back as JSON.parse reads them', () => {
    const property = fc.property(fc.jsonValue({ maxDepth: 4 }), (value) => {
      fc.pre(!JSON.stringify(value).includes('__proto__') && value !== null);
      const text = JSON.stringify(value, undefined, 1);
      expect(parseYamlRecord(text, 'f').value).toEqual(JSON.parse(text));
    });
    fc.assert(property, { seed: 1, numRuns: 300 });
  });
});

describe('what is told', () => {
  const cases: [string, string, string[]][] = [
    ['a tab as indentation', 'a:\n\tb: 1\n', ['2:1 yaml-syntax']],
    ['a key twice', 'a: 1\nb: 2\na: 3\n', ['3:1 duplicate-key']],
    ['two keys twice', 'a: 1\na: 2\nb:\n  c: 1\n  c: 2\n', ['2:1 duplicate-key', '5:3 duplicate-key']],
    ['two documents', 'a: 1\n---\nb: 2\n', ['2:1 several-documents']],
    ['nothing', '', ['1:1 empty-file']],
    ['comments only', '# a\n\n# b\n', ['1:1 empty-file']],
    ['an open quote', 'a: "x\nb: 2', ['2:5 yaml-syntax']],
    ['an open bracket', 'a: [1, 2', ['1:9 yaml-syntax']],
    ['an unknown alias', 'a: *x', ['1:4 unknown-alias']],
    ['a tag', 'a: !thing 3', ['1:11 unknown-type']],
    ['a key of several words', '? [a, b]\n: 1\n', ['1:3 bad-key']],
    ['zero bytes', 'a: \0', ['-:- not-text']],
    ['the prototype', '__proto__: { a: 1 }', ['1:1 unknown-key']],
  ];
  it.each(cases)('%s', (_, text, expected) => {
    expect(faults(text).slice(0, expected.length)).toEqual(expected);
  });

  it('names the first line of a key that stands twice', () => {
    expect(() => parseYamlRecord('a: 1\n\na: 2\n', 'f')).toThrow('a stands twice: first on line 1');
  });

  it('says how to mend a tab', () => {
    expect(() => parseYamlRecord('a:\n\tb: 1\n', 'f')).toThrow('YAML wants blanks');
  });
});

describe('limits', () => {
  it('refuses what is too large, just above the limit only', () => {
    const of = (n: number) => `a: "${'x'.repeat(n - 5)}"`;
    expect(faults(of(RECORD_LIMITS.characters))).toEqual([]);
    expect(faults(of(RECORD_LIMITS.characters + 1))).toEqual(['-:- too-large']);
  });

  it('refuses depth before it is composed: such texts end a process that recurses', () => {
    for (const text of [
      '['.repeat(100_000),
      '- '.repeat(100_000),
      '? '.repeat(50_000),
      '{a: '.repeat(20_000),
      'a: '.repeat(50_000),
    ])
      expect(faults(text)).toContainEqual(expect.stringMatching(/too-(deep|large)/));
  });

  it('stops aliases that grow without bound', () => {
    const lines = ['a0: &a0 [1, 1, 1, 1, 1, 1, 1, 1, 1, 1]'];
    for (let i = 1; i < 9; i++)
      lines.push(
        `a${i}: &a${i} [${Array(10)
          .fill(`*a${i - 1}`)
          .join(', ')}]`,
      );
    expect(faults(lines.join('\n'))).toContainEqual(expect.stringMatching(/too-large/));
    expect(faults(`a: &x 1\nb: [${Array(101).fill('*x').join(', ')}]`)).toEqual([
      expect.stringMatching(/too-many-aliases/),
    ]);
    expect(parseYamlRecord('a: &x {n: 1}\nb: *x\n', 'f').value).toEqual({ a: { n: 1 }, b: { n: 1 } });
  });

  it('reads on through thousands of anything', () => {
    for (const piece of ['"" ', '&a ', '!a ', '}', ',', '%a\n', '\n', '#\n', '---\n', ': ', '@', "'", '|\n'])
      expect(() => faults(piece.repeat(15_000))).not.toThrow();
  });
});

describe('text from anywhere', () => {
  const only = (text: string) => {
    try {
      parseYamlRecord(text, 'f.yaml');
    } catch (problem) {
      expect(problem).toBeInstanceOf(UserError);
      for (const { message } of (problem as UserError).problems) expect(message).toMatch(/^[^\n]{3,400}$/);
    }
  };

  it('random strings give a value or a sentence', () => {
    fc.assert(fc.property(fc.string({ unit: 'binary', maxLength: 200 }), only), { seed: 1, numRuns: 2000 });
    const yamlish = fc.string({ unit: fc.constantFrom(...'ab:-?[]{},&*!|>\'"%@` \n\t#1.~<'), maxLength: 80 });
    fc.assert(fc.property(yamlish, only), { seed: 2, numRuns: 4000 });
  });

  it('random bytes give a value or a sentence', () => {
    const decode = (bytes: Uint8Array) => only(new TextDecoder().decode(bytes));
    fc.assert(fc.property(fc.uint8Array({ maxLength: 300 }), decode), { seed: 3, numRuns: 1000 });
  });
});

describe('settings', () => {
  it('reads path and value', () => {
    expect(parseSetting('kit.panel.power_W=2')).toMatchObject({ path: ['kit', 'panel', 'power_W'], value: 2 });
    expect(parseSetting('kit.panel[1].tilt_deg = 60')).toMatchObject({
      path: ['kit', 'panel', 1, 'tilt_deg'],
      value: 60,
    });
    expect(parseSetting('perch.climate={nearest: Salzburg}').value).toEqual({ nearest: 'Salzburg' });
    expect(parseSetting('perch.albedo=[0.2, 0.3]').value).toEqual([0.2, 0.3]);
    expect(parseSetting('perch.longitude_deg=-105.18').value).toBe(-105.18);
    expect(parseSetting('kit.panel.shade=').value).toBe(null);
    expect(parseSetting('kit.name=a=b').value).toBe('a=b');
  });

  it.each(['kit', 'kit=2', 'panel.power_W', '=2', 'kit..a=1', 'kit.[0]=1', '[0].a=1', ''])('refuses %s', (text) => {
    expect(() => parseSetting(text)).toThrow('wanted a field and its value');
  });

  it('gives only sentences for random text', () => {
    const property = fc.property(fc.string({ unit: 'binary', maxLength: 60 }), (text) => {
      for (const whole of [text, `kit.${text}`, `kit.a=${text}`]) {
        try {
          parseSetting(whole);
        } catch (problem) {
          expect(problem).toBeInstanceOf(UserError);
        }
      }
    });
    fc.assert(property, { seed: 1, numRuns: 1000 });
  });
});
