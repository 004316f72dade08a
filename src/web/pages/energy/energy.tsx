/** Energy: will it stay up all winter there? */
import { useEffect } from 'preact/hooks';
import { startJob } from '../../api/client.ts';
import { Assumptions, Cautions } from '../../parts/assumptions.tsx';
import { energyOf, go, newOf } from '../../routes.ts';
import * as design from '../../state/design.ts';
import { useHand } from '../use-hand.ts';
import { NotThere, Waiting } from '../waiting.tsx';
import { Compare } from './compare.tsx';
import { FrontierSection } from './frontier.tsx';
import { Hand } from './hand.tsx';
import { Method } from './method.tsx';
import { Pictures, StripPicture } from './pictures.tsx';
import { ReportLine } from './report-line.tsx';
import { Tables } from './tables.tsx';
import { Verdict } from './verdict.tsx';
import { WhatIf } from './what-if.tsx';
import { WhereSection } from './where.tsx';

export function EnergyPage(asked: { readonly kit?: string; readonly perch?: string }) {
  const { kit, perch, problems, read, ready } = useHand(asked, energyOf);
  useEffect(() => design.followDesign(), []);
  useTellServer();
  if (problems.length > 0) return <NotThere problems={problems} />;
  if (!read) return <Waiting what="the workshop" />;
  if (kit === undefined || perch === undefined)
    return (
      <div class="page">
        <main>
          <h1>The energy of a winter needs a kit and a perch.</h1>
          <div class="actions">
            <button type="button" class="main" onClick={() => go(newOf(kit === undefined ? 'kit' : 'perch'))}>
              {kit === undefined ? 'Make a kit' : 'Make a perch'}
            </button>
          </div>
        </main>
      </div>
    );
  if (!ready) return <Waiting what="kit and perch" />;
  return <Energy />;
}

function Energy() {
  const outcome = design.exact.value?.outcome;
  return (
    <div class="page energy">
      <Hand />
      <div class="bench">
        <header>
          <Verdict />
          <StripPicture />
        </header>
        <aside>
          <WhatIf />
          <div class="beside">
            <Assumptions list={outcome?.assumptions ?? []} waiting={outcome === undefined} />
            <Cautions list={outcome?.cautions ?? []} />
          </div>
        </aside>
        <main>
          <Pictures />
          <FrontierSection />
          <Tables />
          <Compare />
          <WhereSection />
          <Method />
          <ReportLine />
        </main>
      </div>
    </div>
  );
}

/** Saved designs are computed by the server too, once, so that lists and other windows know the answer. */
function useTellServer(): void {
  const done = design.isExact.value && design.changes.value.length === 0;
  const kit = design.kitRecord.value;
  const perch = design.perchRecord.value;
  useEffect(() => {
    if (!done || kit === null || perch === null) return;
    const timer = setTimeout(() => {
      startJob({ command: 'year', kit: kit.id, perch: perch.id }).catch(() => undefined);
    }, 2000);
    return () => clearTimeout(timer);
  }, [done, kit?.id, kit?.revision, perch?.id, perch?.revision]);
}
