import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { UserError } from '../../src/core/units/index.ts';
import { readMeasuredLinks } from '../../src/formats/measured-links.ts';

const toldBy = (text: string): string => {
  try {
    readMeasuredLinks(text, 'm.csv');
  } catch (error) {
    if (!(error instanceof UserError)) throw error;
    return error.problems.map((p) => `${p.place?.line ?? ''}: ${p.message}`).join('\n');
  }
  throw new Error('nothing was told');
};

describe('measured links', () => {
  it('are read in any order of columns, with any of three separators', () => {
    const { rows, notes } = readMeasuredLinks(
      '# spring\ndate;SNR;link;operator\n2026-03-21;-7.5;Hut > Post;me\n;-3;Post → Hut;\n',
    );
    expect(rows).toMatchObject([
      { from: 'Hut', to: 'Post', snr_dB: -7.5, date: '2026-03-21', line: 3 },
      { from: 'Post', to: 'Hut', snr_dB: -3, date: '' },
    ]);
    expect(notes).toEqual(['The column "operator" is passed over.']);
    expect(readMeasuredLinks('link,snr_dB,date,expectedSnr_dB\na > b,1,2026-01-01,4\n').rows[0]!.expectedSnr_dB).toBe(
      4,
    );
  });

  it.each([
    ['', /The file holds no links/],
    ['link,date\na > b,2026-01-01\n', /1: The column snr_dB is missing/],
    ['link,snr_dB\n', /holds no links/],
    ['link,snr_dB\na - b,1\n', /2: "a - b" is no link: write FROM > TO/],
    ['link,snr_dB\na > b,NaN\n', /2: "NaN" stands where a ratio in dB should/],
    ['link,snr_dB\na > b,-110\n', /2: snr_dB is -110: .* is it a level in dBm\?/],
    ['link,snr_dB,date\na > b,1,21.3.2026\n', /2: "21.3.2026" is no date: write it like 2026-03-21/],
    ['link,snr_dB,link\na > b,1,x\n', /1: The column link stands twice/],
    ['\u0000\u0001', /no text/],
  ])('%j is told', (text, sentence) => {
    expect(toldBy(text)).toMatch(sentence);
  });

  it('any text is read or told', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (text) => {
        for (const whole of [text, `link,snr_dB,date\n${text}`]) {
          try {
            for (const row of readMeasuredLinks(whole).rows) expect(Number.isFinite(row.snr_dB)).toBe(true);
          } catch (error) {
            expect(error).toBeInstanceOf(UserError);
          }
        }
      }),
      { seed: 1, numRuns: 500 },
    );
  });
});
