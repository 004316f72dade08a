/** One unit, made for a phone beside the soldering iron: the step in hand first, everything else below. */

import { useState } from 'preact/hooks';
import type { HistoryRow } from '../../../app/bench/history.ts';
import type { UnitOutcome } from '../../../app/bench/unit-look.ts';
import { getUnit } from '../../api/bench.ts';
import { Problems } from '../../parts/problems.tsx';
import { DataTable } from '../../parts/table.tsx';
import { batchOf, lotOf } from '../../routes.ts';
import { waiting, waitingOn } from '../../state/bench.ts';
import { figures, format } from '../../state/settings.ts';
import { Waiting } from '../waiting.tsx';
import { Find } from './find.tsx';
import { Fold, useNarrow } from './fold.tsx';
import { GateField, GateWord, valueShown } from './gate-field.tsx';
import { UnitLogs } from './logs.tsx';
import { NotShown } from './not-shown.tsx';
import { type Overlaid, withWaiting } from './overlay.ts';
import { UnitPapers } from './papers.tsx';
import { counted, Standing, useAct } from './parts.tsx';
import { UnitPassport } from './passport.tsx';
import { Camera } from './scanning.tsx';
import { OnTheWay, Signer } from './signed.tsx';
import { StepInHand } from './step.tsx';
import { Stopped } from './stopped.tsx';
import { UnitForecast } from './unit-forecast.tsx';
import { Repair, Ship, UnitForms } from './unit-forms.tsx';
import { useRead } from './use-read.ts';

export function UnitPageView({ serial: typed }: { readonly serial: string }) {
  const { value, problems, again } = useRead(`unit ${typed}`, () => getUnit(typed));
  // Read here, so that the page follows what waits.
  void waiting.value;
  if (value === null)
    return problems.length === 0 ? (
      <Waiting what={`unit ${typed}`} />
    ) : (
      <NotShown said={`No unit can be shown for ${typed}.`} problems={problems}>
        <p>
          <button type="button" onClick={again}>
            Look again
          </button>
        </p>
        <Find />
      </NotShown>
    );
  const { serial } = value.unit;
  const overlaid = withWaiting(value, waitingOn(serial));
  return <Shown overlaid={overlaid} stale={problems.length > 0} />;
}

function Shown({ overlaid, stale }: { readonly overlaid: Overlaid; readonly stale: boolean }) {
  const { page, waits } = overlaid;
  const { unit, asked, history } = page;
  const askedOf = (gate: string) => asked.find((a) => a.gate === gate)!;
  const inSteps = new Set(unit.steps.flatMap((s) => s.gates));
  const atWork = unit.standing === 'at the bench' || unit.standing === 'kept back' || unit.standing === 'ready';
  // Gates of steps that are done, and those that belong to none, as long as they are open.
  const left = unit.gates.filter(
    (g) =>
      (g.state === 'open' || g.state === 'undecided') &&
      (!inSteps.has(g.gate) || unit.steps.some((s) => s.done !== null && s.gates.includes(g.gate))),
  );
  return (
    <div class="page at-bench unit-page">
      <div class="thing">
        <b>{unit.serial}</b>
        <Standing standing={unit.standing} />
        <a href={batchOf(unit.batch)}>batch {unit.batch}</a>
        {unit.customer === null ? null : <span>for {unit.customer}</span>}
        <Signer />
        <Camera />
      </div>
      <OnTheWay />
      <main>
        <h1>
          {waits.size === 0
            ? unit.verdict
            : `${unit.serial}: ${counted(waits.size, 'newest state waits', 'newest states wait')} to be sent.`}
        </h1>
        {stale ? <p class="quiet">The workshop does not answer: this is the unit as it was read last.</p> : null}
        {unit.standing === 'stopped' ? <Stopped overlaid={overlaid} /> : null}
        {atWork ? <StepInHand overlaid={overlaid} /> : null}
        {atWork && left.length > 0 ? (
          <section aria-labelledby="left-h">
            <h2 id="left-h">Gates that are open</h2>
            {left.map((g) => (
              <GateField
                key={g.gate}
                serial={unit.serial}
                gate={g}
                asked={askedOf(g.gate)}
                waits={waits.has(`gate ${g.gate}`)}
              />
            ))}
          </section>
        ) : null}
        {unit.standing === 'ready' ? <Ship key={unit.order} unit={unit} /> : null}
        {unit.standing === 'returned' ? <Repair unit={unit} /> : null}
        <UnitForms unit={unit} />
        <UnitForecast key={`forecast ${unit.serial}`} serial={unit.serial} />
        <Steps overlaid={overlaid} />
        <Gates unit={unit} waits={waits} />
        <Fitted unit={unit} />
        <Measured unit={unit} />
        <UnitLogs key={`logs ${unit.serial}`} serial={unit.serial} />
        <Fold title="Certificate, labels, passport">
          <UnitPapers key={unit.serial} serial={unit.serial} />
          <UnitPassport key={`passport ${unit.serial}`} serial={unit.serial} shows={unit.shows} />
        </Fold>
        <History key={`history ${unit.serial}`} rows={history} />
        <section aria-labelledby="next-unit-h">
          <h2 id="next-unit-h">Another unit</h2>
          <Find camera={false} />
        </section>
      </main>
    </div>
  );
}

