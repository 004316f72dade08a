/** Hands the panorama what is in hand here: the perch where it stands now, and the others as their records tell. */
import { useEffect, useMemo, useState } from 'preact/hooks';
import type { OtherPerch as SeenPerch } from '../../compute/panorama-terrain.ts';
import * as design from '../../state/design.ts';
import { spotNow } from '../../state/reach.ts';
import { readPerchText } from '../../state/reading.ts';
import { loadRecord } from '../../state/workshop.ts';
import { otherPerches } from './other-perches.ts';
import { PanoramaSection } from './panorama.tsx';

export function PanoramaPlace() {
  const spot = spotNow.value;
  const kit = design.kitNow.value;
  const perch = design.perchNow.value;
  const others = useSeenPerches();
  const value = perch?.ok ? perch.value : null;
  const at = useMemo(
    () => ({
      name: design.perchRecord.value?.name ?? '',
      latitude_deg: spot?.latitude_deg ?? 0,
      longitude_deg: spot?.longitude_deg ?? 0,
      ...(value?.height_m === undefined ? {} : { height_m: value.height_m }),
    }),
    [spot?.latitude_deg, spot?.longitude_deg, value?.height_m, design.perchRecord.value?.name],
  );
  if (spot === null) return null;
  return <PanoramaSection at={at} kit={kit?.ok ? kit.value : null} perch={value} others={others} />;
}

/** Heights and surroundings of the others, from their records. */
function useSeenPerches(): readonly SeenPerch[] {
  const list = otherPerches.value;
  const [seen, setSeen] = useState<readonly SeenPerch[]>([]);
  const wanted = list
    .map(({ record }) => `${record.id}@${record.revision}`)
    .sort()
    .join(' ');
  useEffect(() => {
    let here = true;
    // Always in one order, so that a move of the perch in hand does not reorder what is known of the others.
    const sorted = [...list].sort((a, b) => (a.record.id < b.record.id ? -1 : 1));
    Promise.all(
      sorted.map(async ({ record, at }): Promise<SeenPerch> => {
        const reading = readPerchText((await loadRecord(record.id)).text);
        const value = reading.ok ? reading.value : undefined;
        return {
          name: record.name,
          latitude_deg: at.latitude_deg,
          longitude_deg: at.longitude_deg,
          ...(value?.height_m === undefined ? {} : { height_m: value.height_m }),
          environment: value?.environment,
        };
      }),
    ).then(
      (found) => here && setSeen(found),
      () => undefined,
    );
    return () => {
      here = false;
    };
  }, [wanted]);
  return seen;
}
