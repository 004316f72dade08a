/** From a request to what is to be written: each deed by its own rule. */
import { userError } from '../../core/units/index.ts';
import type { DeedRequest } from '../../records/bench/index.ts';
import type { Kit } from '../../records/index.ts';
import type { Deed } from './act.ts';
import { closeBatch, openBatch, savePlan } from './batches.ts';
import { checkCharge, restedCharge } from './charge.ts';
import { setEvidenceAside } from './evidence.ts';
import { unitIn } from './find.ts';
import { fitFromStores, tickAndFit } from './fitting.ts';
import { drawInspection, tellInspection } from './inspection.ts';
import * as leaving from './leaving.ts';
import { noteMarketPaper } from './market-papers.ts';
import { publishPassport } from './passport.ts';
import type { BenchState } from './state.ts';
import * as stores from './stores.ts';
import { sweepAtGate } from './sweep-gate.ts';
import * as units from './units.ts';

/** What a decision takes from outside. */
export interface DeedWorld {
  /** Chance for the draw of a sample: a whole number from 0. */
  readonly seed: number;
  /** SHA-256 of a text, hexadecimal. */
  readonly digest: (text: string) => string;
  /** Kit of the unit that ships, for the charge that its rested voltage means; absent where the workshop holds none. */
  readonly kit?: Kit | undefined;
}

/**
 * What a request writes, by the state as it is.
 *
 * @throws UserError when the state or the request does not allow it
 */
export function decide(state: BenchState, request: DeedRequest, world: DeedWorld): readonly Deed[] {
  switch (request.deed) {
    case 'tick':
      return tickAndFit(state, request.unit, request);
    case 'untick':
      return units.untickStep(state, request.unit, request.step);
    case 'measure':
      return measure(state, request, world);
    case 'override':
      return units.overrideGate(state, request.unit, request);
    case 'rework': {
      const { reason, gates, steps } = request;
      return units.beginRework(state, request.unit, {
        reason,
        ...(gates ? { gates } : {}),
        ...(steps ? { steps } : {}),
      });
    }
    case 'fit':
      return fitFromStores(state, request.unit, request);
    case 'take-out':
      return units.takeOutPart(state, request.unit, request);
    case 'note-measured': {
      const { deed: _d, by: _b, token: _t, unit, ...measured } = request;
      return units.noteMeasured(state, unit, measured);
    }
    case 'publish-passport':
      return publishPassport(state, request.unit, request.show);
    case 'keep-key':
      return units.keepSecret(state, request.unit, request.name, request.value);
    case 'reserve':
      return leaving.reserveUnits(state, request.order, request.units);
    case 'free':
      return leaving.freeUnit(state, request.unit);
    case 'ship': {
      const { unit, order } = request;
      const { shipping, charge } = leavingWith(request, world);
      const deeds = leaving.shipUnit(state, unit, { ...(order === undefined ? {} : { order }), ...shipping });
      checkCharge(unitIn(state, unit).serial, charge, request.chargeTold === true, request.packing);
      return deeds;
    }
    case 'return':
      return leaving.takeBack(state, request.unit, request.reason, request.cause);
    case 'repair':
      return leaving.repairUnit(state, request.unit, request);
    case 'swap': {
      const { shipping, charge } = leavingWith(request, world);
      const deeds = leaving.swapUnit(state, request.unit, request.for, shipping);
      checkCharge(unitIn(state, request.for).serial, charge, request.chargeTold === true, request.packing);
      return deeds;
    }
    case 'install':
      return leaving.installUnit(state, request.unit, request.perch);
    case 'scrap':
      return leaving.scrapUnit(state, request.unit, request.reason);
    case 'save-plan':
      return savePlan(state, request.plan, request.value, request.from);
    case 'open-batch': {
      const { batch: key, name, plan, count, region, prefix, due } = request;
      return openBatch(state, { key, name, plan, count, region, prefix, due });
    }
    case 'close-batch':
      return closeBatch(state, request.batch, request.reason);
    case 'note-paper':
      return noteMarketPaper(state, request.batch, request);
    case 'set-evidence-aside':
      return setEvidenceAside(state, request.batch, request);
    case 'place-order': {
      const { deed: _d, by: _b, token: _t, order, ...rest } = request;
      return leaving.placeOrder(state, order, rest);
    }
    case 'cancel-order':
      return leaving.cancelOrder(state, request.order, request.reason);
    default:
      return decideStores(state, request, world);
  }
}

/** How a unit leaves, its charge by what was told or by its rested voltage. */
function leavingWith(request: Extract<DeedRequest, { deed: 'ship' | 'swap' }>, { kit }: DeedWorld) {
  const { rested_V, temperature_degC, carrier } = request;
  const rested =
    rested_V === undefined || kit === undefined ? undefined : restedCharge(kit, rested_V, temperature_degC);
  const charge = request.charge_pct ?? rested?.charge_pct;
  const shipping = {
    ...(rested_V === undefined ? {} : { rested_V }),
    ...(temperature_degC === undefined ? {} : { temperature_degC }),
    ...(charge === undefined ? {} : { charge_pct: charge }),
    ...(carrier === undefined ? {} : { carrier }),
  };
  return { shipping, charge };
}

