import { currentCap_W, flatPower_W, requireCurve, signedHarvest, trackingShare } from './harvest.ts';
import type { ChargerModel, DiodePanel, FlatPanel, PanelModel } from './model.ts';
import { checkCharger, efficiencyAt } from './model.ts';

/**
 * Irradiance axis: node k stands at 1400·(k/60)² W/m², so that nodes crowd where light is low and its logarithm bends.
 */
const IRRADIANCE_TOP_W_m2 = 1400;
const IRRADIANCE_STEPS = 60;
/** Temperature axis: −40 to 90 °C by 2 K; the dark current of a hot panel grows e-fold in some 12 K. */
const CELL_LOW_degC = -40;
const CELL_HIGH_degC = 90;
const CELL_STEP_K = 2;
const CELL_STEPS = (CELL_HIGH_degC - CELL_LOW_degC) / CELL_STEP_K;
/** Battery-voltage nodes used when nothing else is asked. */
const DEFAULT_NODES = 5;

/**
 * Raw harvest of one panel on one charger over irradiance, cell temperature and battery voltage; or a panel that needs
 * no table.
 */
export type HarvestTable =
  | {
      readonly kind: 'grid';
      /** Battery voltages; a single one when the charger does not look at the battery. */
      readonly battery_V: Float64Array;
      /** Signed raw harvest, index ((k·(temperatures) + j)·nodes + node): A for a linear charger, W for others. */
      readonly values: Float32Array;
    }
  | { readonly kind: 'flat'; readonly battery_V: Float64Array; readonly panel: FlatPanel; readonly share: number };

/** Span of battery voltages that a run can visit, and how many nodes to place on it. */
export interface BatterySpan {
  readonly low_V: number;
  readonly high_V: number;
  readonly nodes?: number;
}

/**
 * Battery voltages at which a charger's harvest must be known for straight lines between them to be good: one for a
 * charger that does not look at the battery; two for a linear charger whose regulated input stays above the battery;
 * else `nodes` (5), with one of them where the regulation hands over to the battery, since the harvest has a corner
 * there.
 */
export function batteryNodes(charger: ChargerModel, span: BatterySpan): Float64Array {
  const { low_V, high_V } = span;
  if (!(low_V > 0 && high_V > low_V)) throw new RangeError(`batteryNodes: ${low_V} to ${high_V} V is no span`);
  if (charger.kind !== 'linear') return Float64Array.of(high_V);
  const corner_V = (charger.inputVoltage_V ?? 0) - charger.dropout_V;
  if (corner_V >= high_V) return Float64Array.of(low_V, high_V);
  const count = Math.max(3, span.nodes ?? DEFAULT_NODES);
  const hasCorner = corner_V > low_V;
  const from_V = hasCorner ? corner_V : low_V;
  const bent = hasCorner ? count - 1 : count;
  const upper = Float64Array.from({ length: bent }, (_, i) => from_V + ((high_V - from_V) * i) / (bent - 1));
  return hasCorner ? Float64Array.of(low_V, ...upper) : upper;
}

/**
 * Tabulates a panel on a charger, for the hourly run.
 *
 * The values are those of `rawHarvest`, not yet cut at zero, on a grid of 0-1400 W/m² by −40 to 90 °C; beyond it the
 * edge holds. Straight lines in light and warmth miss `harvestAt` by less than 0.1 % of the panel's power at 1000 W/m²
 * (property test). Lines between the five battery voltages of an unregulated linear charger stay within 0.5 % while Vmp
 * is 5.5 V or more and the cells are below 70 °C; a hot panel whose curve falls off between two nodes is missed by up
 * to 5 %, and more `nodes` mend it. Values scale with the panel: a panel of twice the currents at the same voltages
 * (`scaleDiode`) has twice the table, so a search over panel sizes needs one table. Takes some 10 ms. Throws UserError
 * when the charger's figures cannot be true.
 */
export function harvestTable(panel: PanelModel, charger: ChargerModel, span: BatterySpan): HarvestTable {
  checkCharger(charger);
  const battery_V = batteryNodes(charger, span);
  if (panel.kind === 'flat') {
    requireCurve(charger);
    return { kind: 'flat', battery_V, panel, share: trackingShare(charger) };
  }
  return { kind: 'grid', battery_V, values: gridValues(panel, charger, battery_V) };
}

function gridValues(panel: DiodePanel, charger: ChargerModel, battery_V: Float64Array): Float32Array {
  const nodes = battery_V.length;
  const values = new Float32Array((IRRADIANCE_STEPS + 1) * (CELL_STEPS + 1) * nodes);
  let at = 0;
  for (let k = 0; k <= IRRADIANCE_STEPS; k++) {
    // The limit of no light, not the dark itself: the same formula just above zero keeps the first cell straight.
    const irradiance_W_m2 = Math.max(1e-3, IRRADIANCE_TOP_W_m2 * (k / IRRADIANCE_STEPS) ** 2);
    for (let j = 0; j <= CELL_STEPS; j++) {
      const cell_degC = CELL_LOW_degC + CELL_STEP_K * j;
      for (let node = 0; node < nodes; node++) {
        values[at++] = signedHarvest(panel, charger, irradiance_W_m2, cell_degC, battery_V[node]!);
      }
    }
  }
  return values;
}

/**
 * Raw harvest of one panel in every hour: `out[i·nodes + node]`, in A for a linear charger and W for others, at each
 * battery-voltage node of the table. `poa_W_m2` and `cell_degC` have one entry an hour and the length of `poa_W_m2`
 * sets their number. With `add` the values are added to `out`, so that several panels of one charger sum up; all their
 * tables must come from the same charger and span. Missing numbers (NaN) stay NaN.
 */
