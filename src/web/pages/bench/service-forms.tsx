/** What is done with a unit that has left: back, swapped, put up; and parts that take the place of others. */
import type { UnitOutcome } from '../../../app/bench/unit-look.ts';
import { RETURN_CAUSES, type ReturnCause } from '../../../records/bench/index.ts';
import { parseNumber } from '../../display/numbers.ts';
import { decimal } from '../../state/settings.ts';
import { perches } from '../../state/workshop.ts';
import { DeedForm } from './parts.tsx';

export const CAUSES = [['', 'not known yet'], ...RETURN_CAUSES.map((c) => [c, c] as const)] as const;
export const causeOf = (v: Readonly<Record<string, string>>): { readonly cause?: ReturnCause } =>
  v['cause'] ? { cause: v['cause'] as ReturnCause } : {};

export function CameBack({ serial }: { readonly serial: string }) {
  return (
    <details>
      <summary>It has come back</summary>
      <DeedForm
        id="return"
        button="Note the return"
        fields={[
          { key: 'cause', label: 'what for', choices: CAUSES, optional: true },
          { key: 'reason', label: 'what the customer tells' },
        ]}
        deedOf={(v) => ({
          deed: { deed: 'return', unit: serial, reason: v['reason']!, ...causeOf(v) },
          said: `${serial} has come back`,
        })}
      />
    </details>
  );
}

export function Swap({ unit: { serial, order } }: { readonly unit: UnitOutcome }) {
  return (
    <details>
      <summary>Another goes out in its place</summary>
      <p class="quiet">
        The other one is shipped{order === null ? '' : ` for order ${order}`} at once, so it has to be ready; this one
        is the maker’s from then on.
      </p>
      <DeedForm
        id="swap"
        button="Ship the other one"
        fields={[
          { key: 'for', label: 'serial of the other' },
          { key: 'rested', label: 'its rested voltage, V', figures: true, optional: true },
          { key: 'carrier', label: 'carrier', optional: true },
        ]}
        deedOf={(v) => {
          const rested = (v['rested'] ?? '').trim() === '' ? null : parseNumber(v['rested']!, decimal);
          if (rested === undefined)
            return { code: 'not-a-number', message: 'the rested voltage is a number, or left empty' };
          return {
            deed: {
              deed: 'swap',
              unit: serial,
              for: v['for']!.trim(),
              ...(rested === null ? {} : { rested_V: rested }),
              ...(v['carrier']?.trim() ? { carrier: v['carrier'].trim() } : {}),
            },
            said: `swap ${serial} for ${v['for']}`,
          };
        }}
      />
    </details>
  );
}

/** At which perch of the workshop it stands: its forecast is made for it. */
export function PutUp({ unit: { serial, installed } }: { readonly unit: UnitOutcome }) {
  const known = perches.value;
  return (
    <details>
      <summary>{installed === null ? 'Where it was put up' : `It stands at ${installed}: elsewhere`}</summary>
      {known.length === 0 ? (
        <p class="quiet">The workshop holds no perch yet.</p>
      ) : (
        <DeedForm
          id="install"
          button="Note the perch"
          fields={[
            { key: 'perch', label: 'perch', choices: known.map((p) => [p.id.slice('perch:'.length), p.name] as const) },
          ]}
          deedOf={(v) => ({
            deed: { deed: 'install', unit: serial, perch: v['perch']! },
            said: `${serial} stands at ${v['perch']}`,
          })}
        />
      )}
    </details>
  );
}

/** A part into it, of a lot: what a repair or a rework changes. */
export function PutIn({ unit }: { readonly unit: UnitOutcome }) {
  const parts = [...new Set([...unit.steps.flatMap((s) => s.parts), ...unit.fitted.map((f) => f.part)])].sort();
  if (parts.length === 0) return null;
  return (
    <details>
      <summary>Put parts in</summary>
      <DeedForm
        id="put-in"
        button="Put them in"
        fields={[
          { key: 'part', label: 'part', choices: parts.map((p) => [p, p] as const) },
          { key: 'count', label: 'pieces', figures: true, start: '1' },
          { key: 'lot', label: 'lot', optional: true, hint: 'left empty: the oldest that has enough' },
        ]}
        deedOf={(v) => {
          const count = Number(v['count']);
          if (!Number.isInteger(count) || count < 1)
            return { code: 'not-a-count', message: `pieces is ${v['count']}: a whole number from 1 is wanted` };
          return {
            deed: {
              deed: 'fit',
              unit: unit.serial,
              part: v['part']!,
              count,
              ...(v['lot']?.trim() ? { lot: v['lot'].trim() } : {}),
            },
            said: `put ${v['part']} into ${unit.serial}`,
          };
        }}
      />
    </details>
  );
}
