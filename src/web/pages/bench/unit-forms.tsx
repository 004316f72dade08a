/** What else may be done with a unit, by where it stands. */
import type { UnitOutcome } from '../../../app/bench/unit-look.ts';
import { parseNumber } from '../../display/numbers.ts';
import { Problems } from '../../parts/problems.tsx';
import { carrierOf, rememberCarrier } from '../../state/bench.ts';
import { decimal } from '../../state/settings.ts';
import { Leaving } from './leaving.tsx';
import { DeedForm, type FieldOf, useAct } from './parts.tsx';
import { CAUSES, CameBack, causeOf, PutIn, PutUp, Swap } from './service-forms.tsx';
import { LetPast } from './stopped.tsx';

const REASON: FieldOf = { key: 'reason', label: 'reason' };

export function UnitForms({ unit }: { readonly unit: UnitOutcome }) {
  const { serial, standing } = unit;
  const atBench =
    standing === 'at the bench' || standing === 'stopped' || standing === 'ready' || standing === 'kept back';
  const open = unit.gates.filter((g) => g.state === 'open' || g.state === 'undecided');
  return (
    <section class="unit-forms" aria-label="What else may be done">
      {atBench && standing !== 'ready' && unit.whyNotToShip.length > 0 ? (
        <details>
          <summary>Why it may not be shipped</summary>
          <ul class="plain-list">
            {unit.whyNotToShip.map((why) => (
              <li key={why}>{why}</li>
            ))}
          </ul>
        </details>
      ) : null}
      {atBench && standing !== 'stopped' ? (
        <details>
          <summary>Rework it</summary>
          <p class="quiet">A gate that has passed is measured again; what was measured before stays in the record.</p>
          <DeedForm
            id="rework"
            button="Begin the rework"
            fields={[{ key: 'gate', label: 'gate', choices: unit.gates.map((g) => [g.gate, g.name] as const) }, REASON]}
            deedOf={(v) => ({
              deed: { deed: 'rework', unit: serial, reason: v['reason']!, gates: [v['gate']!] },
              said: `begin a rework of ${serial}`,
            })}
          />
        </details>
      ) : null}
      {atBench && open.length > 0 ? (
        <details>
          <summary>Let it past a gate</summary>
          <LetPast key={open.map((g) => g.gate).join()} serial={serial} gates={open} id="override" heading={false} />
        </details>
      ) : null}
      {atBench && unit.fitted.length > 0 ? <TakeOut unit={unit} /> : null}
      {atBench ? <PutIn unit={unit} /> : null}
      {standing === 'shipped' ? <CameBack serial={serial} /> : null}
      {(standing === 'returned' || standing === 'shipped') && unit.swappedFor === null ? <Swap unit={unit} /> : null}
      {standing === 'shipped' ? <PutUp unit={unit} /> : null}
      {atBench || standing === 'returned' ? (
        <details>
          <summary>Scrap it</summary>
          <DeedForm
            id="scrap"
            button="Scrap the unit for good"
            fields={[REASON]}
            deedOf={(v) => ({ deed: { deed: 'scrap', unit: serial, reason: v['reason']! }, said: `scrap ${serial}` })}
          />
        </details>
      ) : null}
    </section>
  );
}

function TakeOut({ unit }: { readonly unit: UnitOutcome }) {
  const parts = unit.fitted.map((f) => [`${f.part}\n${f.lot}`, `${f.count} × ${f.part} of lot ${f.lot}`] as const);
  return (
    <details>
      <summary>Take parts out</summary>
      <DeedForm
        id="take-out"
        button="Take them out"
        fields={[
          { key: 'what', label: 'parts', choices: parts },
          {
            key: 'to',
            label: 'to',
            choices: [
              ['stores', 'the stores'],
              ['scrap', 'scrap'],
            ],
          },
        ]}
        deedOf={(v) => {
          const [part, lot] = v['what']!.split('\n') as [string, string];
          return {
            deed: { deed: 'take-out', unit: unit.serial, part, lot, to: v['to'] as 'stores' | 'scrap' },
            said: `take ${part} out of ${unit.serial}`,
          };
        }}
      />
    </details>
  );
}

