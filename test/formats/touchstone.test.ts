import { readFileSync } from 'node:fs';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  bestMatch,
  gammaAt,
  markerAt,
  mismatchLoss_dB,
  renormalise,
  returnLoss_dB,
  usableBand,
  vswr,
} from '../../src/core/antenna/index.ts';
import { UserError } from '../../src/core/units/index.ts';
import { readTouchstone } from '../../src/formats/touchstone.ts';

const golden = (name: string) => readFileSync(new URL(`../golden/${name}`, import.meta.url), 'utf8');

describe('three files of one antenna', () => {
  // Synthetic antenna, expected values worked out by an independent program (shared reference folder), tolerance 0.0005.
  it.each(['ant_ri.s1p', 'ant_ma.s1p', 'ant_db.s1p'])('%s', (name) => {
    const { sweep, version, notes } = readTouchstone(golden(name), name);
    expect(version).toBe(1);
    expect(notes).toEqual([]);
    expect(sweep.re.length).toBe(101);
    const best = bestMatch(sweep);
    expect(Math.abs(best.vswr - 1.19048)).toBeLessThan(0.0005);
    expect(Math.abs(best.frequency_MHz - 892)).toBeLessThan(0.0005);
    expect(Math.abs(markerAt(sweep, 868).vswr - 2.02721)).toBeLessThan(0.0005);
    expect(Math.abs(markerAt(sweep, 915).vswr - 1.9432)).toBeLessThan(0.0005);
    expect(Math.abs(markerAt(sweep, 868).returnLoss_dB - 9.38768)).toBeLessThan(0.0005);
    const band = usableBand(sweep, 2)!;
    expect(Math.abs(band.from_MHz - 870)).toBeLessThan(0.0005);
    expect(Math.abs(band.to_MHz - 916)).toBeLessThan(0.0005);
  });
});

describe('examples of the standard', () => {
  it('reads example 8 (one point)', () => {
    // Touchstone specification, example 8; derived values of the shared reference folder, tolerance 0.0005.
    const { sweep } = readTouchstone(
      '!1-port S-parameter file, single frequency point\n# MHz S MA R 50\n!freq magS11 angS11\n2.000 0.894 -12.136',
    );
    const gamma = gammaAt(sweep, 0);
    expect(sweep.frequency_MHz[0]).toBe(2);
    expect(Math.abs(vswr(gamma) - 17.86792)).toBeLessThan(0.0005);
    expect(Math.abs(returnLoss_dB(gamma) - 0.97325)).toBeLessThan(0.0005);
    expect(Math.abs(mismatchLoss_dB(gamma) - 6.97314)).toBeLessThan(0.0005);
  });

  it('reads one network twice: impedances relative to R in version 1, in ohms in version 2', () => {
    // Touchstone specification, examples 9 (version 1) and 10 (version 2.0): 0.99·75 Ω = 74.25 Ω and so on.
    const old = readTouchstone(
      '# MHz Z MA R 75\n100 0.99 -4\n200 0.80 -22\n300 0.707 -45\n400 0.40 -62\n500 0.01 -89\n',
    );
    const now = readTouchstone(
      '!1-port Z-parameter file\n[Version] 2.0\n# MHz Z MA\n[Number of Ports] 1\n[Number of Frequencies] 5\n[Reference]\n 20.0\n[Network Data]\n!freq magZ11 angZ11\n100 74.25 -4\n200 60 -22\n300 53.025 -45\n400 30 -62\n500 0.75 -89\n[End]\n',
    );
    expect([old.version, now.version]).toEqual([1, 2]);
    expect([old.sweep.reference_Ohm, now.sweep.reference_Ohm]).toEqual([75, 20]);
    const same = renormalise(now.sweep, 75);
    for (let i = 0; i < 5; i++) {
      expect(same.re[i]).toBeCloseTo(old.sweep.re[i]!, 12);
      expect(same.im[i]).toBeCloseTo(old.sweep.im[i]!, 12);
    }
  });
});

