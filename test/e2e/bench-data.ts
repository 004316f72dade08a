/** A batch to work on, made over the server's own routes: sixty units of an invented kit, some through, two stopped. */
import type { APIRequestContext } from 'playwright-core';
import { createRandom } from '../../src/core/math/index.ts';

const gate = (key: string, name: string, measures: string, limits: object) => ({ key, name, measures, ...limits });

export const PLAN = {
  name: 'Larch 2',
  kit: 'alder-3',
  kitRevision: 'C',
  bom: [
    { part: 'e-cell', count: 3, scrap_pct: 2, alternates: [] },
    { part: 'e-antenna', count: 1, scrap_pct: 5, alternates: [] },
  ],
  subassemblies: [],
  steps: [
    {
      ...{ key: 'cells', name: 'Fit the cells', tool: 'cell jig, torque 0.4 N·m', drawing: 'cells.svg', time_min: 4 },
      ...{ caution: 'Never bridge the cells: no ring, no tweezers.', parts: ['e-cell'], gates: ['rest'] },
    },
    { key: 'board', name: 'Seat the board', time_min: 6, parts: [], gates: ['sleep', 'ceiling'] },
    { key: 'antenna', name: 'Screw the antenna on', time_min: 3, parts: ['e-antenna'], gates: ['match'] },
    { key: 'close', name: 'Close the lid', time_min: 2, parts: [], gates: ['spray'] },
  ],
  gates: [
    gate('rest', 'Cell voltage', 'cell voltage', { low: 3.4, high: 3.9 }),
    gate('sleep', 'Sleep current', 'sleep current', { high: 40, uncertainty: 2 }),
    gate('ceiling', 'Ceiling', 'ceiling voltage', { low: 4.05, high: 4.15 }),
    gate('match', 'Antenna match', 'antenna match', { high: 1.8 }),
    gate('spray', 'Spray test', 'spray test', {}),
  ],
  variants: [],
};

/** Makes the batch `e-07`; serials in their order. */
export async function makeBatch(request: APIRequestContext, url: string, units = 60, worked = 24): Promise<string[]> {
  const random = createRandom(7);
  let n = 0;
  const deed = async (body: Record<string, unknown>) => {
    const data = { by: 'A. Lund', token: `made-for-the-test-${++n}`, ...body };
    const answer = await request.post(`${url}/api/bench/deeds`, { data, headers: { origin: url } });
    if (!answer.ok()) throw new Error(`${JSON.stringify(body)}: ${await answer.text()}`);
  };
  const { steps, gates, ...rest } = PLAN;
  await deed({ deed: 'save-part', part: 'e-cell', name: 'Cell 3.35 Ah' });
  await deed({ deed: 'save-part', part: 'e-antenna', name: 'Antenna 868' });
  const money = { supplier: 'Fernside', currency: 'EUR', goods_minor: 42_000 };
  await deed({ deed: 'receive', part: 'e-cell', lot: 'e-cells-1', count: 60, ...money });
  await deed({ deed: 'receive', part: 'e-cell', lot: 'e-cells-2', count: 60, ...money });
  await deed({ deed: 'receive', part: 'e-antenna', lot: 'e-antennas-1', count: 62, ...money });
  await deed({ deed: 'save-plan', plan: 'e-plan', value: { ...rest, steps, gates } });
  await deed({ deed: 'open-batch', batch: 'e-07', plan: 'e-plan', count: units, prefix: 'E07', due: '2030-04-30' });
  await deed({ deed: 'place-order', order: 'e-hut', customer: 'Hut Kaldra', plan: 'e-plan', count: 8, region: 'EU' });
  const page = (await (await request.get(`${url}/api/bench/batches/e-07`)).json()) as {
    look: { units: { serial: string }[] };
  };
  const serials = page.look.units.map((u) => u.serial);
  const value = (key: string, i: number): number | boolean =>
    ({
      rest: Math.round((3.6 + 0.05 * random.normal()) * 1000) / 1000,
      sleep: i === 9 ? 61 : Math.round((24 + 3 * random.normal()) * 10) / 10,
      ceiling: Math.round((4.1 + 0.008 * random.normal()) * 1000) / 1000,
      match: i === 14 ? 2.4 : Math.round((1.3 + 0.08 * random.normal()) * 100) / 100,
    })[key] ?? true;
  for (let i = 0; i < worked; i++) {
    const unit = serials[i]!;
    for (const step of steps.slice(0, i < worked - 6 ? 4 : 2)) {
      if (step.parts.length > 0) await deed({ deed: 'fit', unit });
      let stopped = false;
      for (const key of step.gates) {
        const v = value(key, i);
        await deed({ deed: 'measure', unit, gate: key, value: v, ...(v === true ? {} : { instrument: 'meter 2' }) });
        stopped ||= (key === 'sleep' && i === 9) || (key === 'match' && i === 14);
        if (stopped) break;
      }
      if (stopped) break;
      await deed({ deed: 'tick', unit, step: step.key, time_s: 150 + i });
    }
  }
  return serials;
}
