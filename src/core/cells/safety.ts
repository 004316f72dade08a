/** A caution that goes with a result: shown where `when` holds. */
export interface Caution {
  /** Stable name, for JSON and for looking it up. */
  readonly code: CautionCode;
  readonly title: string;
  /** When it is to be shown, in words. */
  readonly when: string;
  readonly text: string;
}

export type CautionCode =
  | 'charging-below-freezing'
  | 'damaged-or-mixed-cells'
  | 'sealed-box-in-sun'
  | 'shipping-charge'
  | 'work-at-height'
  | 'lightning-and-earthing'
  | 'overhead-lines'
  | 'radio-limits';

/** The sentence with which every caution ends. */
export const CAUTION_END =
  'These figures are estimates: local law, codes and licensed practice decide, not this program.';

const caution = (code: CautionCode, title: string, when: string, text: string): Caution => ({
  code,
  title,
  when,
  text: `${text} ${CAUTION_END}`,
});

/*
 * How sure each fact is (shared reference folder, safety facts):
 * confirmed   no charging below 0 °C, discharge to -20 °C, charge 0-45 °C (several cell specifications)
 * confirmed   storage: one month up to 60 °C, three months up to 40-45 °C, a year up to 20-45 °C (two specifications)
 * confirmed   UN 3480 / UN 3481, test series UN 38.3, 20 Wh a cell and 100 Wh a battery, at most 30 % charge by air for
 *             cells alone (from April 2016); packed with equipment: duty above 2.7 Wh from January 2026 (its exact
 *             reach from memory); in equipment: recommended
 * arithmetic  eight cells of 3.5 Ah x 3.6 V in parallel are one battery of 100.8 Wh, over the 100 Wh limit
 * from memory dark sealed box in full sun 15-25 K above air; voltages within 50 mV before paralleling; a fuse a cell;
 *             damaged cells never by air; work at height: avoid, prevent, arrest; tethered tools; bonding conductor of
 *             16 mm² copper; surge arrester at the entry; no earthing saves small electronics from a direct strike
 * common practice, no source   distance from overhead lines; keeping to the radio limits
 */
const ALL: readonly Caution[] = [
  caution(
    'charging-below-freezing',
    'Charging in the cold',
    'the cells can be below 0 °C while the panel gives power',
    'Charging lithium-ion cells below 0 °C plates lithium: capacity is lost for good and a cell may fail inside later. Use a charger that stops by the temperature of the cells, not of the air; the panel may go on feeding the load meanwhile.',
  ),
  caution(
    'damaged-or-mixed-cells',
    'Damaged or mixed cells',
    'more than one cell, or cells of unknown past',
    'Never use cells that are dented, swollen, have stood below their lowest voltage or lost their wrap. Put in parallel only cells of one make, age and lot, within 50 mV of each other, each with its own fuse, behind a protection circuit. Damaged cells must not travel by air.',
  ),
  caution(
    'sealed-box-in-sun',
    'A sealed box in the sun',
    'the cells sit in a closed housing in the open',
    'A dark sealed box in full sun runs 15 to 25 K above the air. Cell specifications allow about 45 °C for charging and 60 °C for a month of storage. Shade the cells behind the panel, keep them off the lid, and give the box a vent membrane.',
  ),
  caution(
    'shipping-charge',
    'Shipping',
    'units or cells are sent',
    'Lithium-ion cells travel as UN 3480 (alone) or UN 3481 (with or in equipment) and must be of a type tested to UN 38.3. Small ones hold at most 20 Wh a cell and 100 Wh a battery; cells wired in parallel are one battery. By air, cells alone must be at 30 % charge or less, and from 2026 cells packed with equipment too; in equipment it is recommended.',
  ),
  caution(
    'work-at-height',
    'Work at height',
    'the perch is on a roof, mast, tree or rock',
    'First avoid the climb, then prevent the fall, then arrest it. Keep two attachment points, a rescue plan and a second person; stop in wind, ice or storm. Tether tools, and hoist the box with its battery disconnected.',
  ),
  caution(
    'lightning-and-earthing',
    'Lightning and earthing',
    'the perch stands on a mast, roof or summit',
    'Bond mast and box to earth by short straight conductors (16 mm² copper is usual), on one common earth with any building system, with a surge arrester where the coaxial line enters. No earthing lets small electronics survive a direct strike. Do not work at a mast when thunder is about.',
  ),
  caution(
    'overhead-lines',
    'Overhead lines',
    'a mast or pole is put up',
    'A mast, ladder or antenna that touches an overhead line kills. Keep at least one and a half times the length of the mast away from any line, and treat every line as live.',
  ),
  caution(
    'radio-limits',
    'Radio limits',
    'the radio transmits',
    'Transmit power with antenna gain, the share of time on the air, and the frequencies are limited by law and differ between countries. More gain asks for less power at the radio.',
  ),
];

/** All cautions, in a fixed order. */
export function cautions(): readonly Caution[] {
  return ALL;
}

/** The caution of a code. */
export function cautionOf(code: CautionCode): Caution {
  const found = ALL.find((entry) => entry.code === code);
  if (found === undefined) throw new RangeError(`no caution has the code ${code}`);
  return found;
}
