import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { YearOutcome, YearPictures } from '../../src/core/energy/index.ts';
import { comparePage, reportPage, wherePage } from '../../src/report/index.ts';
import { checkPage } from './check-page.ts';
import { sampleOutcome, samplePictures, samplePlaces } from './sample.ts';

const outcome = sampleOutcome();
const pictures = samplePictures();
const report = (o: Partial<YearOutcome> = {}, p: Partial<YearPictures> = {}) =>
  reportPage({
    outcome: { ...outcome, ...o },
    pictures: { ...pictures, ...p },
    generatedFrom: ['kit.yaml', 'perch.yaml'],
  });

describe('report page', () => {
  const html = report();
  it('has every section, the answer first', () => {
    checkPage(html);
    const wanted = [
      'strip',
      'fan',
      'numbers',
      'harvest',
      'spells',
      'carpet',
      'sunpath',
      'frontier',
      'ageing',
      'causes',
      'changes',
      'budget',
      'ages',
      'ceilings',
      'assumptions',
      'cautions',
    ];
    const found = [...html.matchAll(/<section id="([^"]+)"/g)].map((m) => m[1]);
    expect(found).toEqual(wanted);
    expect(html.indexOf('<h1>')).toBeLessThan(html.indexOf('<section'));
    expect(html).toContain(`<h1>${outcome.verdict}</h1>`);
    expect(html).toContain('Smallest change that holds: panel 4.5\u00a0W instead of 3.2\u00a0W.');
    for (const a of [...outcome.assumptions.map((x) => x.field), ...outcome.cautions.map((c) => c.text)])
      expect(html).toContain(a);
    expect(html).toMatch(/<details>.*How was this computed.*Clopper &amp; Pearson 1934.*kit\.yaml/s);
  });

  it('stays under 600 kB, also with a carpet of noise', () => {
    const noise = Float32Array.from({ length: 8760 }, (_, i) => (i % 9 === 4 ? -1 : ((i * 7919) % 97) / 97));
    expect(html.length).toBeLessThan(300_000);
    expect(report({}, { carpet: noise }).length).toBeLessThan(600_000);
  });

  it('is for light and dark, paper and phones', () => {
    for (const part of [
      'prefers-color-scheme:dark',
      '@media print',
      '@page',
      'max-width:640px',
      'name="viewport"',
      'lang="en"',
    ])
      expect(html).toContain(part);
  });

  it('takes fonts as base64 and refuses anything else', () => {
    const fonts = { regular: 'AAAA', bold: 'BBBB', mono: 'CCCC' };
    const withFonts = reportPage({ outcome, pictures, generatedFrom: [], fonts });
    checkPage(withFonts);
    expect(withFonts.match(/@font-face/g)?.length).toBe(3);
    expect(html).not.toContain('@font-face');
    expect(() => reportPage({ outcome, pictures, generatedFrom: [], fonts: { ...fonts, bold: '"}</style>' } })).toThrow(
      RangeError,
    );
  });

  it('escapes names, wherever they come from', () => {
    const evil = '<script>alert("1")</script>&\'';
    const page = reportPage({
      outcome: {
        ...outcome,
        kit: evil,
        perch: evil,
        verdict: evil,
        weather: evil,
        assumptions: [{ field: evil, value: evil, why: evil }],
        cautions: [{ code: evil, text: evil }],
        changes: [{ ...outcome.changes[0]!, change: evil, set: [evil] }],
        causes: [{ ...outcome.causes[0]!, removed: evil }],
        ageing: { ...outcome.ageing, warnings: [evil] },
      },
      pictures,
      generatedFrom: [evil],
    });
    checkPage(page);
    expect(page).toContain('&lt;script&gt;');
  });

  it('says so where there is nothing to show', () => {
    const empty = report(
      {
        state: 'stays up',
        dark_h_per_year: { mean: 0, low: 0, high: 0 },
        causes: [],
        changes: [],
        ages: [],
        assumptions: [],
        cautions: [],
        months: [],
        recovery_d: null,
        ageing: { ...outcome.ageing, modelled: false, years: [], ceilings: [], yearsTo80: null },
      },
      { frontier: null, spells: [], horizon_deg: null, carpet: new Float32Array(0) },
    );
    checkPage(empty);
    for (const text of [
      'There are no dark hours to explain.',
      'No change is needed.',
      'Every input was given.',
      'Ageing is not modelled',
    ])
      expect(empty).toContain(text);
    expect(empty).not.toContain('id="frontier"');
  });

  it('any numbers and names make a sound page', () => {
    const odd = fc.oneof(fc.double(), fc.constantFrom(Number.NaN, Number.POSITIVE_INFINITY, -1, 0));
    const interval = fc.record({ mean: odd, low: odd, high: odd });
    const text = fc.string({ unit: 'binary' });
    fc.assert(
      fc.property(
        fc.record({
          kit: text,
          perch: text,
          verdict: text,
          weather: text,
          dark_h_per_year: interval,
          darkYearShare: interval,
          worstMonth: fc.integer({ min: 1, max: 12 }),
          longestDark_h: odd,
          autonomy_d: odd,
          recovery_d: fc.option(odd),
          minStateOfCharge: odd,
          unserved_Wh_per_year: odd,
          lockUps_per_year: odd,
        }),
        (o) => checkPage(report(o, { carpet: new Float32Array(48) })),
      ),
      { seed: 1, numRuns: 20 },
    );
  });
});

describe('compare page', () => {
  const other: YearOutcome = { ...outcome, kit: 'Alder <4>', state: 'stays up' };
  const columns = [
    {
      outcome,
      inputs: [
        { field: 'kit.cells.count', value: '3' },
        { field: 'kit.panel.power_W', value: '3.2' },
      ],
    },
    {
      outcome: other,
      inputs: [
        { field: 'kit.cells.count', value: '3' },
        { field: 'kit.panel.power_W', value: '4.5' },
        { field: 'kit.panel.tilt_deg', value: '70' },
      ],
    },
  ];
  it('marks the inputs that differ and puts them first', () => {
    const html = comparePage({ perch: outcome.perch, columns, generatedFrom: ['a.yaml'] });
    checkPage(html);
    expect(html).toContain('At Hut Kaldra, Alder &lt;4&gt; stays up; the others do not.');
    const inputs = html.slice(html.indexOf('id="inputs"'), html.indexOf('id="verdicts"'));
    const heads = [...inputs.matchAll(/<th scope="row">([^<]*)</g)].map((m) => m[1]);
    expect(heads).toEqual(['≠ kit.panel.power_W', '≠ kit.panel.tilt_deg', 'kit.cells.count']);
    // What both assume is told once.
    expect(html.match(/perch\.albedo/g)?.length).toBe(1);
  });
});

describe('where page', () => {
  it('has the map and a row with a year strip for each climate', () => {
    const rows = samplePlaces().map((p) => ({
      ...p,
      name: `${p.name} <b>`,
      elevation_m: 300,
      darkYearShare: outcome.darkYearShare,
      worstMonth: 1,
      needs: '',
      strip: outcome.strip,
    }));
    const html = wherePage({
      kit: 'Alder 3',
      rows,
      target: '1 dark winter in 20',
      years: 200,
      seed: 1,
      assumptions: [],
      cautions: [],
      generatedFrom: [],
    });
    checkPage(html);
    expect(html.match(/<tr><th scope="row">/g)?.length).toBe(100);
    expect(html.match(/id="where-strip-\d+-t"/g)?.length).toBe(100);
    expect(html).toContain('<h1>Alder 3 holds at ');
    expect(html.length).toBeLessThan(600_000);
  });
});
