import { describe, expect, it } from 'vitest';
import { lastPatch } from '../../src/app/last-patch.ts';
import { boxAround, type EarthBox } from '../../src/formats/geodesic.ts';
import type { Terrain, TerrainPatch } from '../../src/formats/terrain.ts';

const around = (latitude_deg: number, range_m = 15_000) => {
  const at = { latitude_deg, longitude_deg: 10.2 };
  return { area: boxAround(at, range_m), at };
};

describe('the last ground given', () => {
  it('answers who moves by a little, and always holds what is asked for', async () => {
    const asked: EarthBox[] = [];
    const given = new Map<TerrainPatch, EarthBox>();
    const terrain: Terrain = {
      name: 'counted',
      patch: async ({ area }) => {
        asked.push(area);
        const patch = { notes: [] } as unknown as TerrainPatch;
        given.set(patch, area);
        return patch;
      },
    };
    const last = lastPatch(terrain);
    // 40 steps of 220 m to the north: 8.8 km; the rim of 4 % on 30 km is 1.2 km wide.
    for (let i = 0; i <= 40; i++) {
      const request = around(46.4 + 0.002 * i);
      const box = given.get(await last.patch(request))!;
      expect(box.north_deg >= request.area.north_deg && box.south_deg <= request.area.south_deg).toBe(true);
      expect(box.east_deg >= request.area.east_deg && box.west_deg <= request.area.west_deg).toBe(true);
    }
    expect(asked.length).toBeLessThan(10);
    // A much smaller circle is cut anew.
    const before = asked.length;
    await last.patch(around(46.48, 5000));
    expect(asked.length).toBe(before + 1);
  });

  it('what failed is asked for again', async () => {
    let calls = 0;
    const last = lastPatch({ name: 'broken', patch: () => Promise.reject(new Error(`no ${++calls}`)) });
    await expect(last.patch(around(46))).rejects.toThrow('no 1');
    await expect(last.patch(around(46))).rejects.toThrow('no 2');
  });
});