describe('the option line', () => {
  // 30 + 40j Ω against 50 Ω: S11 = j/2 (by hand: (-20+40j)/(80+40j) = 0.5j).
  const wanted = (text: string, f_MHz = 868) => {
    const { sweep } = readTouchstone(text);
    expect(sweep.frequency_MHz[0]).toBeCloseTo(f_MHz, 9);
    expect(sweep.re[0]).toBeCloseTo(0, 9);
    expect(sweep.im[0]).toBeCloseTo(0.5, 9);
  };
  it('takes every unit, parameter and format in any order and case', () => {
    wanted('# Hz S RI R 50\n868000000 0 0.5');
    wanted('# kHz S RI R 50\n868000 0 0.5');
    wanted('# MHz S RI R 50\n868 0 0.5');
    wanted('# GHz S RI R 50\n0.868 0 .5');
    wanted('#ri r 50 ghz s\n+8.68e-1 0 5E-1');
    wanted('# R 50 MA S MHZ\n868 0.5 90');
    wanted('# MHz S DB R 50\n868 -6.020599913279624 90');
    wanted('# MHz Z RI R 50\n868 0.6 0.8');
    wanted('# MHz Z RI R 100\n868 0.6 0.8'); // relative to R: the same S11 against R
    wanted('# MHz Y RI R 50\n868 0.6 -0.8'); // 1/(0.6+0.8j)
    wanted('# MHz Z MA R 50\n868 1 53.13010235415598');
    wanted('#\n0.868 0.5 90');
    wanted('[Version] 2.0\n# MHz Z RI R 50\n[Number of Ports] 1\n[Network Data]\n868 30 40\n[End]');
    wanted('[Version] 2.0\n# MHz Y RI\n[Number of Ports] 1\n[Reference] 50\n[Network Data]\n868 0.012 -0.016\n[End]');
  });

  it('takes the values of the standard where there is none, and says so', () => {
    wanted('0.868 0.5 90');
    expect(readTouchstone('0.868 0.5 90').notes.join()).toMatch(/no option line: GHz/);
  });

  it('passes over comments, blank lines, mixed line ends and a second option line', () => {
    wanted('\ufeff! head\r\n\r\n# MHz S RI R 50 ! tail\r868 0 0.5 ! row\n! end\n');
    const { notes } = readTouchstone('# MHz S RI R 50\n868 0 0.5\n# Hz S DB R 75\n869 0 0.5\n');
    expect(notes).toEqual(['Line 3: a second option line is passed over, as the standard says; line 1 holds.']);
  });

  it('notes what looks odd', () => {
    expect(readTouchstone('# MHz S RI R 50\n868 0 1.02').notes.join()).toMatch(/1 point reflects more than is sent/);
    expect(readTouchstone('# MHz S RI R 75\n868 0 0.5').notes.join()).toMatch(/refers to 75 Ω/);
    const cut = '[Version] 2.0\n# MHz S RI\n[Number of Ports] 1\n[Network Data]\n868 0 0.5\n';
    expect(readTouchstone(cut).notes.join()).toMatch(/\[End\] is missing/);
  });
});