type StoresDeed = Extract<
  DeedRequest,
  { deed: 'save-part' | 'receive' | 'draw' | 'inspect' | 'quarantine' | 'release' | 'count' | 'move' }
>;

function decideStores(state: BenchState, request: StoresDeed, world: DeedWorld): readonly Deed[] {
  switch (request.deed) {
    case 'save-part': {
      const { part, name, is, from } = request;
      const before = state.parts.get(part);
      const {
        key: _k,
        number: _n,
        savedAt: _s,
        kind: _c,
        ...kept
      } = before ?? {
        ...{ key: part, number: 0, savedAt: '', kind: 'part-saved' as const, name },
        ...{ is: 'other' as const, measured: 'piece' as const, offers: [] },
      };
      return stores.savePart(state, part, { ...kept, name, ...(is === undefined ? {} : { is }) }, from);
    }
    case 'receive': {
      const { part, lot, count, supplier, supplierLot, currency, goods_minor, note } = request;
      const { freight_minor = 0, duty_minor = 0, fees_minor = 0 } = request;
      const content = {
        ...{ part, count, supplier, currency, goods_minor, freight_minor, duty_minor, fees_minor },
        ...(supplierLot === undefined ? {} : { supplierLot }),
        ...(note === undefined ? {} : { note }),
      };
      return lot === undefined ? stores.receiveLot(state, content) : stores.receiveLot(state, content, lot);
    }
    case 'draw':
      return drawInspection(state, { lot: request.lot, seed: world.seed });
    case 'inspect':
      return tellInspection(state, request.lot, request.defective);
    case 'quarantine':
      return stores.quarantineLot(state, request.lot, request.reason);
    case 'release':
      return stores.releaseLot(state, request.lot, request.reason);
    case 'count':
      return stores.countLot(state, request.lot, request.counted, request.note);
    case 'move': {
      const { lot, change, why, note, short } = request;
      return stores.moveStock(state, lot, { change, why, ...(note === undefined ? {} : { note }) }, short);
    }
  }
}

function measure(
  state: BenchState,
  request: Extract<DeedRequest, { deed: 'measure' }>,
  { digest }: DeedWorld,
): readonly Deed[] {
  const { unit, gate, value, file, instrument, uncertainty, note, correct } = request;
  if ((value === undefined) === (file === undefined))
    throw userError(
      'value-or-file',
      'a measurement is a value, or a file that the instrument wrote: give one of them',
      {
        field: 'value',
      },
    );
  const with_ = { instrument, uncertainty, note, correct };
  if (file === undefined) return units.measureGate(state, unit, { gate, value: value!, ...with_ });
  return units.measureGate(state, unit, {
    gate,
    value: sweepAtGate(state, unit, gate, file.text, file.name),
    file: { name: file.name.replace(/^.*[/\\]/, '').slice(-200) || 'file', sha256: digest(file.text) },
    ...with_,
  });
}

/** Refusals that come from how things stand, not from what was asked: others may have come first. */
const STANDING = new Set([
  ...['ticked-already', 'not-ticked', 'gate-passed', 'unit-stopped', 'not-at-the-bench', 'step-before', 'gate-before'],
  ...['nothing-to-correct', 'no-gate-failed', 'lot-quarantined', 'too-few', 'no-lot', 'fitted-already', 'not-fitted'],
  ...['not-free', 'order-full', 'order-cancelled', 'not-reserved', 'not-to-ship', 'kept-for-another', 'not-shipped'],
  ...['order-begun', 'order-shipped'],
  ...[
    'not-returned',
    'swapped-already',
    'stale',
    'lot-exists',
    'drawn-already',
    'accepted-already',
    'not-drawn',
    'quarantined',
    'not-quarantined',
  ],
  ...['batch-exists', 'batch-closed', 'serial-exists', 'order-too-small', 'source-stopped', 'bench-busy'],
]);
export const fromStanding = (codes: readonly string[]): boolean =>
  codes.length > 0 && codes.every((c) => STANDING.has(c));

/** The unit, lot, batch or order that a request is about. */
export function aboutOf(request: DeedRequest): { readonly [K in 'unit' | 'lot' | 'batch' | 'order']?: string } {
  const { unit, lot, batch, order } = request as Partial<Record<'unit' | 'lot' | 'batch' | 'order', string>>;
  return {
    ...(unit === undefined ? {} : { unit }),
    ...(lot === undefined ? {} : { lot }),
    ...(batch === undefined ? {} : { batch }),
    ...(order === undefined ? {} : { order }),
  };
}