export function availablePower(
  table: HarvestTable,
  poa_W_m2: Float32Array,
  cell_degC: Float32Array,
  add: boolean,
  out: Float32Array,
): void {
  const n = poa_W_m2.length;
  const nodes = table.battery_V.length;
  if (cell_degC.length < n || out.length < n * nodes) {
    throw new RangeError(`availablePower: ${n} hours of ${nodes} nodes do not fit the arrays given`);
  }
  if (!add) out.fill(0, 0, n * nodes);
  if (table.kind === 'flat') addFlat(table.panel, table.share, poa_W_m2, cell_degC, nodes, out);
  else addGrid(table.values, nodes, poa_W_m2, cell_degC, out);
}

function addFlat(
  panel: FlatPanel,
  share: number,
  poa_W_m2: Float32Array,
  cell_degC: Float32Array,
  nodes: number,
  out: Float32Array,
): void {
  for (let i = 0; i < poa_W_m2.length; i++) {
    const poa = poa_W_m2[i]!;
    if (poa <= 0) continue;
    const power_W = flatPower_W(panel, poa, cell_degC[i]!) * share;
    for (let node = 0; node < nodes; node++) out[i * nodes + node]! += power_W;
  }
}

function addGrid(
  values: Float32Array,
  nodes: number,
  poa_W_m2: Float32Array,
  cell_degC: Float32Array,
  out: Float32Array,
): void {
  const rowStride = (CELL_STEPS + 1) * nodes;
  const rootScale = IRRADIANCE_STEPS / Math.sqrt(IRRADIANCE_TOP_W_m2);
  const spacing_W_m2 = IRRADIANCE_TOP_W_m2 / (IRRADIANCE_STEPS * IRRADIANCE_STEPS);
  for (let i = 0; i < poa_W_m2.length; i++) {
    const poa = poa_W_m2[i]!;
    if (poa <= 0) continue;
    const light = Math.min(poa, IRRADIANCE_TOP_W_m2);
    let k = (Math.sqrt(light) * rootScale) | 0;
    if (k >= IRRADIANCE_STEPS) k = IRRADIANCE_STEPS - 1;
    // Between node k at k²·s and node k+1 at (k+1)²·s; a NaN irradiance falls through to the result.
    const u = (light / spacing_W_m2 - k * k) / (2 * k + 1);
    let warmth = (cell_degC[i]! - CELL_LOW_degC) / CELL_STEP_K;
    if (warmth < 0) warmth = 0;
    else if (warmth > CELL_STEPS) warmth = CELL_STEPS;
    let j = warmth | 0;
    if (j >= CELL_STEPS) j = CELL_STEPS - 1;
    const v = warmth - j;
    const w11 = u * v;
    const w10 = u - w11;
    const w01 = v - w11;
    const w00 = 1 - u - w01;
    let at = k * rowStride + j * nodes;
    let to = i * nodes;
    for (const end = to + nodes; to < end; to++, at++) {
      const value =
        w00 * values[at]! +
        w01 * values[at + nodes]! +
        w10 * values[at + rowStride]! +
        w11 * values[at + rowStride + nodes]!;
      // Negative would be a panel that is fed: its blocking diode or the charger forbids it. NaN passes.
      out[to]! += Math.max(value, 0);
    }
  }
}

/**
 * Power into the battery at each node, W, from the summed raw harvest of all panels: `out[i·nodes + node]`; `out` may
 * be `raw` itself. `scale` multiplies the raw harvest first (a panel of another size).
 *
 * Linear: I·V_battery. Others: P·efficiency(P). The current limit is NOT applied here, because min(P, limit·V_battery)
 * has a corner that lines between nodes would cut: read the power at the battery's voltage, then take the smaller of it
 * and `currentCap_W`, which is exact.
 */
export function applyConversion(
  charger: ChargerModel,
  battery_V: Float64Array,
  raw: Float32Array,
  scale: number,
  out: Float32Array,
): void {
  const nodes = battery_V.length;
  const n = Math.floor(raw.length / nodes) * nodes;
  if (out.length < n) throw new RangeError('applyConversion: the output is shorter than the input');
  if (charger.kind === 'linear') {
    for (let i = 0; i < n; i += nodes) {
      for (let node = 0; node < nodes; node++) out[i + node] = raw[i + node]! * scale * battery_V[node]!;
    }
    return;
  }
  const { efficiency } = charger;
  if (typeof efficiency === 'number') {
    const share = scale * efficiency;
    for (let i = 0; i < n; i++) out[i] = raw[i]! * share;
    return;
  }
  for (let i = 0; i < n; i++) {
    const input_W = raw[i]! * scale;
    out[i] = input_W * efficiencyAt(efficiency, input_W);
  }
}

/**
 * Reads the converted power of hour `hour` at a battery voltage, W: straight lines between nodes, held at the ends, cut
 * by the current limit.
 */
export function batteryPowerAt(
  charger: ChargerModel,
  nodes_V: Float64Array,
  converted_W: Float32Array,
  hour: number,
  battery_V: number,
): number {
  const nodes = nodes_V.length;
  const at = hour * nodes;
  let power_W = converted_W[at]!;
  if (nodes > 1 && battery_V > nodes_V[0]!) {
    let node = 1;
    while (node < nodes - 1 && battery_V > nodes_V[node]!) node++;
    const left_V = nodes_V[node - 1]!;
    const share = Math.min(1, (battery_V - left_V) / (nodes_V[node]! - left_V));
    const left_W = converted_W[at + node - 1]!;
    power_W = left_W + share * (converted_W[at + node]! - left_W);
  }
  return Math.min(power_W, currentCap_W(charger, battery_V));
}
