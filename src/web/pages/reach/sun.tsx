/** What the skyline leaves of the winter's sun, and the year of the kit there: it follows the perch as it moves. */
import { Problems } from '../../parts/problems.tsx';
import { StateWord } from '../../parts/state-sign.tsx';
import { Strip } from '../../parts/strip.tsx';
import { energyOf } from '../../routes.ts';
import * as design from '../../state/design.ts';
import { sunNow, sunProblems, sunSaved } from '../../state/ground.ts';
import { isMoved } from '../../state/reach.ts';
import { reader } from './reader.ts';
import { sunSentence } from './words.ts';

export function SunBeside() {
  const sun = sunNow.value;
  const shown = design.shown.value;
  // That nobody answers stands at the top of the page.
  const problems = sunProblems.value.filter((p) => p.code !== 'unreachable');
  const kit = design.kitRecord.value;
  const perch = design.perchRecord.value;
  return (
    <section class="sun-beside" aria-labelledby="sun-h">
      <h2 id="sun-h">Sun there</h2>
      <p class="said" aria-live="polite">
        {sun === null
          ? sunProblems.value.length > 0
            ? 'The skyline could not be looked at.'
            : 'The skyline is looked at when the perch rests.'
          : sunSentence(reader(), sun, isMoved.value ? sunSaved.value : null)}
      </p>
      <Problems list={problems} />
      {shown === null ? (
        <span class="strip-empty" role="img" aria-label="the year is being computed" />
      ) : (
        <Strip id="reach-strip" strip={shown.strip} name={`${shown.kit} at ${shown.perch}`} width={312} height={28} />
      )}
      <p class="quiet">
        {shown === null ? null : <StateWord state={shown.state} />}{' '}
        <a href={energyOf(kit?.id, perch?.id)}>its winter in full</a>
      </p>
    </section>
  );
}
