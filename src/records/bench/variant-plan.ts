/** The plan as it is built for a region: bill, steps and gates with what its variant says. */
import type { Gate } from './gate.ts';
import type { Plan } from './plan.ts';
import { bandOfRegion, mostPower_dBm } from './region-radio.ts';
import { antennaOf, settingOfVariant, type Variant, variantOf } from './variant.ts';

type Line = Plan['bom'][number];

/**
 * A plan with the variant of a region put in its place. Without one, or with one that only names settings, bill and gates stay;
 * in any case a sweep is judged over a band of that region.
 */
export function planForRegion(plan: Plan, region: string): Plan {
  const variant = variantOf(plan, region);
  const gates = plan.gates.map((gate) => gateFor(gate, region, variant));
  const lines = variant?.bom ?? [];
  if (variant === undefined && gates.every((gate, i) => gate === plan.gates[i])) return plan;
  if (lines.length === 0) return { ...plan, gates };
  const instead = new Map(
    lines.flatMap((line) => (line.replaces === undefined ? [] : [[line.replaces, line] as const])),
  );
  const extra = lines.filter((line) => line.replaces === undefined);
  const replaced = (line: Line): Line => {
    const other = instead.get(line.part);
    if (other === undefined) return line;
    const { part, count, scrap_pct, alternates, use } = other;
    return {
      ...line,
      part,
      // Stand-ins of the line that it replaces are for another region.
      alternates: alternates ?? [],
      ...(count === undefined ? {} : { count }),
      ...(scrap_pct === undefined ? {} : { scrap_pct }),
      ...(use === undefined ? {} : { use }),
    };
  };
  return {
    ...plan,
    gates,
    bom: [
      ...plan.bom.map(replaced),
      ...extra.map(({ part, count = 1, scrap_pct = 0, alternates = [], use }) => ({
        ...{ part, count, scrap_pct, alternates },
        ...(use === undefined ? {} : { use }),
      })),
    ],
    subassemblies: plan.subassemblies.map((sub) => ({ ...sub, bom: sub.bom.map(replaced) })),
    steps: plan.steps.map((step) => ({
      ...step,
      parts: [
        ...step.parts.map((part) => instead.get(part)?.part ?? part),
        ...extra.filter((line) => line.step === step.key).map((line) => line.part),
      ],
    })),
  };
}

/** A gate with the limits of the region. */
export function gateFor(gate: Gate, region: string, variant: Variant | undefined): Gate {
  const own = variant?.gates?.find((one) => one.key === gate.key);
  const radio = settingOfVariant(variant);
  const given = Object.fromEntries(Object.entries(own ?? {}).filter(([field]) => field !== 'key')) as Partial<Gate>;
  const changed: Gate = own === undefined ? gate : { ...gate, ...given };
  if (gate.measures === 'antenna match' && own?.band === undefined) {
    const band = bandOfRegion(region, radio?.frequency_MHz);
    const { band: asked } = gate;
    const fits =
      asked === undefined
        ? variant === undefined
        : radio === undefined
          ? asked.from_MHz < band.to_MHz && asked.to_MHz > band.from_MHz
          : radio.frequency_MHz >= asked.from_MHz && radio.frequency_MHz <= asked.to_MHz;
    return fits ? changed : { ...changed, band };
  }
  // The maker's own limit of the variant goes before the table's: a licence may allow more.
  if (gate.measures === 'transmit power' && own?.high === undefined && variant !== undefined && radio !== undefined) {
    const most = mostPower_dBm(region, radio, antennaOf(variant));
    if (most !== undefined && most < (changed.high ?? Number.POSITIVE_INFINITY)) return { ...changed, high: most };
  }
  return changed;
}

/** Regions whose orders units built for a region may serve: its own, and those that its variant is declared for. */
export const servedBy = (plan: Plan, region: string): readonly string[] => [
  ...new Set([region, ...(variantOf(plan, region)?.alsoFor ?? [])]),
];

/** Whether units for a region can be built by a plan; a plan without variants is for all. */
export const hasVariantFor = (plan: Plan, region: string): boolean =>
  plan.variants.length === 0 || variantOf(plan, region) !== undefined;
