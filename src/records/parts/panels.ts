/**
 * Generic small panels. The four six-volt sizes of 1, 2, 3.5 and 6 W are generic market values; the others are scaled from them
 * by the same ratios (Voc = 1.2 Vmp, Isc = 1.08 Imp, 60 to 75 cm2 per watt). From memory, not one data sheet;
 * 10 % tolerance on power is common for panels of this size.
 */
import type { Part } from './types.ts';

const MARKET = 'typical market values of this size, from memory; not one data sheet';
const SCALED = 'scaled from typical six-volt panels (Voc = 1.2 Vmp, Isc = 1.08 Imp), from memory';

type Cover = 'glass' | 'etfe' | 'epoxy';

function panel(
  watts: number,
  volts: number,
  cover: Cover,
  rated: readonly number[],
  area_cm2: number,
  source: string,
): Part {
  const [voc_V, isc_A, vmp_V, imp_A] = rated;
  return {
    id: `panel-${watts}W-${volts}V-${cover}`,
    title: `${watts} W, ${volts} V, ${cover === 'etfe' ? 'ETFE film' : cover}, ${area_cm2} cm2`,
    source,
    fields: {
      voc_V,
      isc_A,
      vmp_V,
      imp_A,
      area_cm2,
      cover,
      tempVoc_pct_K: -0.31,
      tempIsc_pct_K: 0.05,
      tolerance_pct: 10,
    },
  };
}

export const PANELS: readonly Part[] = [
  panel(0.5, 5.5, 'epoxy', [6.6, 0.098, 5.5, 0.091], 40, SCALED),
  panel(1, 6, 'epoxy', [7.2, 0.18, 6, 0.167], 75, MARKET),
  panel(1, 6, 'etfe', [7.2, 0.18, 6, 0.167], 75, MARKET),
  panel(1.5, 5, 'epoxy', [6, 0.324, 5, 0.3], 110, SCALED),
  panel(2, 6, 'epoxy', [7.2, 0.36, 6, 0.333], 150, MARKET),
  panel(2, 6, 'etfe', [7.2, 0.36, 6, 0.333], 150, MARKET),
  panel(2.5, 5, 'etfe', [6, 0.54, 5, 0.5], 165, SCALED),
  panel(3.5, 6, 'epoxy', [7.2, 0.63, 6, 0.58], 220, MARKET),
  panel(3.5, 6, 'etfe', [7.2, 0.63, 6, 0.58], 220, MARKET),
  panel(3.5, 6, 'glass', [7.2, 0.63, 6, 0.58], 220, MARKET),
  panel(5, 5.5, 'etfe', [6.6, 0.982, 5.5, 0.909], 320, SCALED),
  panel(6, 6, 'etfe', [7.2, 1.08, 6, 1], 380, MARKET),
  panel(6, 6, 'glass', [7.2, 1.08, 6, 1], 380, MARKET),
  panel(10, 18, 'glass', [21.6, 0.6, 18, 0.556], 700, SCALED),
  panel(20, 18, 'glass', [21.6, 1.2, 18, 1.111], 1300, SCALED),
];