function Steps({ overlaid: { page, waits } }: { readonly overlaid: Overlaid }) {
  const { unit } = page;
  const { busy, problems, act } = useAct();
  if (unit.steps.length === 0) return null;
  const last = unit.steps.findLast((s) => s.done !== null);
  const open = unit.standing === 'at the bench' || unit.standing === 'stopped' || unit.standing === 'ready';
  return (
    <Fold title="Steps" said={`${unit.steps.filter((s) => s.done !== null).length} of ${unit.steps.length} done`}>
      <ol class="steps">
        {unit.steps.map((s) => (
          <li key={s.key} class={s.key === unit.nextStep ? 'here' : undefined}>
            <span>{s.name}</span>{' '}
            <span class="quiet">
              {s.done === null
                ? s.key === unit.nextStep
                  ? 'next'
                  : ''
                : `${s.done.by}, ${format.value.moment(s.done.at)}`}
              {waits.has(`step ${s.key}`) ? ', waiting to be sent' : ''}
            </span>{' '}
            {open && s.done !== null && s.key === last?.key ? (
              <button
                type="button"
                class="plain"
                disabled={busy}
                onClick={() =>
                  void act(
                    { deed: 'untick', unit: unit.serial, step: s.key },
                    `take the tick of ${s.name} back, ${unit.serial}`,
                  )
                }
              >
                take back
              </button>
            ) : null}
          </li>
        ))}
      </ol>
      <Problems list={problems} />
    </Fold>
  );
}

/** `9 passed, 1 failed`: states that there are, in the order in which they want a hand. */
const countedStates = (gates: UnitOutcome['gates']): string =>
  (['failed', 'undecided', 'open', 'overridden', 'passed'] as const)
    .map((state) => [gates.filter((g) => g.state === state).length, state] as const)
    .filter(([n]) => n > 0)
    .map(([n, state]) => `${n} ${state}`)
    .join(', ');

function Gates({ unit, waits }: { readonly unit: UnitOutcome; readonly waits: ReadonlySet<string> }) {
  const narrow = useNarrow();
  if (unit.gates.length === 0) return null;
  const limit = { key: 'limit', head: 'limit' };
  return (
    <Fold title="Gates" said={countedStates(unit.gates)}>
      <DataTable
        caption="What counts at each gate"
        columns={[
          { key: 'gate', head: narrow ? 'gate and limit' : 'gate' },
          { key: 'state', head: 'state' },
          { key: 'value', head: 'value', figures: true },
          ...(narrow ? [] : [limit, { key: 'tries', head: 'tries', figures: true }]),
        ]}
        rows={unit.gates.map((g) => ({
          key: g.gate,
          cells: [
            narrow ? (
              <>
                {g.name} <span class="quiet below">{g.limit}</span>
              </>
            ) : (
              g.name
            ),
            <span key="s">
              <GateWord state={g.state} waits={waits.has(`gate ${g.gate}`)} />
              {g.override === null ? '' : ` by ${g.override.name}: ${g.override.reason}`}
            </span>,
            valueShown(g.value, g.unit),
            ...(narrow ? [] : [g.limit, g.tries.length === 0 ? '' : g.tries.length]),
          ],
        }))}
      />
    </Fold>
  );
}

function Fitted({ unit }: { readonly unit: UnitOutcome }) {
  if (unit.fitted.length === 0) return null;
  return (
    <Fold title="Parts in it" said={counted(unit.fitted.length, 'lot')}>
      <ul class="plain-list">
        {unit.fitted.map((f, i) => (
          <li key={`${f.part} ${f.lot} ${i}`}>
            {f.count} × {f.part} of lot <a href={lotOf(f.lot)}>{f.lot}</a>
            {f.quarantined ? ', which is quarantined' : ''}
          </li>
        ))}
      </ul>
    </Fold>
  );
}

function Measured({ unit }: { readonly unit: UnitOutcome }) {
  const rows = Object.entries(unit.measured);
  if (rows.length === 0) return null;
  return (
    <Fold title="Its own values" said={`${rows.length} in place of the data sheet’s`}>
      <DataTable
        caption="They take the place of the data sheet’s in its forecast"
        columns={[
          { key: 'field', head: 'value' },
          { key: 'figure', head: 'measured', figures: true },
          { key: 'how', head: 'how' },
          { key: 'at', head: 'when' },
        ]}
        rows={rows.map(([field, m]) => ({
          key: field,
          cells: [field, figures.value.figures(m.value), m.how, format.value.moment(m.at)],
        }))}
      />
    </Fold>
  );
}

/** Rows of the history shown before one asks for the rest. */
const FIRST = 6;

function History({ rows }: { readonly rows: readonly HistoryRow[] }) {
  const [all, setAll] = useState(false);
  const newest = rows.toReversed();
  return (
    <section aria-labelledby="history-h">
      <h2 id="history-h">Everything that happened</h2>
      <ol class="history">
        {(all ? newest : newest.slice(0, FIRST)).map((row) => (
          <li key={row.number} value={row.number}>
            <span class="quiet">
              {whenShown(row)}, {row.by}
            </span>
            <br />
            {row.what}
            {row.corrects === null ? '' : `; takes the place of ${row.corrects}`}
            {row.file === null ? null : (
              <span class="quiet" title={`SHA-256 ${row.file.sha256}`}>
                {' '}
                (file {row.file.name}, {row.file.sha256.slice(0, 12)}…)
              </span>
            )}
          </li>
        ))}
      </ol>
      {all || newest.length <= FIRST ? null : (
        <p>
          <button type="button" class="plain" onClick={() => setAll(true)}>
            and {newest.length - FIRST} more
          </button>
        </p>
      )}
    </section>
  );
}

/** Difference from which on both times are told, ms. */
const LATE_ms = 60_000;

/** When it was written; where the hand did it earlier by its own clock, both. */
function whenShown({ at, notedAt }: HistoryRow): string {
  const { moment } = format.value;
  if (notedAt === null || Math.abs(Date.parse(at) - Date.parse(notedAt)) <= LATE_ms) return moment(at);
  return `done ${moment(notedAt)}, arrived ${moment(at)}`;
}