describe('bad files', () => {
  const version2 = '[Version] 2.0\n# MHz S RI R 50\n[Number of Ports] 1\n';
  it.each([
    ['', /has no data/],
    ['# MHz S RI R 50\n', /has no data/],
    ['# MHz S RI R 50\n868 0.1 0.1 0.2 0.2 0.3 0.3 0.4 0.4\n', /nine numbers: the file is of a two-port/],
    ['# MHz S RI R 50\n868 0.1\n', /has 2 fields, not 3/],
    ['# MHz S RI R 50\n868 0.1 0.1 0.2\n', /has 4 fields, not 3/],
    ['# MHz S RI R 50\n868 NaN 0.1\n', /"NaN" stands where the first part/],
    ['# MHz S RI R 50\n868 0.1 Inf\n', /"Inf" stands where the second part/],
    ['# MHz S RI R 50\n868 0,1 0\n', /"0,1" stands/],
    ['# MHz S RI R 50\n0x1F 0.1 0\n', /"0x1F" stands where a frequency/],
    ['# MHz S RI R 50\n868 0 0\n867 0 0\n', /867 MHz does not rise/],
    ['# MHz S RI R 50\n868 0 0\n868 0 0\n', /drop doubles/],
    ['# MHz S RI R 50\n-868 0 0\n', /beyond any antenna/],
    ['868000000 0.5 90\n', /There is no option line, so GHz is taken/],
    ['# MHz H RI R 50\n868 0 0\n', /H parameters: those are of two-ports/],
    ['# MHz S RI R\n868 0 0\n', /After R stands nothing/],
    ['# MHz S RI R -50\n868 0 0\n', /"-50"/],
    ['# MHz S RI R 50 ohm\n868 0 0\n', /"OHM" in the option line/],
    ['# MHz GHz S RI R 50\n868 0 0\n', /names the unit a second time/],
    ['868 0 0\n# MHz S RI R 50\n', /after the first data/],
    ['# MHz S RI R 50\n868 \u0000\n', /zero bytes/],
    ['# MHz Z RI R 50\n868 -1 0\n', /beyond all sense/],
    ['[Version] 3.0\n# MHz S RI R 50\n[Number of Ports] 1\n[Network Data]\n868 0 0\n', /The version is "3.0"/],
    ['# MHz S RI R 50\n[Number of Ports] 1\n868 0 0\n', /before \[Version\] 2\.0/],
    ['[Version] 2.0\n# MHz S RI R 50\n[Number of Ports] 2\n[Network Data]\n868 0 0 0 0 0 0 0 0\n', /of 2 ports/],
    ['[Version] 2.0\n# MHz S RI R 50\n[Network Data]\n868 0 0\n', /\[Number of Ports\] is missing/],
    [`${version2}868 0 0\n`, /\[Network Data\] is missing/],
    [`${version2}868 0 0\n[Network Data]\n869 0 0\n[End]`, /before \[Network Data\]/],
    [`${version2}[Number of Frequencies] 3\n[Network Data]\n868 0 0\n[End]`, /says 3, but 1 rows/],
    [`${version2}[Number of Frequencies] many\n[Network Data]\n868 0 0\n[End]`, /"many"/],
    [`${version2}[Reference] j50\n[Network Data]\n868 0 0\n[End]`, /\[Reference\] is "j50"/],
    [`${version2}[Rubbish] 1\n[Network Data]\n868 0 0\n[End]`, /no keyword of Touchstone/],
    [`${version2}[Network Data\n868 0 0\n[End]`, /does not close/],
    [`${version2}[Begin Information]\n[Network Data]\n868 0 0\n`, /never ended/],
  ])('%j', (text, words) => {
    expect(() => readTouchstone(text, 'a.s1p')).toThrow(UserError);
    expect(() => readTouchstone(text, 'a.s1p')).toThrow(words);
  });

  it('names the file and the line', () => {
    try {
      readTouchstone('# MHz S RI R 50\n868 0 0\n869 x 0\n', 'a.s1p');
      expect.unreachable();
    } catch (error) {
      expect((error as UserError).problems[0]).toMatchObject({
        code: 'touchstone.number',
        place: { file: 'a.s1p', line: 3 },
      });
    }
  });

  it('answers any bytes with data or a sentence', () => {
    const decoder = new TextDecoder();
    const words = fc.constantFrom(
      '#',
      'MHz',
      'S',
      'RI',
      'R',
      '50',
      '\n',
      ' ',
      '868',
      '0.5',
      '[Version]',
      '2.0',
      '[Number of Ports]',
      '1',
      '[Network Data]',
      '[End]',
      '!',
      '[',
      ']',
      'NaN',
      '-1e999',
      '\r',
    );
    const anything = fc.oneof(
      fc.uint8Array({ maxLength: 400 }).map((bytes) => decoder.decode(bytes)),
      fc.array(words, { maxLength: 60 }).map((list) => list.join('')),
      fc.array(words, { maxLength: 60 }).map((list) => list.join(' ')),
    );
    let read = 0;
    fc.assert(
      fc.property(anything, (text) => {
        try {
          const { sweep } = readTouchstone(text);
          read++;
          for (let i = 0; i < sweep.re.length; i++) expect(Number.isFinite(gammaAt(sweep, i))).toBe(true);
        } catch (error) {
          expect(error).toBeInstanceOf(UserError);
          expect((error as UserError).message.length).toBeGreaterThan(20);
        }
      }),
      { seed: 1, numRuns: 3000 },
    );
    expect(read).toBeLessThan(3000);
  });

  it('gives back what was written, whatever the form', () => {
    const points = fc.array(
      fc.record({
        re: fc.double({ min: -0.7, max: 0.7, noNaN: true }),
        im: fc.double({ min: -0.7, max: 0.7, noNaN: true }),
      }),
      { minLength: 1, maxLength: 20 },
    );
    fc.assert(
      fc.property(points, fc.constantFrom('RI', 'MA', 'DB'), (list, format) => {
        const rows = list.map(({ re, im }, i) => {
          const size = Math.max(Math.hypot(re, im), 1e-9);
          const angle_deg = (Math.atan2(im, re) * 180) / Math.PI;
          const pair = format === 'RI' ? [re, im] : [format === 'MA' ? size : 20 * Math.log10(size), angle_deg];
          return `${800 + i} ${pair.join(' ')}`;
        });
        const { sweep } = readTouchstone(`# MHz S ${format} R 50\n${rows.join('\n')}`);
        list.forEach(({ re, im }, i) => {
          expect(Math.abs(sweep.re[i]! - re)).toBeLessThan(1e-8);
          expect(Math.abs(sweep.im[i]! - im)).toBeLessThan(1e-8);
        });
      }),
      { seed: 1, numRuns: 200 },
    );
  });
});
