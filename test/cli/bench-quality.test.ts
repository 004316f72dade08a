import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { CommanderError } from 'commander';
import { afterAll, describe, expect, it } from 'vitest';
import { registerBatch } from '../../src/cli/commands/batch.ts';
import { registerStores } from '../../src/cli/commands/stores.ts';
import { registerUnit } from '../../src/cli/commands/unit.ts';
import { UserError } from '../../src/core/units/index.ts';
import { readGolden } from '../golden.ts';
import { parseXml } from '../report/xml.ts';
import { inProcess } from './in-process.ts';

/* Every published figure of sampling, charts, rates, gauges and check characters, through the commands at full precision. */

const folder = mkdtempSync(join(tmpdir(), 'bench-quality-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
let files = 0;
function file(lines: readonly (string | number)[]): string {
  const path = join(folder, `f${++files}.csv`);
  writeFileSync(path, `${lines.join('\n')}\n`);
  return path;
}

const { program, run, json } = inProcess(registerBatch, registerStores, registerUnit);

const close = (found: number, wanted: number | string, tolerance: number | string, said: string) =>
  expect(Math.abs(found - Number(wanted)), `${said}: ${found} for ${wanted}`).toBeLessThanOrEqual(Number(tolerance));

const results = readGolden('quality-results.csv').rows;
const data = readGolden('quality-data.csv').rows;
const column = (set: string, key: 'x' | 'y' = 'x') => data.filter((r) => r['set'] === set).map((r) => r[key]!);
function meets(set: string, found: Record<string, number>): void {
  const rows = results.filter((r) => r['set'] === set);
  expect(rows.length).toBeGreaterThan(0);
  for (const { figure, value, tolerance } of rows) close(found[figure!]!, value!, tolerance!, `${set} ${figure}`);
}

describe('stores sampling', () => {
  it('plans by lot, level and limit', async () => {
    for (const row of readGolden('quality-plans.csv').rows) {
      const found = await json(
        'stores',
        'sampling',
        '--lot',
        row['lot']!,
        '--level',
        row['level']!,
        '--aql',
        row['aql_pct']!,
      );
      expect(found).toMatchObject({
        planLetter: row['letter'],
        sample: Number(row['n']),
        wholeLot: row['all'] === 'True',
        accept: Number(row['accept']),
        reject: Number(row['reject']),
      });
    }
    // source: MIL-STD-105E tables II-B, II-C: lot 60, letter E, 1.0: tightened 20/0/1 of letter F, reduced 5/0/1
    const severity = (word: string) => json('stores', 'sampling', '--lot', '60', '--aql', '1', '--inspection', word);
    expect(await severity('tightened')).toMatchObject({ letter: 'E', planLetter: 'F', sample: 20, accept: 0 });
    expect(await severity('reduced')).toMatchObject({ letter: 'E', sample: 5, accept: 0, reject: 1 });
    expect(await json('stores', 'sampling', '--lot', '1', '--aql', '1')).toMatchObject({ sample: 1, wholeLot: true });
  });

  it('operating characteristics and the qualities accepted', async () => {
    const rows = readGolden('quality-operating.csv').rows;
    for (const row of rows) {
      const own = ['stores', 'sampling', '--sample', row['n']!, '--accept', row['c']!];
      const found = await (row['kind'] === 'binomial'
        ? json(...own, '--share', row['at']!).then((o) => o['curve'][0].chance)
        : row['kind'] === 'point'
          ? json(...own).then((o) => o['accepted'][`p${Math.round(100 * Number(row['at']))}`])
          : json(...own, '--lot', row['lot']!, '--isolated', '--bad', row['at']!).then((o) => o['curve'][0].chance));
      close(found, row['value']!, row['tolerance']!, JSON.stringify(row));
    }
    expect(rows.length).toBeGreaterThan(50);
  });

  it('draws the characteristic, for a run and for a lot on its own', async () => {
    for (const more of [[], ['--isolated']]) {
      const svg = join(folder, 'plan.svg');
      const said = await run('stores', 'sampling', '--lot', '60', '--aql', '1.0', '--svg', svg, ...more);
      const text = readFileSync(svg, 'utf8');
      parseXml(text);
      expect(text).toContain('defective in the lot, %');
      expect(said.replace(/\s+/g, ' ')).toContain(
        'Look at 13 of 60 (letter E, normal): accept with no defective one, refuse from 1.',
      );
    }
  });

  it('says what cannot be', async () => {
    await expect(run('stores', 'sampling', '--lot', '60')).rejects.toThrow(/acceptance quality limit/);
    await expect(run('stores', 'sampling', '--lot', '60', '--aql', '2')).rejects.toThrow(/the nearest is 1\.5/);
    await expect(run('stores', 'sampling', '--sample', '5')).rejects.toThrow(/a plan of your own has both/);
    await expect(run('stores', 'sampling', '--sample', '5', '--accept', '0', '--bad', '1')).rejects.toThrow(/its size/);
    await expect(run('stores', 'sampling', '--lot', '60', '--aql', '1', '--share', '2')).rejects.toThrow(
      CommanderError,
    );
  });
});

describe('batch rate', () => {
  it('published intervals', async () => {
    for (const row of readGolden('quality-proportions.csv').rows) {
      const { events, trials, confidence, method } = row;
      const found = await json('batch', 'rate', '--failed', events!, '--of', trials!, '--confidence', confidence!);
      const range = found[method === 'wilson' ? 'wilson' : 'clopperPearson'];
      close(range.low, row['low']!, row['tolerance']!, `${method} ${events}/${trials}`);
      close(range.high, row['high']!, row['tolerance']!, `${method} ${events}/${trials}`);
    }
  });

  it('how many must pass without a failure', async () => {
    const units = async (confidence: string, reliability: string) =>
      (
        await json(
          'batch',
          'rate',
          '--failed',
          '0',
          '--of',
          '1',
          '--confidence',
          confidence,
          '--reliability',
          reliability,
        )
      )['withoutFailure'].map((w: { units: number }) => w.units);
    // source: success-run theorem, NIST/SEMATECH e-Handbook 8.3.1 and textbooks; exact
    expect(await units('0.9', '0.9,0.95,0.99')).toEqual([22, 45, 230]);
    expect(await units('0.95', '0.95,0.99')).toEqual([59, 299]);
    // source: closed form, none failed of 60: 1 - 0.05^(1/60)
    expect((await json('batch', 'rate', '--failed', '0', '--of', '60'))['atMost']).toBeCloseTo(
      1 - 0.05 ** (1 / 60),
      12,
    );
    expect(await run('batch', 'rate', '--failed', '0', '--of', '60')).toMatch(/60 units are few/);
    await expect(run('batch', 'rate', '--failed', '3', '--of', '2')).rejects.toThrow(UserError);
    await expect(run('batch', 'rate', '--failed', '0', '--of', '2', '--confidence', '1')).rejects.toThrow(
      /between 0.5/,
    );
  });
});

describe('batch chart', () => {
  it('individuals and moving range', async () => {
    const found = await json('batch', 'chart', file(['x', ...column('individuals')]));
    meets('individuals', {
      center: found['chart'].centre,
      MRbar: found['ranges'].centre,
      UCL: found['chart'].upper,
      LCL: found['chart'].lower,
      UCL_MR: found['ranges'].upper,
    });
    expect(found).toMatchObject({ outside: [], signals: [], size: 2 });
  });

  it('means and ranges: samples by rows, by name and by columns', async () => {
    const values = column('xbar-r');
    const byName = file(['hour;torque', ...values.map((v, i) => `${Math.floor(i / 5)};${v}`)]);
    const wide = file(['a,b,c,d,e', ...Array.from({ length: 25 }, (_, i) => values.slice(5 * i, 5 * i + 5).join(','))]);
    const all = ['a', 'b', 'c', 'd', 'e'].flatMap((name) => ['--column', name]);
    for (const args of [
      [file(values), '--size', '5'],
      [byName, '--column', 'torque', '--group', 'hour'],
      [wide, ...all],
    ]) {
      const found = await json('batch', 'chart', ...args, '--kind', 'xbar-range', '--lower', '1', '--upper', '2');
      meets('xbar-r', {
        xbarbar: found['chart'].centre,
        Rbar: found['ranges'].centre,
        UCL_x: found['chart'].upper,
        LCL_x: found['chart'].lower,
        UCL_R: found['ranges'].upper,
        LCL_R: found['ranges'].lower,
        sigma_hat: found['sigma'],
        Cp: found['capability'].cp,
      });
      expect(found['count']).toBe(125);
    }
  });

  it('factors of a sample size', async () => {
    for (const n of [2, 3, 4, 5, 6, 7, 8, 10, 15, 20, 25]) {
      const values = Array.from({ length: 2 * n }, (_, i) => i % 7);
      const { factors } = await json('batch', 'chart', file(values), '--kind', 'xbar-range', '--size', String(n));
      for (const row of readGolden('quality-chart-factors.csv').rows.filter((r) => Number(r['n']) === n)) {
        const found =
          row['factor'] === 'K1'
            ? 1 / factors.d2
            : /^K[23]$/.test(row['factor']!)
              ? 1 / factors.rmsRange
              : factors[row['factor']!];
        close(found, row['value']!, row['tolerance']!, JSON.stringify(row));
      }
    }
  });

  it('shares of defective units', async () => {
    const counts = column('pchart');
    const found = await json('batch', 'chart', file(['bad', ...counts]), '--kind', 'share', '--size', '50');
    meets('pchart', { center: found['chart'].centre, UCL: found['chart'].upper, LCL: found['chart'].lower });
    expect(found['outside']).toEqual([15, 23]); // source: e-Handbook 6.3.3.2
    const two = file(['bad,tested', ...counts.map((c) => `${c},50`)]);
    const again = await json('batch', 'chart', two, '--kind', 'share', '--column', 'bad', '--group', 'tested');
    expect(again['limits']).toEqual(found['limits']);
  });

  it('cumulative sums and moving averages', async () => {
    const sums = await json(
      ...['batch', 'chart', file(column('cusum')), '--kind', 'cusum'],
      ...['--target', '325', '--slack', '0.3175', '--limit', '4.1959'],
    );
    column('cusum', 'y').forEach((printed, i) => {
      const [high, low] = printed.split('/');
      close(sums['cusum'].high[i], high!, 1e-6, `sum ${i}`);
      close(sums['cusum'].low[i], low!, 1e-6, `sum ${i}`);
    });
    expect(sums['cusum'].first).toBe(14);
    const average = await json(
      ...['batch', 'chart', file(column('ewma')), '--kind', 'ewma'],
      ...['--target', '50', '--sigma', '2.0539', '--weight', '0.3'],
    );
    column('ewma', 'y').forEach((printed, i) => {
      close(average['chart'].values[i], printed, 0.002, `average ${i}`);
    });
    meets('ewma', { UCL: average['chart'].upper, LCL: average['chart'].lower });
  });

  it('certified datasets: mean, standard deviation, correlation with the next', async () => {
    const numacc = (first: string, low: string, high: string) =>
      Array.from({ length: 1001 }, (_, i) => (i === 0 ? first : i % 2 === 1 ? low : high));
    const sets: [string, string[]][] = [
      ['michelso', column('michelso')],
      ['lew', column('lew')],
      ['numacc1', ['10000001', '10000003', '10000002']],
      ['numacc2', numacc('1.2', '1.1', '1.3')],
      ['numacc3', numacc('1000000.2', '1000000.1', '1000000.3')],
      ['numacc4', numacc('10000000.2', '10000000.1', '10000000.3')],
    ];
    for (const [set, values] of sets) {
      const { mean, sd, lagOne } = await json('batch', 'chart', file(values));
      meets(set, { mean, sd, r1: lagOne });
      // The figures are taken as they are written: the certified digits come out, not those of the nearest doubles.
      const wanted = (figure: string) =>
        Number(results.find((r) => r['set'] === set && r['figure'] === figure)!['value']);
      expect(Math.abs(sd / wanted('sd') - 1), set).toBeLessThan(1e-13);
      expect(Math.abs(mean / wanted('mean') - 1), set).toBeLessThan(1e-14);
      expect(Math.abs(lagOne / wanted('r1') - 1), set).toBeLessThan(1e-12);
    }
  });

  it('tells neighbours that depend on one another, and draws every kind', async () => {
    // source: NIST StRD, Lew: r1 -0.307 of 200 values, far beyond 2/sqrt(200)
    expect(await run('batch', 'chart', file(column('lew')))).toMatch(/depend on one another \(correlation -0\.31/);
    expect(await run('batch', 'chart', file(column('individuals')))).not.toMatch(/depend/);
    const svg = join(folder, 'chart.svg');
    for (const [set, args] of [
      ['individuals', ['--lower', '40', '--upper', '60']],
      ['xbar-r', ['--kind', 'xbar-range', '--size', '5']],
      ['pchart', ['--kind', 'share', '--size', '50']],
      ['cusum', ['--kind', 'cusum', '--target', '325']],
      ['ewma', ['--kind', 'ewma', '--target', '50']],
    ] as const) {
      await run('batch', 'chart', file(column(set)), ...args, '--svg', svg);
      const text = readFileSync(svg, 'utf8');
      parseXml(text);
      expect(text, set).toMatch(/<desc[^>]*>.+<\/desc>/s);
      expect(text, set).not.toMatch(/NaN|undefined/);
    }
  });

  it('takes decimal commas, and says in which line a figure is none', async () => {
    expect((await json('batch', 'chart', file(['V', '1,5', '2,5', '3,5'])))['mean']).toBe(2.5);
    await expect(run('batch', 'chart', file(['V', '1.5', 'x', '']), '--column', 'V')).rejects.toThrow(/V is 'x'/);
    await expect(run('batch', 'chart', file(['V']))).rejects.toThrow(/nothing below/);
    await expect(run('batch', 'chart', file(['V', '1']))).rejects.toThrow(/needs at least 2/);
    await expect(run('batch', 'chart', file(['V', '1', '2']), '--column', 'W')).rejects.toThrow(/there are V/);
    await expect(run('batch', 'chart', file(['1', '2', '3']), '--kind', 'xbar-range', '--size', '2')).rejects.toThrow(
      /whole samples/,
    );
    await expect(run('batch', 'chart', file(['3']), '--kind', 'share', '--size', '2')).rejects.toThrow(
      /3 defective of 2/,
    );
    const still = file(['2', '2', '2']);
    expect(await json('batch', 'chart', still)).toMatchObject({ sd: 0, lagOne: null, outside: [] });
    await expect(run('batch', 'chart', still, '--kind', 'ewma')).rejects.toThrow(/all values are alike/);
    await expect(run('batch', 'chart', still, '--upper', '3')).rejects.toThrow(/no spread/);
  });
});

describe('batch capability, line, gauge', () => {
  it('capability with its intervals, and limits drawn in', async () => {
    const of = ['batch', 'capability', '--mean', '16', '--sd', '2', '--lower', '8', '--upper', '20'];
    const c = await json(...of, '--target', '14');
    meets('capability', { Cp: c['cp'], Cpk: c['cpk'], Cpu: c['cpu'], Cpl: c['cpl'], k: c['k'], Cpm: c['cpm'] });
    const at = (cpk: number) => ['--lower', String(-3 * cpk), '--upper', String(3 * cpk)];
    const i = await json('batch', 'capability', '--mean', '0', '--sd', '1', ...at(1.33), '--of', '50');
    const { low: lower, high: upper } = i['cpkInterval'];
    meets('cpk-ci', { lower, upper, lower_one_sided: i['cpkAtLeast'] });
    for (const { figure, value, tolerance } of results.filter((r) => r['set'] === 'ppm')) {
      const p = await json('batch', 'capability', '--mean', '0', '--sd', '1', ...at(Number(figure)));
      close(p['outside_ppm'], value!, tolerance!, `ppm at ${figure}`);
    }
    // source: guard band of ISO 14253-1 (from memory), limits 0 and 10, expanded uncertainty 0.4: accepted 0.4 to 9.6
    const guarded = [...of.slice(0, 6), '--lower', '0', '--upper', '10', '--uncertainty'];
    expect((await json(...guarded, '0.4'))['accepted']).toEqual({ lower: 0.4, upper: 9.6 });
    expect((await json(...guarded, '6'))['accepted']).toBeNull();
  });

  it('the certified straight line', async () => {
    const y = column('norris', 'y');
    const path = file(['x,y', ...column('norris').map((x, i) => `${x},${y[i]}`)]);
    const line = await json('batch', 'line', path, '--x', 'x', '--y', 'y');
    meets('norris', {
      B0: line['intercept'],
      B1: line['slope'],
      sd_B0: line['interceptError'],
      sd_B1: line['slopeError'],
      residual_sd: line['residual'],
      R2: line['explained'],
    });
    // source: NIST StRD, Norris: F statistic 5436385.54079785; 9 digits
    expect(Math.abs(line['f'] / 5436385.54079785 - 1)).toBeLessThan(1e-9);
  });

  it('gauge studies by variances, by ranges, and of one person', async () => {
    const rows = readGolden('quality-gauge.csv').rows;
    const study = (name: string, keep: (operator: string) => boolean = () => true) => {
      const seen = new Map<string, number>();
      return file([
        'part,operator,trial,value',
        ...rows
          .filter((r) => r['study'] === name && keep(r['operator']!))
          .map((r) => {
            const cell = `${r['part']},${r['operator']}`;
            seen.set(cell, (seen.get(cell) ?? 0) + 1);
            return `${cell},${seen.get(cell)},${r['value']}`;
          }),
      ]);
    };
    const a = await json('batch', 'gauge', study('anova'));
    meets('gauge-anova', {
      ...Object.fromEntries(
        [
          ['part', 'part'],
          ['operator', 'person'],
          ['interaction', 'interaction'],
          ['error', 'error'],
          ['total', 'total'],
        ].flatMap(([name, key]) => [
          [`SS_${name}`, a['squares'][key!]],
          [`MS_${name}`, a['meanSquares'][key!]],
        ]),
      ),
      var_repeatability: a['variance'].repeatability,
      var_interaction: a['variance'].interaction,
      var_operator: a['variance'].person,
      var_part: a['variance'].part,
      var_grr: a['gauge'] ** 2,
      var_total: a['total'] ** 2,
      pct: a['study_pct'],
      ndc: a['classes'],
      ndc_exact: a['classesExact'],
      p_interaction: a['interactionChance'],
    });
    const g = await json('batch', 'gauge', study('range'), '--method', 'ranges');
    meets('gauge-range', {
      Rbarbar: g['meanRange'],
      xdiff: g['personRange'],
      EV: g['repeatability'],
      AV: g['reproducibility'],
      GRR: g['gauge'],
      PV: g['part'],
      TV: g['total'],
      pct: g['study_pct'],
      ndc: g['classes'],
    });
    const one = await json(
      'batch',
      'gauge',
      study('anova', (operator) => operator === '0'),
    );
    expect(one).toMatchObject({ method: 'one person', operators: 1, reproducibility: null, parts: 5, trials: 2 });
    const single = await json('batch', 'gauge', file(['part,operator,trial,value', 'a,m,1,1', 'a,m,2,2', 'a,m,3,3']));
    expect(single).toMatchObject({ repeatability: 1, part: null, study_pct: null, classes: null });
    const still = file([
      'part,operator,trial,value',
      ...['1,a', '1,b', '2,a', '2,b'].flatMap((c) => [`${c},1,5`, `${c},2,5`]),
    ]);
    await expect(run('batch', 'gauge', still)).rejects.toThrow(/no spread/);
    await expect(run('batch', 'gauge', file(['part,operator,trial,value', 'a,m,1,1']))).rejects.toThrow(/one trial/);
  });
});

describe('unit serial', () => {
  it('check characters of every scheme, made and checked', async () => {
    for (const { scheme, text, check } of readGolden('quality-check-characters.csv').rows) {
      const whole = text! + check!;
      expect(await json('unit', 'serial', 'check', whole, '--scheme', scheme!), whole).toMatchObject({ valid: true });
      if (check !== '')
        expect(await json('unit', 'serial', 'make', text!, '--scheme', scheme!)).toMatchObject({ check, whole });
    }
    // source: ISO 13616 registry examples
    for (const iban of ['GB82 WEST 1234 5698 7654 32', 'DE89370400440532013000'])
      expect(await json('unit', 'serial', 'check', iban, '--scheme', 'iban')).toMatchObject({ valid: true });
    expect(await json('unit', 'serial', 'check', 'GB83WEST12345698765432', '--scheme', 'iban')).toMatchObject({
      valid: false,
      whole: 'GB82WEST12345698765432',
    });
  });

  it('a slip is named, and strange characters too', async () => {
    const { whole } = await json('unit', 'serial', 'make', 'a07-012');
    expect((await run('unit', 'serial', 'check', whole.replace('0', 'O'))).replace(/\s+/g, ' ')).toContain(
      `it may have been ${whole}`,
    );
    expect(await json('unit', 'serial', 'check', 'oil-l6j', '--scheme', 'crockford')).toMatchObject({ body: '01116' });
    await expect(run('unit', 'serial', 'check', '12A4', '--scheme', 'damm')).rejects.toThrow(/'A' in 12A.*digits/);
    await expect(run('unit', 'serial', 'check', '4')).rejects.toThrow(/too short/);
  });

  it('what codes hold', async () => {
    // source: ISO/IEC 15434 with data identifiers of ANSI MH10.8.2 (from memory): part RPT-1, serial A0001, lot 24B
    const message = await json('unit', 'serial', 'message', '--part', 'RPT-1', '--serial', 'A0001', '--lot', '24B');
    expect(message['message_hex']).toBe('5b293e1e30361d31505250542d311d5341303030311d31543234421e04');
    await expect(run('unit', 'serial', 'message')).rejects.toThrow(/would say nothing/);
    for (const { text, start, values, check } of readGolden('papers-code128.csv').rows) {
      const bars = await json('unit', 'serial', 'bars', text!, '--set', start === '103' ? 'A' : 'B');
      expect(bars['values'].join(' '), text).toBe(values);
      expect([bars['start'], bars['check']], text).toEqual([Number(start), Number(check)]);
    }
    await expect(run('unit', 'serial', 'bars', 'abc', '--set', 'A')).rejects.toThrow(/not in code set A/);
  });
});

describe('help', () => {
  it('of the groups has a word on every command', () => {
    for (const group of program.commands) {
      const text = group.helpInformation();
      for (const command of group.commands)
        expect(text, command.name()).toMatch(new RegExp(`  ${command.name()} .+ [a-z]`));
      expect(new Set(group.commands.map((c) => c.name())).size).toBe(group.commands.length);
    }
  });
});
