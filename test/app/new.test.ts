import { describe, expect, it } from 'vitest';
import { listParts, newRecord, PART_LISTS, type PartList } from '../../src/app/new.ts';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import { readKit, readPerch } from '../../src/records/index.ts';
import { problemsOf } from './real-ports.ts';

const kitOf = (text: string) => readKit(parseYamlRecord(text, 'new.yaml')).value;
const perchOf = (text: string) => readPerch(parseYamlRecord(text, 'new.yaml')).value;

describe('new', () => {
  it('lists at least 12 panels, 6 cells, 8 chargers and 10 states of a load, each named once', () => {
    const least: Record<PartList, number> = { panels: 12, cells: 6, chargers: 8, loads: 10 };
    for (const [list, count] of Object.entries(least)) {
      const { parts } = listParts(list as PartList);
      expect(parts.length).toBeGreaterThanOrEqual(count);
      expect(new Set(parts.map(({ id }) => id)).size).toBe(parts.length);
      for (const part of parts) expect(part.title.length).toBeGreaterThan(5);
    }
  });

  it('writes a kit that reads back as asked', () => {
    const kit = kitOf(newRecord({ kind: 'kit', name: 'Pine "4": a\\b', cells: 'cell-21700-5000', count: 2 }));
    expect(kit.name).toBe('Pine "4": a\\b');
    expect(kit.cells).toMatchObject({ count: 2, capacity_mAh: 5000 });
  });

  it('writes a kit with every panel and every cell', () => {
    for (const { id } of PART_LISTS.panels) expect(kitOf(newRecord({ kind: 'kit', panel: id })).panel).toBeDefined();
    for (const { id, fields } of PART_LISTS.cells)
      expect(kitOf(newRecord({ kind: 'kit', cells: id })).cells.capacity_mAh).toBe(fields['capacity_mAh']);
  });

  it('writes a kit with every charger, on the panels that can feed it', async () => {
    for (const { id, fields } of PART_LISTS.chargers) {
      const tries = await Promise.all(
        PART_LISTS.panels.flatMap((panel) =>
          ['cell-18650-3350', 'cell-18650-1500-iron-phosphate'].map(async (cells) => {
            try {
              return kitOf(newRecord({ kind: 'kit', charger: id, panel: panel.id, cells })).charger.type;
            } catch {
              return undefined;
            }
          }),
        ),
      );
      expect(tries, id).toContain(fields['type']);
    }
  });

  it('keeps the thresholds of flat cells below their full voltage', () => {
    const kit = kitOf(newRecord({ kind: 'kit', cells: 'cell-32700-6000-iron-phosphate' }));
    expect(kit.cutoff.reconnect_V!).toBeLessThan(kit.charger.ceiling_V!);
    expect(kit.cutoff.cutoff_V!).toBeLessThan(kit.cutoff.reconnect_V!);
  });

  it('writes a perch that reads back, facing the equator', () => {
    const north = perchOf(newRecord({ kind: 'perch', latitude_deg: 46.4, longitude_deg: 10.2, elevation_m: 1500 }));
    expect(north).toMatchObject({ latitude_deg: 46.4, longitude_deg: 10.2, elevation_m: 1500, azimuth_deg: 180 });
    const south = perchOf(newRecord({ kind: 'perch', latitude_deg: -44.3, longitude_deg: -170.5 }));
    expect(south).toMatchObject({ latitude_deg: -44.3, longitude_deg: -170.5, azimuth_deg: 0 });
  });

  it.each([
    [{ kind: 'kit', panel: 'panel-3W' }, '--panel', /no generic part has that name.*new --list panels/],
    [{ kind: 'kit', cells: 'cell-18650-3351' }, '--cells', /did you mean cell-18650-33?50\d*\?/],
    [{ kind: 'kit', charger: '' }, '--charger', /--charger is ''/],
    [{ kind: 'kit', count: 0 }, '--count', /between 1 and 1000/],
    [{ kind: 'kit', count: 2.5 }, '--count', /whole numbers/],
    [{ kind: 'kit', name: ' ' }, '--name', /1 to 200 characters/],
    [{ kind: 'perch', latitude_deg: 95 }, '--lat', /between -90 and 90/],
    [{ kind: 'perch', elevation_m: 12000 }, '--elevation', /between -450 and 9000/],
  ] as const)('tells %o', async (request, field, sentence) => {
    const found = await problemsOf(() => newRecord(request));
    expect(found.map((problem) => problem.field)).toEqual([field]);
    expect(found[0]!.message).toMatch(sentence);
  });

  it('refuses parts that do not go together, with the reason', async () => {
    const request = {
      kind: 'kit',
      cells: 'cell-18650-1500-iron-phosphate',
      charger: 'charger-linear-1000mA-4.1V',
    } as const;
    const found = await problemsOf(() => newRecord(request));
    expect(found).toMatchObject([{ code: 'ceiling-above-full', field: 'kit.charger.ceiling_V' }]);
  });
});
