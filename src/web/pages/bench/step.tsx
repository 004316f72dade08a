/** The step in hand, large: what to do, with what, what to beware of, what goes in, what is measured; then one button. */
import { useEffect, useRef, useState } from 'preact/hooks';
import type { UnitOutcome } from '../../../app/bench/unit-look.ts';
import { Problems } from '../../parts/problems.tsx';
import { format } from '../../state/settings.ts';
import { GateField } from './gate-field.tsx';
import type { Overlaid } from './overlay.ts';
import { useAct } from './parts.tsx';
import { StepPicture } from './step-picture.tsx';

type Step = UnitOutcome['steps'][number];

export function StepInHand({ overlaid: { page, waits } }: { readonly overlaid: Overlaid }) {
  const { unit, asked } = page;
  const index = unit.steps.findIndex((s) => s.key === unit.nextStep);
  const step = unit.steps[index];
  const before = unit.steps[index - 1];
  const heading = useRef<HTMLHeadingElement>(null);
  const shown = useRef(step?.key);
  useEffect(() => {
    if (shown.current === step?.key) return;
    shown.current = step?.key;
    // After the last one, what follows stands at the top: to ship it.
    if (step === undefined) return window.scrollTo({ top: 0 });
    // The button that was pressed is gone: the next step is where one reads on.
    heading.current?.focus({ preventScroll: true });
    const section = heading.current?.closest('section');
    if (section && section.getBoundingClientRect().top < 0) section.scrollIntoView({ block: 'start' });
  }, [step?.key]);
  if (step === undefined) return null;
  const gates = unit.gates.filter((g) => step.gates.includes(g.gate));
  return (
    <section class="step-in-hand" aria-labelledby="step-h">
      <p class="quiet">
        step {index + 1} of {unit.steps.length}
        {step.time_min > 0 ? `, about ${format.value.figure(step.time_min, 2)} min` : ''}
      </p>
      <h2 id="step-h" ref={heading} tabIndex={-1}>
        {step.name}
      </h2>
      {step.tool === null ? null : (
        <p>
          <span class="quiet">with</span> {step.tool}
        </p>
      )}
      {step.drawing === null ? null : <Drawing name={step.drawing} step={step.name} />}
      <StepPicture plan={unit.plan} step={step} />
      {step.parts.length === 0 ? null : <Parts unit={unit} step={step} />}
      {step.caution === null ? null : <p class="caution">{step.caution}</p>}
      {gates.map((g) => (
        <GateField
          key={g.gate}
          serial={unit.serial}
          gate={g}
          asked={asked.find((a) => a.gate === g.gate)!}
          waits={waits.has(`gate ${g.gate}`)}
          closed={g.state === 'passed' || g.state === 'overridden'}
        />
      ))}
      <Tick key={step.key} serial={unit.serial} step={step} />
      {before?.done ? (
        <p class="quiet">
          before: {before.name}, ticked by {before.done.by}
          {waits.has(`step ${before.key}`) ? ', waiting to be sent' : ''}
        </p>
      ) : null}
    </section>
  );
}

function Drawing({ name, step }: { readonly name: string; readonly step: string }) {
  if (!/^https?:\/\//i.test(name))
    return (
      <p>
        <span class="quiet">drawing</span> {name}
      </p>
    );
  return (
    <p>
      <a href={name} target="_blank" rel="noreferrer">
        drawing of {step}
      </a>
    </p>
  );
}

function Parts({ unit, step }: { readonly unit: UnitOutcome; readonly step: Step }) {
  const { busy, problems, act } = useAct();
  const held = step.parts.map((part) => ({
    part,
    lots: unit.fitted.filter((f) => f.part === part).map((f) => `${f.count} of ${f.lot}`),
  }));
  const missing = held.some((h) => h.lots.length === 0);
  return (
    <div class="step-parts">
      <ul class="plain-list">
        {held.map(({ part, lots }) => (
          <li key={part}>
            <b>{part}</b>{' '}
            <span class="quiet">{lots.length === 0 ? 'comes from the oldest lot with the tick' : lots.join(', ')}</span>
          </li>
        ))}
      </ul>
      {missing ? (
        <button
          type="button"
          disabled={busy}
          onClick={() =>
            void act({ deed: 'fit', unit: unit.serial }, `fit the parts of ${step.name} into ${unit.serial}`)
          }
        >
          Take them now
        </button>
      ) : null}
      <Problems list={problems} />
    </div>
  );
}

/** The one button of the step; a clock may run for the labour. */
function Tick({ serial, step }: { readonly serial: string; readonly step: Step }) {
  const { busy, problems, act } = useAct();
  const [begun_ms, setBegun] = useState<number | null>(null);
  const [now_ms, setNow] = useState(0);
  useEffect(() => {
    if (begun_ms === null) return;
    const timer = setInterval(() => setNow(Date.now()), 1000);
    return () => clearInterval(timer);
  }, [begun_ms]);
  const spent_s = begun_ms === null ? 0 : Math.max(0, Math.round((Math.max(now_ms, begun_ms) - begun_ms) / 1000));
  // Pressed twice in a hurry it is done once: this button goes with its step.
  const [ticked, setTicked] = useState(false);
  const tick = async (partsLeft = false) =>
    setTicked(
      await act(
        {
          deed: 'tick',
          unit: serial,
          step: step.key,
          ...(begun_ms === null ? {} : { time_s: (Date.now() - begun_ms) / 1000 }),
          ...(partsLeft ? { partsLeft } : {}),
        },
        `tick ${step.name}, ${serial}`,
      ),
    );
  return (
    <>
      <div class="actions tick">
        <button type="button" class="main" disabled={busy || ticked} onClick={() => void tick()}>
          {step.name}: done
        </button>
        <button type="button" class="plain" onClick={() => setBegun(begun_ms === null ? Date.now() : null)}>
          {begun_ms === null
            ? 'start the clock'
            : `${Math.floor(spent_s / 60)}:${String(spent_s % 60).padStart(2, '0')}, stop the clock`}
        </button>
      </div>
      <Problems list={problems} />
      {problems.some((p) => p.code === 'no-lot') ? (
        <p>
          <button type="button" disabled={busy} onClick={() => void tick(true)}>
            Tick it without taking parts
          </button>
        </p>
      ) : null}
    </>
  );
}
