import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import * as z from 'zod';
import { parseYamlRecord } from '../../src/formats/yaml-record.ts';
import { jsonSchemas, newKitText, newPerchText, PANELS, panelsOf } from '../../src/records/index.ts';
import { example, kitOf, kitText, perchOf, toldBy } from './reading.ts';

const KITS = ['reference/kit.yaml', 'alder-3.yaml', 'bare-board.yaml'];
const PERCHES = ['hut-kaldra.yaml', 'rescue-post.yaml', 'tarnwick-shed.yaml'];
const committed = (name: string) =>
  JSON.parse(
    readFileSync(new URL(`../../schema/${name}.schema.json`, import.meta.url), 'utf8'),
  ) as z.core.JSONSchema.JSONSchema;

describe('examples', () => {
  it.each(KITS)('%s is a valid kit', (name) => {
    expect(kitOf(example(name)).value.name).not.toBe('');
  });
  it.each(PERCHES)('%s is a valid perch', (name) => {
    expect(perchOf(example(name)).value.tilt_deg).toBeGreaterThan(0);
  });

  it('given for each other are told in one sentence', () => {
    expect(toldBy(() => kitOf(example('hut-kaldra.yaml')))).toEqual([
      expect.stringContaining('this file describes a perch, but a kit is wanted here'),
    ]);
    expect(toldBy(() => perchOf(example('alder-3.yaml')))).toEqual([
      expect.stringContaining('this file describes a kit, but a perch is wanted here'),
    ]);
  });

  // Figures of the reference runs' rules: 3.4 Ah x 3.6 V a cell, ceiling 0.90, cut-off 0.10, reconnect 0.20, charger 0.85, -0.4 %/K, albedo 0.2, no charge below 0.
  it('the reference node is the node of the reference runs', () => {
    const { value, assumptions } = kitOf(example('reference/kit.yaml'));
    expect(value).toMatchObject({
      mode: 'plain',
      panel: { temperatureCoefficient_pct_K: -0.4 },
      charger: {
        type: 'flat',
        efficiency: 0.85,
        ceiling_soc: 0.9,
        chargeMin_degC: 0,
        power_path: true,
        cold_lockout: true,
      },
      cutoff: { cutoff_soc: 0.1, reconnect_soc: 0.2 },
      cells: { capacity_mAh: 3400, voltage_V: 3.6 },
    });
    expect(assumptions).toEqual([]);
    const perch = perchOf(example('reference/perch.yaml'), [], true);
    expect(perch.value).toMatchObject({ albedo: 0.2, horizon: 'none', snow: 'none' });
    expect(perch.assumptions.filter((a) => a.only !== 'full')).toEqual([]);
  });

  it('Alder 3 has 3.2 W and three cells of 3,350 mAh', () => {
    const { value } = kitOf(example('alder-3.yaml'));
    const [panel] = panelsOf(value);
    expect((panel?.vmp_V ?? 0) * (panel?.imp_A ?? 0)).toBeCloseTo(3.2, 2);
    expect([value.cells.count, value.cells.capacity_mAh]).toEqual([3, 3350]);
  });
});

describe('files to begin with', () => {
  it('validate as they are, with comments', () => {
    expect(kitOf(newKitText()).value.cells.count).toBe(3);
    expect(perchOf(newPerchText()).value.tilt_deg).toBe(61);
    expect(newKitText().match(/#/g)?.length).toBeGreaterThan(15);
    expect(newPerchText().match(/#/g)?.length).toBeGreaterThan(10);
  });

  it.each(PANELS.filter(({ id }) => id.includes('-6V-')))('with $id', ({ id }) => {
    expect(
      kitOf(newKitText({ panel: id, charger: 'charger-linear-500mA', cells: 'cell-21700-5000', count: 1 })).value.cells
        .count,
    ).toBe(1);
  });

  it('face the equator on both sides of it, and take any name', () => {
    const south = perchOf(
      newPerchText({ name: 'a: "b" #c\n- d', latitude_deg: -44.3, longitude_deg: 168.9, elevation_m: 620 }),
    );
    expect(south.value).toMatchObject({ name: 'a: "b" #c - d', azimuth_deg: 0, tilt_deg: 59 });
  });
});

describe('JSON Schema', () => {
  it('lets a generic part stand for the fields that it fills', () => {
    const cells = committed('kit').properties?.['cells'] as z.core.JSONSchema.JSONSchema;
    expect(cells.required).toEqual(['count']);
    expect(cells.anyOf).toEqual([{ required: ['part'] }, { required: ['capacity_mAh'] }]);
  });

  it.each(['kit', 'perch', 'net'] as const)(
    'schema/%s.schema.json is up to date (tools/write-schema.ts writes it)',
    (name) => {
      expect(committed(name)).toEqual(jsonSchemas()[name]);
    },
  );

  it('every field is described', () => {
    const bare: string[] = [];
    const look = (node: unknown, at: string) => {
      if (typeof node !== 'object' || node === null) return;
      const { properties, ...rest } = node as { properties?: Record<string, { description?: string }> };
      for (const [key, child] of Object.entries(properties ?? {})) {
        if (child.description === undefined) bare.push(`${at}.${key}`);
        look(child, `${at}.${key}`);
      }
      for (const child of Object.values(rest)) look(child, at);
    };
    for (const [name, schema] of Object.entries(jsonSchemas())) look(schema, name);
    expect(bare).toEqual([]);
  });

  // An independent reading: the written schema, read back, must accept the examples and refuse slips.
  it('accepts the examples and refuses unknown keys and wrong ranges', () => {
    const kit = z.fromJSONSchema(committed('kit'));
    const perch = z.fromJSONSchema(committed('perch'));
    const plain = (text: string) => parseYamlRecord(text, 'f').value;
    for (const name of KITS) expect(kit.safeParse(plain(example(name))).error?.issues ?? []).toEqual([]);
    for (const name of PERCHES) expect(perch.safeParse(plain(example(name))).error?.issues ?? []).toEqual([]);
    expect(kit.safeParse(plain(newKitText())).success).toBe(true);
    for (const changes of [
      { panle: '1' },
      { panel: '{ power_W: 3, tilt: 4 }' },
      { charger: '{ type: liner }' },
    ] as Record<string, string>[])
      expect(kit.safeParse(plain(kitText(changes))).success).toBe(false);
  });
});
