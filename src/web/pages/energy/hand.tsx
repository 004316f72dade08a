/** The thing in hand in one line: kit, perch, position, state; both can be exchanged here. */
import { formatPosition } from '../../../report/index.ts';
import { unitOf } from '../../display/units.ts';
import { Picker } from '../../parts/picker.tsx';
import { StateWord } from '../../parts/state-sign.tsx';
import { energyOf, go } from '../../routes.ts';
import * as design from '../../state/design.ts';
import { figures, format, settings } from '../../state/settings.ts';
import { kits, perches } from '../../state/workshop.ts';

/** `addressOf` keeps the page when another kit or perch is taken. */
export function Hand({ addressOf = energyOf }: { readonly addressOf?: (kit: string, perch: string) => string }) {
  const kit = design.kitRecord.value;
  const perch = design.perchRecord.value;
  if (kit === null || perch === null) return null;
  const reading = design.perchNow.value;
  const place = reading?.ok ? reading.value : undefined;
  const unit = unitOf('elevation_m', settings.value);
  const state = design.shown.value?.state;
  const changed = design.changes.value.length;
  return (
    <p class="thing hand">
      <span class="pair">
        <Picker label="kit" list={kits.value} value={kit.id} onChange={(id) => go(addressOf(id, perch.id))} /> at{' '}
        <Picker label="perch" list={perches.value} value={perch.id} onChange={(id) => go(addressOf(kit.id, id))} />
      </span>
      {place?.latitude_deg === undefined || place.longitude_deg === undefined ? null : (
        <span>
          {formatPosition({ latitude_deg: place.latitude_deg, longitude_deg: place.longitude_deg }, 2, figures.value)}
          {place.elevation_m === undefined
            ? ''
            : `, ${format.value.fixed(unit.toShown(place.elevation_m), 0)} ${unit.symbol}`}
        </span>
      )}
      <span>
        {changed === 0 ? `revisions ${kit.revision} and ${perch.revision}` : 'with changes that are not saved'}
      </span>
      {state ? <StateWord state={state} /> : null}
    </p>
  );
}
