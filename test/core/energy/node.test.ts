import { describe, expect, it } from 'vitest';
import { createBank, NMC111, NMC811, pulseVoltage_V, socAtPulse } from '../../../src/core/cells/index.ts';
import { COLDEST_degC, socAt } from '../../../src/core/energy/index.ts';
import { buildNode } from '../../../src/core/energy/node.ts';
import { autonomy_d } from '../../../src/core/energy/probes.ts';
import { bucketNode, fullNode } from './nodes.ts';

const index = (temperature_degC: number) => temperature_degC - COLDEST_degC;

describe('thresholds as stored energy', () => {
  it('stand where the loaded cell shows the cut-off voltage, later when cold or aged', () => {
    const bank = createBank({ table: NMC811, count: 3, capacity_mAh: 3350 });
    const model = buildNode(fullNode({ cells: { kind: 'bank', bank }, pulse_A: 0.6 }));
    const warm = model.cutoff_Wh[index(25)]!;
    const soc = socAt(model, warm);
    expect(pulseVoltage_V(bank, soc, 25, 0.6)).toBeCloseTo(3.2, 2);
    expect(soc).toBeCloseTo(socAtPulse(bank, 3.2, 25, 0.6), 2);
    expect(model.cutoff_Wh[index(-20)]).toBeGreaterThan(warm);
    const old = buildNode(fullNode({ cells: { kind: 'bank', bank: { ...bank, resistanceFactor: 3 } }, pulse_A: 0.6 }));
    expect(old.cutoff_Wh[index(25)]).toBeGreaterThan(warm);
  });

  it('are out of reach when the inrush is more than full cells can give', () => {
    const model = buildNode(fullNode({ inrush_A: 60 }));
    expect(model.restart_Wh[index(-20)]).toBe(Number.POSITIVE_INFINITY);
  });
});

it('the ceiling of the NMC111 table: 4.073 V at rest is 90 % (Schmalstieg et al. 2014, fig. 1 as tabulated)', () => {
  const bank = createBank({ table: NMC111, count: 1, capacity_mAh: 2050 });
  const model = buildNode(fullNode({ cells: { kind: 'bank', bank }, ceiling: { voltage_V: 4.073 } }));
  expect(socAt(model, model.ceiling_Wh)).toBeCloseTo(0.9, 3);
});

describe('autonomy', () => {
  it('is store over load for a bucket (arithmetic)', () => {
    expect(
      autonomy_d(bucketNode(24 * 7, { cutoff_Wh: new Float64Array(bucketNode(1).cutoff_Wh.length).fill(0) }), 20),
    ).toBeCloseTo(7, 1);
  });

  it('about 6 Ah of cells carries a frugal node (12 mA) for over a week without sun (common practice, no source)', () => {
    const bank = createBank({ table: NMC811, count: 2, capacity_mAh: 3000 });
    const model = buildNode(fullNode({ cells: { kind: 'bank', bank }, loadCurrent_A: 0.012 }));
    expect(autonomy_d(model, 0)).toBeGreaterThan(7);
  });
});
