import { describe, expect, it } from 'vitest';
import { sunperch } from './run.ts';

const PLACE = ['--lat', '46.4', '--lon', '10.2', '--elevation', '1900'];
const GHI = '1.7,2.6,3.9,4.9,5.4,5.9,5.9,5.0,4.1,2.8,1.8,1.4';
const COLD = '-6,-5,-2,1,6,10,12,12,8,4,-2,-5';

describe('sunperch tilt', () => {
  it('takes the options of the contract, negative values in lists and options included', () => {
    const place = ['--lat', '-46.4', '--lon', '-71.5', '--elevation', '10', '--azimuth', '-20'];
    const ghi = '5.9,5,4.1,2.8,1.8,1.4,1.7,2.6,3.9,4.9,5.4,5.9';
    const run = sunperch(
      ...['tilt', ...place, '--ghi', ghi, '--temperature', COLD, '--tilt', '60', '--albedo', '0.3', '--json'],
    );
    expect(run).toMatchObject({ code: 0, err: '' });
    const told = run.json() as { poa_kWh_m2_day: number[] };
    expect(told.poa_kWh_m2_day).toHaveLength(12);
    for (const value of told.poa_kWh_m2_day) expect(value).toBeGreaterThan(0.5);
    expect(told).toMatchObject({ years: 60, seed: 1, azimuth_deg: 340, ghi_kWh_m2_day: ghi.split(',').map(Number) });
  });

  it('says it in words, with years, seed and how sure it is', () => {
    const run = sunperch('tilt', ...PLACE, '--ghi', GHI, '--temperature', COLD, '--tilt', '60');
    expect(run.out).toMatch(/^On a plane tilted 60° towards 180° the year gives \d\.\d\d kWh\/m²/);
    expect(run.out).toMatch(/--years: 60 .*seed 1/);
    expect(run.out).toMatch(/How sure this is:/);
  });

  it.each([
    [
      'eleven values',
      ['--ghi', '1,2,3,4,5,6,5,4,3,2,1', '--temperature', COLD, '--tilt', '60'],
      2,
      /11 values found; 12 are wanted/,
    ],
    [
      'a value that is no number',
      ['--ghi', GHI.replace('2.8', 'x'), '--temperature', COLD, '--tilt', '60'],
      2,
      /'x' is not a number/,
    ],
    ['no tilt', ['--ghi', GHI, '--temperature', COLD], 2, /--tilt <deg>/],
    [
      'a tilt of -200',
      ['--ghi', GHI, '--temperature', COLD, '--tilt', '-200'],
      1,
      /--tilt is -200: a tilt lies between 0 and 90/,
    ],
    [
      'more sun than there is',
      ['--ghi', GHI.replace('1.7', '6.7'), '--temperature', COLD, '--tilt', '60'],
      1,
      /--ghi of January is 6.7, but no more than 3\.2/,
    ],
  ])('%s', (_, args, code, sentence) => {
    const run = sunperch('tilt', ...PLACE, ...args);
    expect(run).toMatchObject({ code, out: '' });
    expect(run.err).toMatch(sentence);
  });
});
