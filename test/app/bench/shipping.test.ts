import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { checkCharge, restedCharge } from '../../../src/app/bench/charge.ts';
import { decide } from '../../../src/app/bench/deeds.ts';
import { gaugeStudy } from '../../../src/app/bench/gauge.ts';
import { measureGate } from '../../../src/app/bench/units.ts';
import { NMC811, openCircuit_V } from '../../../src/core/cells/index.ts';
import { parseYamlRecord } from '../../../src/formats/yaml-record.ts';
import { readKit } from '../../../src/records/index.ts';
import { readGolden } from '../../golden.ts';
import { testBench } from './bench.ts';

const text = readFileSync(new URL('../../../examples/alder-3.yaml', import.meta.url), 'utf8');
const kit = readKit(parseYamlRecord(text, 'alder-3.yaml')).value;

describe('charge before a unit leaves', () => {
  it('is the inverse of the rested voltage, to a tenth of a per cent as it is told', () => {
    for (const charge of [0.05, 0.3, 0.6, 0.95])
      expect(Math.abs(restedCharge(kit, openCircuit_V(NMC811, charge)).charge_pct - 100 * charge)).toBeLessThanOrEqual(
        0.1,
      );
    const { low_pct, charge_pct, high_pct } = restedCharge(kit, 3.5);
    expect(low_pct).toBeLessThan(charge_pct);
    expect(charge_pct).toBeLessThan(high_pct);
  });
  it('refuses what is no voltage of one cell', () => {
    expect(() => restedCharge(kit, 11.1)).toThrow(/measure across one cell/);
    expect(() => restedCharge(kit, 0.37)).toThrow(/measure across one cell/);
  });
  // 30 %: air transport of lithium-ion cells, see the shipping caution of core/cells.
  it('passes at the limit, is refused above it unless the maker says that he knows', () => {
    expect(checkCharge('A07-001X', 30, false)).toEqual([]);
    expect(() => checkCharge('A07-001X', 30.1, false)).toThrow(/above the 30 %/);
    expect(checkCharge('A07-001X', 30.1, true)[0]).toMatch(/current rules/);
    expect(checkCharge('A07-001X', undefined, false)[0]).toMatch(/not known/);
  });
});

describe('a unit that ships by request', () => {
  it('is held to the same limit as by hand: the charge told, or that of its rested voltage', async () => {
    const bench = await testBench();
    const unit = bench.state.batches.get('a-07')!.serials[0]!;
    await bench.do((s) => measureGate(s, unit, { gate: 'sleep', value: 20 }));
    await bench.do((s) => measureGate(s, unit, { gate: 'ceiling', value: 4.1 }));
    await bench.do((s) => measureGate(s, unit, { gate: 'spray', value: true }));
    const world = { seed: 1, digest: (text: string) => text, kit };
    const ship = (more: object) =>
      decide(bench.state, { deed: 'ship', by: 'One', token: 'a-token-1', unit, ...more }, world).at(-1)!.content;
    expect(() => ship({ charge_pct: 31 })).toThrow(/above the 30 %/);
    expect(() => ship({ rested_V: openCircuit_V(NMC811, 0.6) })).toThrow(/above the 30 %/);
    expect(ship({ charge_pct: 31, chargeTold: true })).toMatchObject({ kind: 'unit-shipped', charge_pct: 31 });
    expect(ship({ charge_pct: 31, chargeTold: true })).not.toHaveProperty('chargeTold');
    expect(ship({ rested_V: openCircuit_V(NMC811, 0.25) })).toHaveProperty('charge_pct');
    expect(ship({})).not.toHaveProperty('charge_pct');
  });
});

describe('a gauge study from a file', () => {
  const rows = readGolden('quality-gauge.csv').rows.filter((row) => row['study'] === 'anova');
  const seen = new Map<string, number>();
  const csv = ['part,operator,trial,value'].concat(
    rows.map((row) => {
      const who = `${row['part']},${row['operator']}`;
      seen.set(who, (seen.get(who) ?? 0) + 1);
      return `${who},${seen.get(who)},${row['value']}`;
    }),
  );
  it('gives the same whatever the order of the lines, and with decimal commas', () => {
    const outcome = gaugeStudy(csv.join('\n'), 'study.csv');
    expect(outcome.parts * outcome.operators * outcome.trials).toBe(rows.length);
    const turned = [csv[0]!, ...csv.slice(1).toReversed()].map((line) =>
      line.replaceAll(',', ';').replaceAll('.', ','),
    );
    expect(gaugeStudy(turned.join('\r\n'), 'study.csv').study_pct).toBeCloseTo(outcome.study_pct!, 9);
  });
  it('tells a gap, a double line and a word by their place', () => {
    const without = csv.filter((_, i) => i !== 4);
    expect(() => gaugeStudy(without.join('\n'), 'study.csv')).toThrow(/is missing/);
    expect(() => gaugeStudy([...csv, csv[1]].join('\n'), 'study.csv')).toThrow(/stands twice/);
    expect(() => gaugeStudy(csv.join('\n').replace('11.008', 'wide'), 'study.csv')).toThrow(/'wide'/);
    expect(() => gaugeStudy('a,b\n1,2', 'study.csv')).toThrow(/no title row/);
  });
});
