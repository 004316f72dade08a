/** The schemas as JSON Schema, so that editors complete and check kit, perch and net files. */
import * as z from 'zod';
import type { RecordKindName } from './kind.ts';
import { kitSchema } from './kit.ts';
import { netSchema } from './net.ts';
import { perchSchema } from './perch.ts';

/**
 * JSON Schema (draft 7, which editors read) of each record, as it is written in a file: defaults are optional.
 * Where a generic `part` may fill the fields, `part` or the required fields satisfy it. Checks over several fields are not in it.
 */
export function jsonSchemas(): Readonly<Record<RecordKindName, Record<string, unknown>>> {
  return { kit: write(kitSchema, 'Kit'), perch: write(perchSchema, 'Perch'), net: write(netSchema, 'Net') };
}

function write(schema: z.core.$ZodType, title: string): Record<string, unknown> {
  const written = z.toJSONSchema(schema, {
    io: 'input',
    target: 'draft-7',
    override({ jsonSchema }) {
      const node = jsonSchema as Record<string, unknown>;
      const properties = node['properties'] as Record<string, unknown> | undefined;
      const required = node['required'];
      if (properties?.['part'] === undefined || !Array.isArray(required)) return;
      const always = required.filter((key) => ALWAYS.includes(String(key)));
      const filled = required.filter((key) => !ALWAYS.includes(String(key)));
      if (filled.length > 0) node['anyOf'] = [{ required: ['part'] }, { required: filled }];
      if (always.length > 0) node['required'] = always;
      else delete node['required'];
    },
  }) as Record<string, unknown>;
  return { ...written, title };
}

/** Required fields that no generic part fills. */
const ALWAYS: readonly string[] = ['count', 'airtime_s_per_h'];
