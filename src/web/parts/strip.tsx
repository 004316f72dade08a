/** The year strip beside a kit, a perch or a design. */
import { useMemo } from 'preact/hooks';
import type { State } from '../../app/target.ts';
import type { YearStrip } from '../../core/energy/index.ts';
import { yearStrip } from '../../report/index.ts';

export function Strip(props: {
  readonly id: string;
  readonly strip: YearStrip;
  readonly name: string;
  readonly width?: number;
  readonly height?: number;
  readonly state?: State;
}) {
  const { id, strip, name, width = 168, height = 20, state } = props;
  const markup = useMemo(
    () => yearStrip(strip, { id, name, width, height, standalone: false, ...(state ? { state } : {}) }),
    [strip, id, name, width, height, state],
  );
  return <span class="strip" dangerouslySetInnerHTML={{ __html: markup }} />;
}
