/** Batches and units that come in: made here by the rule of serials, or made elsewhere before. */
import { hasValidCheck, likelySlips, normaliseSerial } from '../../core/quality/index.ts';
import { userError } from '../../core/units/index.ts';
import { type ContentOf, hasVariantFor, streamOf } from '../../records/bench/index.ts';
import type { Deed } from './act.ts';
import { serialOf } from './batches.ts';
import { batchIn, planIn, SERIAL_SCHEME } from './find.ts';
import { finder, happened, keyOf, onlyOnce, sound, type TableIn, told } from './tables-read.ts';

const DESCRIBED = ['name', 'plan', 'planNumber', 'count', 'region', 'prefix', 'due'] as const;

/**
 * A batch is opened by the number of its plan (the newest where none is told), with `made` of its units (all where none is told)
 * under serials of our rule; with `made` 0 the units come from the table of units. `closed` closes it.
 */
export const batches: TableIn = {
  fields: ['key', ...DESCRIBED, 'made', 'opened', 'closed'],
  needs: ['key', 'plan', 'count'],
  begin({ state, take }) {
    const once = onlyOnce('the key');
    const planNamed = finder(state.plans, 'plan', (key) => planIn(state, key));
    return {
      row(cells, row) {
        const key = keyOf(cells);
        once(key, row);
        const plan = keyOf(cells, 'plan');
        const numbers = planNamed(plan);
        const planNumber = cells.number('planNumber') ?? state.batches.get(key)?.planNumber ?? numbers.length;
        const standing = numbers[planNumber - 1];
        if (standing === undefined)
          throw userError(
            'no-such-plan',
            `plan ${plan} has ${numbers.length} numbers, none is ${planNumber}: import the plans first`,
          );
        const content = sound({
          kind: 'batch-opened',
          ...told<unknown>({
            ...{ name: cells.text('name') || key.toUpperCase(), plan, planNumber },
            ...{ count: cells.number('count'), region: cells.text('region') },
            prefix:
              cells.text('prefix') ||
              key
                .toUpperCase()
                .replace(/[^0-9A-Z]/g, '')
                .slice(0, 8),
            due: cells.text('due'),
          }),
        }) as ContentOf<'batch-opened'>;
        const { opened, closed } = { opened: cells.moment('opened'), closed: cells.moment('closed') };
        const made = cells.number('made') ?? content.count;
        if (!Number.isInteger(made) || made < 0 || made > content.count)
          throw userError('import-row', `made is ${made}: of ${content.count} units none to all can be made`);
        const preview = { key, ...content, made, ...told({ opened, closed }) };
        const before = state.batches.get(key);
        const deeds: Deed[] = [];
        if (before !== undefined) {
          const other = DESCRIBED.find((field) => before[field] !== content[field]);
          if (other !== undefined)
            throw userError(
              'import-exists',
              `batch ${key} is there already, its ${other} being ${before[other] ?? 'empty'}, not ${content[other] ?? 'empty'}`,
            );
        } else {
          if (!hasVariantFor(standing.plan, content.region))
            throw userError(
              'no-such-variant',
              `plan ${plan} has no variant for ${content.region}: add one to the plan first`,
            );
          deeds.push(happened({ stream: streamOf('batch', key), content }, opened));
          for (let position = 1; position <= made; position++) {
            const serial = serialOf(content.prefix, position, content.count);
            if (state.units.has(serial))
              throw userError(
                'serial-exists',
                `serial ${serial} is taken by a unit of batch ${state.units.get(serial)!.batch}: choose another prefix`,
              );
            const unit = { kind: 'unit-made' as const, batch: key, position };
            deeds.push({ stream: streamOf('unit', serial), content: { ...unit, ...told({ happenedAt: opened }) } });
          }
        }
        if (closed !== undefined && (before?.closedAt ?? null) === null)
          deeds.push(happened({ stream: streamOf('batch', key), content: { kind: 'batch-closed' } }, closed));
        take(deeds);
        return { preview, deeds };
      },
    };
  },
};

/**
 * Units that were made before or elsewhere, in a batch that is here. Only that they exist is read: what was done with them, and
 * where they are, comes with the table history, through the same gates as every unit's.
 */
export const units: TableIn = {
  fields: ['serial', 'batch', 'position', 'made'],
  needs: ['serial', 'batch'],
  begin({ state, take }) {
    const batchNamed = finder(state.batches, 'batch', (key) => batchIn(state, key));
    const serials = new Map([...state.units.keys()].map((serial) => [normaliseSerial(serial), serial]));
    const taken = new Map<string, Set<number>>();
    for (const { batch, position } of state.units.values()) positionsOf(taken, batch).add(position);
    const once = onlyOnce('the serial');
    return {
      row(cells, row) {
        const typed = cells.text('serial').toUpperCase();
        if (typed === '') throw userError('import-row', 'serial is empty');
        once(normaliseSerial(typed), row);
        const batch = batchNamed(cells.text('batch'));
        const positions = positionsOf(taken, batch.key);
        const made = cells.moment('made');
        const known = state.units.get(serials.get(normaliseSerial(typed)) ?? '');
        const position = cells.number('position') ?? known?.position ?? firstFree(positions);
        const preview = { serial: known?.serial ?? typed, batch: batch.key, position, ...told({ made }) };
        if (known !== undefined) {
          if (known.batch === batch.key && known.position === position) return { preview, deeds: [] };
          throw userError(
            'import-exists',
            `${known.serial} is there already, as number ${known.position} of batch ${known.batch}`,
          );
        }
        checkSerial(typed);
        if (!Number.isInteger(position) || position < 1 || position > batch.count)
          throw userError(
            'import-row',
            `position is ${position}: batch ${batch.key} has the positions 1 to ${batch.count}`,
          );
        if (positions.has(position))
          throw userError(
            'position-taken',
            `position ${position} of batch ${batch.key} is taken: a batch whose units come from a table is opened with none made (made 0 in the table of batches)`,
          );
        const content = sound({ kind: 'unit-made', batch: batch.key, position });
        const deeds = [happened({ stream: streamOf('unit', typed), content }, made)];
        take(deeds);
        positions.add(position);
        serials.set(normaliseSerial(typed), typed);
        return { preview, deeds };
      },
    };
  },
};

const SERIAL = /^[0-9A-Z](?:[0-9A-Z-]{1,30}[0-9A-Z])$/;

function checkSerial(serial: string): void {
  if (!SERIAL.test(serial))
    throw userError(
      'import-serial',
      `serial ${serial}: 3 to 32 capitals, digits and hyphens are wanted, no hyphen at the ends`,
    );
  const bare = normaliseSerial(serial);
  if (hasValidCheck(SERIAL_SCHEME, bare)) return;
  const [meant] = likelySlips(SERIAL_SCHEME, bare);
  const mend = meant === undefined ? '' : `, such as ${meant.text}`;
  throw userError(
    'mistyped-serial',
    `the last sign of ${serial} is no check character of the rest (ISO 7064, mod 37-36${mend}): a sign is wrong, or the serial was made by another rule and needs its check character added`,
  );
}

function positionsOf(taken: Map<string, Set<number>>, batch: string): Set<number> {
  const set = taken.get(batch) ?? new Set();
  taken.set(batch, set);
  return set;
}

function firstFree(taken: ReadonlySet<number>): number {
  let position = taken.size === 0 ? 1 : taken.size + 1;
  while (taken.has(position)) position++;
  return position;
}
