/** The year strip of a unit, in lists: made when the row has been in sight for a moment. */
import { useEffect, useRef } from 'preact/hooks';
import { Strip } from '../../parts/strip.tsx';
import { benchTurn } from '../../state/bench.ts';
import { askUnitLook, dropUnitLook, unitLooks } from '../../state/unit-looks.ts';

/** A row that only flies by while one scrolls is not computed. */
const REST_ms = 120;

export function UnitStrip({ serial, width = 168 }: { readonly serial: string; readonly width?: number }) {
  const ref = useRef<HTMLSpanElement>(null);
  const turn = benchTurn.value;
  useEffect(() => {
    const node = ref.current;
    if (node === null) return;
    let timer: ReturnType<typeof setTimeout> | undefined;
    const observer = new IntersectionObserver((entries) => {
      clearTimeout(timer);
      if (entries.at(-1)!.isIntersecting) timer = setTimeout(() => askUnitLook(serial), REST_ms);
      else dropUnitLook(serial);
    });
    observer.observe(node);
    return () => {
      clearTimeout(timer);
      observer.disconnect();
      dropUnitLook(serial);
    };
  }, [serial, turn]);
  const known = unitLooks.value.get(serial);
  return (
    <span class="unit-strip" ref={ref}>
      {known?.look ? (
        <Strip
          id={`u-${serial}`}
          strip={known.look.strip}
          state={known.look.state}
          name={`${serial}, ${known.look.state}${known.look.whole ? '' : ', a first look'}`}
          width={width}
          height={20}
        />
      ) : known === undefined ? (
        <span class="strip-empty" role="img" aria-label={`${serial}: its forecast is not known yet`} />
      ) : (
        <small class="quiet" title={known.why}>
          {known.placed ? 'no forecast' : 'no place yet'}
        </small>
      )}
    </span>
  );
}
