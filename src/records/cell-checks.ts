/** What must fit together in the cells. */

import type { OcvPoint, OcvTable } from '../core/cells/index.ts';
import { ocvTable } from '../core/cells/index.ts';
import { UserError } from '../core/units/index.ts';
import type { Finding } from './fields.ts';
import type { RawMapping } from './loose.ts';
import { at, has, isMapping, numberAt } from './loose.ts';

/** Findings within the cells. */
export function cellsFindings(kit: RawMapping): Finding[] {
  const cells = at(kit, 'cells');
  if (!isMapping(cells)) return [];
  const isTable = cells['chemistry'] === 'table';
  const field = (message: string, code: string, key: string) => [{ code, path: ['cells', key], message }];
  if (isTable && !has(cells, 'table'))
    return field(
      'table is missing: chemistry is table, so give [{soc: 0, voltage_V: …}, …, {soc: 1, voltage_V: …}]',
      'missing',
      'table',
    );
  if (!isTable && has(cells, 'table'))
    return field('table has no effect without chemistry: table beside it', 'table-without-chemistry', 'table');
  const table = tableOf(kit);
  return table instanceof UserError
    ? table.problems.map(({ code, message, place }) => ({
        code,
        message,
        path: ['cells', 'table', ...[...(place?.field ?? '').matchAll(/\[(\d+)\]/g)].map((match) => Number(match[1]))],
      }))
    : [];
}

/** The open-circuit table of the kit; undefined when it cannot be told, a UserError when the user's own is faulty. */
export function tableOf(kit: RawMapping): OcvTable | UserError | undefined {
  const chemistry = at(kit, 'cells', 'chemistry') ?? 'nmc811';
  const points = at(kit, 'cells', 'table');
  if (chemistry === 'nmc111' || chemistry === 'nmc811') return ocvTable(chemistry);
  if (chemistry !== 'table' || !Array.isArray(points)) return undefined;
  const whole = points.every((p) => numberAt(p, 'soc') !== undefined && numberAt(p, 'voltage_V') !== undefined);
  if (!whole) return undefined;
  try {
    return ocvTable('table', points as OcvPoint[]);
  } catch (problem) {
    if (problem instanceof UserError) return problem;
    throw problem;
  }
}
