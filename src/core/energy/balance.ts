import { TALLY } from './tally.ts';

/** Whole degrees from COLDEST to HOTTEST index the temperature tables of a `BalanceModel`. */
export const COLDEST_degC = -70;
export const HOTTEST_degC = 110;
export const TEMPERATURE_STEPS = HOTTEST_degC - COLDEST_degC + 1;

/**
 * Everything the hourly balance needs of a node, as numbers and look-up tables. Tables over temperature have
 * `TEMPERATURE_STEPS` entries, one a whole degree from −70 °C; tables over stored energy are uniform in E / energyFull.
 */
export interface BalanceModel {
  /** Stored energy at 100 % state of charge of the cells as they are now, Wh. */
  readonly energyFull_Wh: number;
  /** Open-circuit voltage over stored-energy share, uniform grid, ≥ 2 entries. */
  readonly voltageByEnergy: Float64Array;
  /** State of charge (charge share) over stored-energy share, same grid. */
  readonly socByEnergy: Float64Array;
  /** Energy share at the bottom that the cold keeps back, over temperature. */
  readonly withheldShare: Float64Array;
  /** (Table length − 1) / (1 − withheldShare), so that the hot loop need not divide. */
  readonly stretch: Float64Array;
  /** Internal resistance of the bank, Ω, over temperature. */
  readonly resistance_Ohm: Float64Array;
  /** Self-discharge, share of stored energy per hour, over temperature. */
  readonly selfDischarge_per_h: Float64Array;
  /** Largest output current of the charger, A (Infinity: no limit). */
  readonly outputLimit_A: number;
  /** What a hot charger lets through of its output, 0..1, over temperature. */
  readonly outputShare: Float64Array;
  /** Energy put in that is lost as heat at once (1 − coulombic efficiency). */
  readonly chargeLossShare: number;
  /** Stored energy at which charging stops, Wh. */
  readonly ceiling_Wh: number;
  /** Terminal voltage at which the charger holds and tapers, V (Infinity: no taper). */
  readonly ceiling_V: number;
  readonly chargeMin_degC: number;
  readonly chargeMax_degC: number;
  /** While charging is blocked, may the panel feed the load? */
  readonly powerPath: boolean;
  /** Does the charger refuse to charge in the cold? Otherwise it charges and plates. */
  readonly coldLockout: boolean;
  /** Drawn from the cells at all times by charger and protection, A. */
  readonly ownUse_A: number;
  /** Load while on: power = loadCurrent_A · V + loadPower_W. */
  readonly loadCurrent_A: number;
  readonly loadPower_W: number;
  /** Stored energy at or below which the load is switched off (under its pulse), Wh, over temperature. */
  readonly cutoff_Wh: Float64Array;
  /** Stored energy at or above which it is switched on again, Wh, over temperature. */
  readonly reconnect_Wh: Float64Array;
  /** Stored energy below which the inrush of a restart trips the cut-off again, Wh, over temperature. */
  readonly restart_Wh: Float64Array;
  /** A board without cut-off that does not restart by itself: once down it stays down until `wake` is set. */
  readonly locksUp: boolean;
}

/** Hours to run: arrays of `length`, and what the charger can deliver at each of `nodes` battery voltages. */
export interface BalanceHours {
  readonly length: number;
  /** Charger output power at the voltage nodes, W: entry i·nodes + j; before current limit, derating, ceiling and window. */
  readonly available_W: Float32Array;
  readonly nodes: number;
  /** Factor on `available_W`: a panel of that many times the size. */
  readonly scale: number;
  /** Battery voltages of the nodes, ascending; between them straight lines, beyond them the end values. */
  readonly node_V: Float64Array;
  /** Cell temperature, °C. */
  readonly cell_degC: Float32Array;
}

/** What is carried from one stretch of hours to the next. */
export interface BalanceState {
  energy_Wh: number;
  on: boolean;
  /** Length so far of an open dark spell, h. */
  darkRun_h: number;
  /** Latched down: needs hands. */
  locked: boolean;
}

/** Optional hour-by-hour record. */
export interface BalanceTrace {
  readonly stateOfCharge: Float32Array;
  /** 1 while the load is on. */
  readonly on: Uint8Array;
}

/** A node at its ceiling, running. */
export function freshState(model: BalanceModel): BalanceState {
  return { energy_Wh: model.ceiling_Wh, on: true, darkRun_h: 0, locked: false };
}

