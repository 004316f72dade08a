/** Reach: whom will it reach from there? */
import { useEffect } from 'preact/hooks';
import { Assumptions, Cautions } from '../../parts/assumptions.tsx';
import { Problems } from '../../parts/problems.tsx';
import { go, newOf, reachOf } from '../../routes.ts';
import { followFiles } from '../../state/around.ts';
import { coverage, followCoverage } from '../../state/coverage.ts';
import * as design from '../../state/design.ts';
import { followGround, loadTerrain, terrain, terrainProblems } from '../../state/ground.ts';
import { picked, sectionEnd, spotNow } from '../../state/reach.ts';
import { Hand } from '../energy/hand.tsx';
import { useHand } from '../use-hand.ts';
import { NotThere, Waiting } from '../waiting.tsx';
import { CandidateSection } from './candidates.tsx';
import { ReachControls } from './controls.tsx';
import { ReachMap } from './map.tsx';
import { ReachMethod } from './method.tsx';
import { followOtherPerches } from './other-perches.ts';
import { PanoramaPlace } from './panorama-place.tsx';
import { PlacesSection } from './places.tsx';
import { ReachReportLine } from './report-line.tsx';
import { Rules } from './rules.tsx';
import { SectionPicture } from './section.tsx';
import { SharesSection } from './shares.tsx';
import { SunBeside } from './sun.tsx';
import { SweepSection } from './sweep.tsx';
import { ReachVerdict } from './verdict.tsx';
import '../../style/reach.css';

export function ReachPage(asked: { readonly kit?: string; readonly perch?: string }) {
  const hand = useHand(asked, reachOf);
  useEffect(() => void loadTerrain(), []);
  useEffect(() => {
    picked.value = null;
    sectionEnd.value = null;
  }, [hand.perch]);
  if (hand.problems.length > 0) return <NotThere problems={hand.problems} />;
  if (!hand.read) return <Waiting what="the workshop" />;
  const { kit, perch } = hand;
  if (kit === undefined || perch === undefined)
    return (
      <div class="page">
        <main>
          <h1>Reach needs a kit and a perch.</h1>
          <div class="actions">
            <button type="button" class="main" onClick={() => go(newOf(kit === undefined ? 'kit' : 'perch'))}>
              {kit === undefined ? 'Make a kit' : 'Make a perch'}
            </button>
          </div>
        </main>
      </div>
    );
  if (!hand.ready) return <Waiting what="kit and perch" />;
  if (terrain.value === null && terrainProblems.value.length === 0) return <Waiting what="the terrain" />;
  return (
    <div class="page reach">
      <Hand addressOf={reachOf} />
      {terrain.value?.available === true ? <Reach /> : <NoTerrain />}
    </div>
  );
}

function Reach() {
  useEffect(() => followFiles(), []);
  useEffect(() => followCoverage(), []);
  useEffect(() => followGround(), []);
  useEffect(() => followOtherPerches(), []);
  // The year of a perch that moves follows beside the map.
  useEffect(() => design.followDesign(), []);
  const outcome = coverage.value?.answer.outcome;
  return (
    <div class="bench">
      <header>
        <ReachVerdict />
      </header>
      <aside>
        <SunBeside />
        <ReachControls />
        <Rules />
        <div class="beside">
          <Assumptions list={outcome?.assumptions ?? []} waiting={outcome === undefined} />
          <Cautions list={outcome?.cautions ?? []} />
        </div>
      </aside>
      <main>
        <ReachMap />
        {spotNow.value === null ? null : (
          <>
            <SectionPicture />
            <PlacesSection />
            <SharesSection />
            <PanoramaPlace />
          </>
        )}
        <CandidateSection />
        <SweepSection />
        <ReachReportLine />
        <ReachMethod />
      </main>
    </div>
  );
}

/** Without a terrain nothing can be said about the ground: what to do about it, and what works all the same. */
function NoTerrain() {
  if (terrainProblems.value.length > 0)
    return (
      <main>
        <h1>Whether there is a terrain could not be asked.</h1>
        <Problems list={terrainProblems.value} />
        <div class="actions">
          <button type="button" onClick={() => void loadTerrain()}>
            Ask again
          </button>
        </div>
        <SweepSection />
      </main>
    );
  return (
    <main>
      <h1>Whom it reaches is told from the ground, and there is no terrain yet.</h1>
      <p class="lead">
        Put elevation tiles of your region into a folder (HGT or GeoTIFF, as survey offices give them away) and start
        the workshop with it:
      </p>
      <p>
        <code>sunperch serve --terrain FOLDER</code>
      </p>
      <div class="actions">
        <button type="button" onClick={() => void loadTerrain()}>
          Look again
        </button>
      </div>
      <SweepSection />
    </main>
  );
}