/** What of the form the check takes: figures that are figures, with a decimal point, and an order that could be one. */
function askedOf(v: Readonly<Record<string, string>>, kept: string | null): Record<string, string> {
  const figure = (key: string, name: string): Record<string, string> => {
    const value = (v[key] ?? '').trim() === '' ? undefined : parseNumber(v[key]!, decimal);
    return typeof value === 'number' ? { [name]: String(value) } : {};
  };
  const order = (v['order'] ?? '').trim();
  return {
    ...(kept === null && /^[a-z0-9](?:[a-z0-9.-]*[a-z0-9])?$/.test(order) ? { order } : {}),
    ...figure('rested', 'rested_V'),
    ...figure('temperature', 'temperature_degC'),
  };
}

/** What a unit is ready for: the parcel. */
export function Ship({ unit }: { readonly unit: UnitOutcome }) {
  const { busy, problems, act } = useAct();
  const kept = unit.order !== null;
  return (
    <section class="ship" aria-labelledby="ship-h">
      <h2 id="ship-h">Ship it</h2>
      <p class="caution">
        Lithium cells travel with a low charge: note the voltage after an hour of rest and the temperature, and check
        the carrier’s current rules.
      </p>
      <DeedForm
        id="ship"
        button={kept ? `Ship it for order ${unit.order}` : 'Ship it'}
        fields={[
          ...(kept ? [] : [{ key: 'order', label: 'order', optional: true, hint: 'left empty: for none' }]),
          { key: 'rested', label: 'rested voltage, V', figures: true, optional: true },
          { key: 'temperature', label: 'temperature, °C', figures: true, negative: true, optional: true },
          {
            key: 'told',
            label: 'charge',
            choices: [
              ['', 'at most 30 %'],
              ['told', 'more: the carrier’s current rules allow it'],
            ],
            optional: true,
          },
          { key: 'carrier', label: 'carrier', optional: true, start: carrierOf() },
        ]}
        deedOf={(v) => {
          const figure = (key: string) => ((v[key] ?? '').trim() === '' ? null : parseNumber(v[key]!, decimal));
          const rested = figure('rested');
          const temperature = figure('temperature');
          if (rested === undefined || temperature === undefined)
            return { code: 'not-a-number', message: 'voltage and temperature are numbers, or left empty' };
          rememberCarrier(v['carrier']?.trim() ?? '');
          return {
            deed: {
              deed: 'ship',
              unit: unit.serial,
              ...(v['order']?.trim() ? { order: v['order'].trim() } : {}),
              ...(rested === null ? {} : { rested_V: rested }),
              ...(temperature === null ? {} : { temperature_degC: temperature }),
              ...(v['told'] === 'told' ? { chargeTold: true } : {}),
              ...(v['carrier']?.trim() ? { carrier: v['carrier'].trim() } : {}),
            },
            said: `ship ${unit.serial}`,
          };
        }}
      >
        {(v) => <Leaving serial={unit.serial} asked={askedOf(v, unit.order)} />}
      </DeedForm>
      {kept ? (
        <p>
          <button
            type="button"
            class="plain"
            disabled={busy}
            onClick={() => void act({ deed: 'free', unit: unit.serial }, `free ${unit.serial} from its order`)}
          >
            free it from the order
          </button>
        </p>
      ) : null}
      <Problems list={problems} />
    </section>
  );
}

/** What a unit that has come back waits for. */
export function Repair({ unit }: { readonly unit: UnitOutcome }) {
  const { serial } = unit;
  const told = unit.returned.at(-1);
  return (
    <section class="ship" aria-labelledby="repair-h">
      <h2 id="repair-h">Repair it</h2>
      {told === undefined ? null : (
        <p>
          It came back{told.cause === null ? '' : ` (${told.cause})`}: {told.reason}
        </p>
      )}
      <p class="quiet">
        It stands at the bench again, and all required gates are measured again; parts are taken out and put in below.
      </p>
      <DeedForm
        id="repair"
        button="Note the repair"
        fields={[
          { key: 'cause', label: 'what it was', choices: CAUSES, optional: true, start: told?.cause ?? '' },
          { key: 'what', label: 'what was done' },
          { key: 'time', label: 'time, min', figures: true, optional: true },
        ]}
        deedOf={(v) => {
          const minutes = (v['time'] ?? '').trim() === '' ? null : parseNumber(v['time']!, decimal);
          if (minutes === undefined || (minutes !== null && minutes < 0))
            return { code: 'not-a-number', message: 'the time is a number of minutes, or left empty' };
          return {
            deed: {
              deed: 'repair',
              unit: serial,
              what: v['what']!,
              ...(minutes === null ? {} : { time_s: 60 * minutes }),
              ...causeOf(v),
            },
            said: `repair of ${serial}`,
          };
        }}
      />
    </section>
  );
}