/**
 * The hourly balance of one node over hours `from`..`to` (exclusive).
 *
 * State is stored ENERGY, so that energy is conserved exactly: each hour E changes by terminal power less the loss in
 * the resistance, the charge inefficiency and self-discharge, each of which is tallied by itself. Within an hour
 * currents are constant (explicit step); at the C/50 to C/10 of these nodes the open-circuit voltage moves by
 * millivolts an hour. Order of an hour, after the plain rules of the reference runs: the panel feeds the load first;
 * surplus charges up to the ceiling (not outside the charge window); deficit is drawn and may pass the cut-off by that
 * hour's load; then the cut-off is tested. An hour that begins dark counts dark; reconnecting takes effect in the next.
 *
 * Adds into `tally` (see TALLY), updates `state`, writes `trace` at the hours run. Own model; the plain rules are
 * validated against independent runs (test/app/reference-runs.test.ts), the full ones by conservation and by
 * agreement with the plain kernel, not against field data.
 */
export function runBalance(
  model: BalanceModel,
  hours: BalanceHours,
  from: number,
  to: number,
  state: BalanceState,
  tally: Float64Array,
  trace?: BalanceTrace,
): void {
  const { available_W, nodes, scale, node_V, cell_degC } = hours;
  const { voltageByEnergy, withheldShare, stretch, resistance_Ohm, selfDischarge_per_h, outputShare, outputLimit_A } =
    model;
  const { cutoff_Wh, reconnect_Wh, restart_Wh, ceiling_Wh, ceiling_V, chargeMin_degC, chargeMax_degC } = model;
  const { loadCurrent_A, loadPower_W, ownUse_A, chargeLossShare, powerPath, coldLockout, locksUp } = model;
  const full = model.energyFull_Wh;
  const lastCell = voltageByEnergy.length - 1;
  const perFull = 1 / full;
  const tapers = ceiling_V < Number.POSITIVE_INFINITY;
  let energy = state.energy_Wh;
  let on = state.on;
  let locked = state.locked;
  let darkRun = state.darkRun_h;
  let harvest = 0;
  let load = 0;
  let unserved = 0;
  let curtailed = 0;
  let blockedLoss = 0;
  let losses = 0;
  let ownUse = 0;
  let dark = 0;
  let spells = 0;
  let longest = tally[TALLY.longestDark_h]!;
  let lowest = full;
  let coldBlocked = 0;
  let heatBlocked = 0;
  let atCeiling = 0;
  let plating = 0;
  let falseRestarts = 0;
  let lockUps = 0;
  let charged = 0;
  let discharged = 0;
  let sumEnergy = 0;
  const energyBefore = energy;

  for (let i = from; i < to; i++) {
    const temperature = cell_degC[i]!;
    // A cell table entry a degree; rounding to the nearest degree moves R or the thresholds by well under 3 %.
    let k = Math.round(temperature) - COLDEST_degC;
    if (!(k > 0)) k = 0;
    else if (k >= TEMPERATURE_STEPS) k = TEMPERATURE_STEPS - 1;

    // Position in the voltage table; the cold keeps back the lowest `withheld` of the energy.
    let position = (energy * perFull - withheldShare[k]!) * stretch[k]!;
    if (position < 0) position = 0;
    else if (position > lastCell) position = lastCell;
    let cell = position | 0;
    if (cell === lastCell) cell--;
    const v0 = voltageByEnergy[cell]!;
    const voltage = v0 + (position - cell) * (voltageByEnergy[cell + 1]! - v0);
    const perVolt = 1 / voltage;

    let panel = available_W[i * nodes]!;
    if (nodes > 1 && voltage > node_V[0]!) {
      let node = 1;
      while (node < nodes - 1 && voltage > node_V[node]!) node++;
      const left_V = node_V[node - 1]!;
      const part = Math.min(1, (voltage - left_V) / (node_V[node]! - left_V));
      const left_W = available_W[i * nodes + node - 1]!;
      panel = left_W + part * (available_W[i * nodes + node]! - left_W);
    }
    panel *= scale;
    if (panel > 0) {
      const cap_W = outputLimit_A * voltage;
      if (panel > cap_W) panel = cap_W;
      panel *= outputShare[k]!;
    }
    harvest += panel;

    const wanted = loadCurrent_A * voltage + loadPower_W;
    const demand = on ? wanted : 0;
    const cold = temperature < chargeMin_degC;
    const hot = temperature > chargeMax_degC;
    if (cold && panel >= wanted) coldBlocked++;
    if (hot && panel >= wanted) heatBlocked++;
    const blocked = hot || (cold && coldLockout);

    let fromCells = 0;
    if (blocked) {
      const fed = powerPath ? Math.min(panel, demand) : 0;
      curtailed += panel - fed;
      blockedLoss += panel - fed;
      fromCells = demand - fed;
    } else {
      const net = panel - demand;
      if (net < 0) fromCells = -net;
      else if (net > 0) {
        const room = ceiling_Wh - energy;
        let take = net;
        const resistance = resistance_Ohm[k]!;
        if (tapers) {
          let limit_A = resistance > 0 ? (ceiling_V - voltage) / resistance : Number.POSITIVE_INFINITY;
          if (limit_A < 0) limit_A = 0;
          const most_W = limit_A * voltage;
          if (take > most_W) take = most_W;
        }
        const current = take * perVolt;
        let heat = current * current * resistance;
        if (heat > take) heat = take;
        heat += chargeLossShare * (take - heat);
        let kept = take - heat;
        if (kept > room) {
          // Only the part of the hour up to the ceiling is charged.
          const part = room > 0 ? room / kept : 0;
          kept = Math.max(room, 0);
          take *= part;
          heat = take - kept;
          atCeiling++;
        }
        energy += kept;
        losses += heat;
        curtailed += net - take;
        charged += take * perVolt;
        if (cold && kept > 0) plating++;
      }
    }

    const own = ownUse_A * voltage;
    let draw = fromCells + own;
    let ownServed = own;
    let short = 0;
    if (draw > 0) {
      const current = draw * perVolt;
      let heat = current * current * resistance_Ohm[k]!;
      if (draw + heat > energy) {
        // Empty: the hour is served as far as the cells last.
        const part = energy / (draw + heat);
        short = fromCells * (1 - part);
        draw *= part;
        heat *= part;
        ownServed *= part;
      }
      energy -= draw + heat;
      losses += heat;
      discharged += draw * perVolt;
      losses += ownServed;
      ownUse += ownServed;
    }
    load += demand - short;
    unserved += short;

    const leak = energy * selfDischarge_per_h[k]!;
    energy -= leak;
    losses += leak;
    if (energy < 0) energy = 0;

    if (energy < lowest) lowest = energy;
    if (trace !== undefined) trace.on[i] = on ? 1 : 0;
    if (on) {
      if (energy <= cutoff_Wh[k]!) {
        on = false;
        spells++;
        darkRun = 0;
        if (locksUp) {
          locked = true;
          lockUps++;
        }
      }
    } else {
      dark++;
      darkRun++;
      unserved += wanted;
      if (darkRun > longest) longest = darkRun;
      if (!locked && energy >= reconnect_Wh[k]!) {
        if (energy < restart_Wh[k]!) falseRestarts++;
        else on = true;
      }
    }
    sumEnergy += energy;
    if (trace !== undefined) trace.stateOfCharge[i] = socAt(model, energy);
  }

  state.energy_Wh = energy;
  state.on = on;
  state.locked = locked;
  state.darkRun_h = darkRun;
  tally[TALLY.harvest_Wh]! += harvest;
  tally[TALLY.load_Wh]! += load;
  tally[TALLY.unserved_Wh]! += unserved;
  tally[TALLY.curtailed_Wh]! += curtailed;
  tally[TALLY.blockedLoss_Wh]! += blockedLoss;
  tally[TALLY.losses_Wh]! += losses;
  tally[TALLY.ownUse_Wh]! += ownUse;
  tally[TALLY.stored_Wh]! += energy - energyBefore;
  tally[TALLY.dark_h]! += dark;
  tally[TALLY.darkSpells]! += spells;
  tally[TALLY.longestDark_h] = longest;
  tally[TALLY.minStateOfCharge] = Math.min(tally[TALLY.minStateOfCharge]!, socAt(model, lowest));
  tally[TALLY.coldBlocked_h]! += coldBlocked;
  tally[TALLY.heatBlocked_h]! += heatBlocked;
  tally[TALLY.ceiling_h]! += atCeiling;
  tally[TALLY.plating_h]! += plating;
  tally[TALLY.falseRestarts]! += falseRestarts;
  tally[TALLY.lockUps]! += lockUps;
  tally[TALLY.charged_Ah]! += charged;
  tally[TALLY.discharged_Ah]! += discharged;
  tally[TALLY.sumEnergyShare]! += sumEnergy * perFull;
  tally[TALLY.hours]! += to - from;
}

/** State of charge (share of charge) of a stored energy, Wh. */
export function socAt(model: BalanceModel, energy_Wh: number): number {
  const last = model.socByEnergy.length - 1;
  const at = Math.min(Math.max(energy_Wh / model.energyFull_Wh, 0), 1) * last;
  const cell = Math.min(Math.floor(at), last - 1);
  const s0 = model.socByEnergy[cell]!;
  return s0 + (at - cell) * (model.socByEnergy[cell + 1]! - s0);
}

/** Stored energy of a state of charge, Wh: inverse of `socAt`. */
export function energyAt(model: Pick<BalanceModel, 'socByEnergy' | 'energyFull_Wh'>, soc: number): number {
  const table = model.socByEnergy;
  const last = table.length - 1;
  if (soc <= table[0]!) return 0;
  if (soc >= table[last]!) return model.energyFull_Wh;
  let low = 0;
  let high = last;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (table[middle]! <= soc) low = middle;
    else high = middle;
  }
  const share = (low + (soc - table[low]!) / (table[high]! - table[low]!)) / last;
  return share * model.energyFull_Wh;
}
